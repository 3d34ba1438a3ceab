package sizes

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// A draftRank is the identity of a size in a draft, and its place.
type draftRank struct {
	kind      formKind
	system    string // where names use several
	qualifier string
	from, to  string // values; to is empty for a size that is no range
	list      bool   // "XS/S" rather than "6-8"
	toddler   bool   // of "2T"
}

// rank is where a statement of one size, or of one range, belongs.
func (s statement) rank(bySystem bool) draftRank {
	e := s.first()
	r := draftRank{kind: e.items[0].form.kind, qualifier: s.qualifier, toddler: s.toddler, from: e.items[0].form.value}
	if bySystem {
		r.system = e.items[0].form.system
	}
	if len(e.items) == 2 {
		r.to, r.list = e.items[1].form.value, e.seps[0].kind == sepList
	}
	return r
}

// order sorts the sizes and says how. Colours stay in the order of the names.
func (d *drafting) order() {
	kinds := map[draftRank]bool{}
	for _, s := range d.steps {
		if !s.rank.young() {
			kinds[draftRank{kind: s.rank.kind, system: s.rank.system, qualifier: s.rank.qualifier}] = true
		}
	}
	slices.SortStableFunc(d.steps, func(a, b *draftStep) int { return a.rank.compare(b.rank) })
	has := func(k formKind) bool {
		return slices.ContainsFunc(d.steps, func(s *draftStep) bool { return s.rank.kind == k })
	}
	if slices.ContainsFunc(d.steps, func(s *draftStep) bool { return s.rank.young() }) {
		d.orderOfAges(len(kinds))
		return
	}
	switch {
	case has(formNumber) && has(formLetter):
		d.because("The sizes are numbers, ordered by value, and letters, from small to large.")
		d.doubt("Sizes are named by number and by letter: put them in one order, smallest first.")
	case has(formNumber):
		d.because("The sizes are numbers, ordered by value.")
	case has(formLetter):
		d.because("The sizes are letters, ordered from small to large.")
		d.doubtPlus()
	case has(formText):
		d.because("The sizes are colours, in the order of the file.")
		if len(d.steps) > 1 {
			d.doubt("The sizes are named by colour, so nothing tells which is smaller: put them in order, smallest first.")
		}
	}
	if len(kinds) > 1 && !(has(formNumber) && has(formLetter)) {
		d.doubt("There are sizes of several kinds, such as 16 and 16W or US 8 and EU 38: put them in one order, smallest first.")
	}
}

// doubtPlus says where plus sizes and others may be two series or two spellings of
// one: 2X, or 1X, stands beside 2XL. Common practice, no source.
func (d *drafting) doubtPlus() {
	least, most := 0.0, 0.0
	for _, s := range d.steps {
		value := letterValue(s.rank.from)
		switch plus := strings.HasSuffix(s.rank.from, "x"); {
		case s.rank.kind != formLetter:
		case plus && (least == 0 || value < least):
			least = value
		case !plus:
			most = max(most, value)
		}
	}
	if xxl := letterValue("2xl"); least > 0 && most >= xxl && least < most+1 {
		d.doubt("There are plus sizes such as 2X beside sizes such as 2XL: put them in one order, smallest first, or give two spellings of one size the same name.")
	}
}

// orderOfAges says how ages and what stands behind them are ordered. Numbers
// that go on where the ages end are in no doubt.
func (d *drafting) orderOfAges(others int) {
	if others == 0 {
		d.because("The sizes are ages, from the youngest.")
		return
	}
	end := d.ageEnd()
	goOn := func(s *draftStep) bool {
		return s.rank.young() || s.rank.kind == formNumber && s.rank.to == "" && slices.ContainsFunc(s.from, end.follows)
	}
	if others == 1 && !slices.ContainsFunc(d.steps, func(s *draftStep) bool { return !goOn(s) }) {
		d.because("The sizes are ages, from the youngest, and then numbers, ordered by value.")
		return
	}
	d.because("The sizes are ages, from the youngest, and then others.")
	d.doubt("Sizes are named by age and in another way: put them in one order, smallest first.")
}

func (r draftRank) compare(o draftRank) int {
	if r.young() && o.young() {
		return r.compareAge(o)
	}
	return cmp.Or(
		cmp.Compare(r.kindOrder(), o.kindOrder()),
		cmp.Compare(r.system, o.system),
		cmp.Compare(r.qualifier, o.qualifier),
		compareValues(r.kind, r.from, o.from),
		compareValues(r.kind, r.to, o.to),
	)
}

func (r draftRank) kindOrder() int {
	if r.young() {
		return -1
	}
	return slices.Index([]formKind{formNumber, formLetter, formText}, r.kind)
}

// young says whether a size is that of an age or of toddlers.
func (r draftRank) young() bool { return r.kind == formAge || r.toddler }

// compareAge orders by age: what begins later is larger, then what ends later.
// Months come before years and years before toddlers' sizes of the same age.
func (r draftRank) compareAge(o draftRank) int {
	a, b := r.age(), o.age()
	from, to := a.months()
	otherFrom, otherTo := b.months()
	return cmp.Or(cmp.Compare(from, otherFrom), cmp.Compare(to, otherTo), cmp.Compare(a.unit, b.unit), cmp.Compare(r.kind, o.kind)*-1, cmp.Compare(r.from, o.from), cmp.Compare(r.to, o.to))
}

// age is that of a size of an age or of toddlers.
func (r draftRank) age() age {
	if r.toddler {
		return readAge(r.from + " years")
	}
	return readAge(r.from)
}

// compareValues orders sizes by their values: 000, 00, 0, 2, and 2xs, xs, s, m.
// Other texts are alike, so that they stay in their order.
func compareValues(kind formKind, a, b string) int {
	switch kind {
	case formNumber:
		return cmp.Or(cmp.Compare(numberValue(a), numberValue(b)), cmp.Compare(len(b), len(a)), cmp.Compare(a, b))
	case formLetter:
		return cmp.Or(cmp.Compare(letterValue(a), letterValue(b)), cmp.Compare(a, b))
	}
	return 0
}

// numberValue is that of a number token: "38.5", "8 1/2".
func numberValue(s string) float64 {
	whole, fraction, mixed := strings.Cut(s, " ")
	v, _ := strconv.ParseFloat(whole, 64)
	if top, bottom, ok := strings.Cut(fraction, "/"); mixed && ok {
		t, _ := strconv.ParseFloat(top, 64)
		if b, _ := strconv.ParseFloat(bottom, 64); b > 0 {
			v += t / b
		}
	}
	return v
}

// letterValue is the place of a letter size: m is 0, s -1, xs -2, 2xs -3. A
// plus size stands behind its like, 1x behind xl.
func letterValue(s string) float64 {
	times, rest := 0.0, s
	if s != "" && isDigit(s[0]) {
		times, rest = float64(s[0]-'0'), s[1:]
	}
	if times == 0 && strings.HasPrefix(rest, "x") {
		times = 1
	}
	switch strings.TrimLeft(rest, "x") {
	case "s":
		return -1 - times
	case "l":
		return 1 + times
	case "":
		if s != "" {
			return 1.5 + times
		}
	}
	return 0
}
