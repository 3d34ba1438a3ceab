package sizes

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// A Drafted is a first chart, made from layer names alone.
type Drafted struct {
	// Chart has the sizes that the names tell, smallest first, the form that
	// most names have, and what every print needs under Keep. It has no sizes
	// where the names tell none; else it passes Check.
	Chart *Chart `json:"chart"`
	// Reasons say how the sizes were found and ordered, a sentence each.
	Reasons []string `json:"reasons"`
	// Doubts are what a person has to decide. Without any, the chart answers for every name.
	Doubts []Doubt `json:"doubts,omitempty"`
}

// A Doubt is something that names do not tell.
type Doubt struct {
	Position int       `json:"position"`       // of the name in the names; -1 where the doubt is about the chart
	Name     string    `json:"name,omitempty"` // of the layer
	Reason   string    `json:"reason"`         // goes on where the name ends; about the chart a whole sentence
	About    DoubtKind `json:"about"`
}

// A DoubtKind is what a doubt is about. The zero DoubtKind is not valid.
type DoubtKind int

const (
	DoubtSize  DoubtKind = iota + 1 // which size a layer draws: a print of one size may be wrong
	DoubtOrder                      // which sizes are neighbours: a print of one size is right all the same
	DoubtPlace                      // what a layer is for that names no size; where it stays, nothing is missing
)

var doubtWords = []string{"size", "order", "place"}

// String returns "size", "order" or "place".
func (k DoubtKind) String() string { return word(int(k), doubtWords) }

// MarshalText writes the word that String gives, for JSON; a DoubtKind that is not valid is
// an error.
func (k DoubtKind) MarshalText() ([]byte, error) { return wordText(int(k), doubtWords) }

// UnmarshalText reads what MarshalText writes; any other word is an error.
func (k *DoubtKind) UnmarshalText(text []byte) error { return unword((*int)(k), text, doubtWords) }

// Open returns the doubts that a choice of sizes depends on: those about a size, and, where the
// order of the sizes matters to the choice, those about it.
func (d *Drafted) Open(w Want) []Doubt {
	var open []Doubt
	for _, doubt := range d.Doubts {
		if doubt.About == DoubtSize || doubt.About == DoubtOrder && d.Chart.needsOrder(w) {
			open = append(open, doubt)
		}
	}
	return open
}

// needsOrder reports whether the order of the sizes matters to what is wanted: for neighbours, for
// a body, and for a span of labels.
func (c *Chart) needsOrder(w Want) bool {
	index := c.index()
	span := func(text string) bool {
		r, ok := index.readWhole(fold(text), fold(text))
		return ok && r.reason.kind == reasonSpan
	}
	return w.Below > 0 || w.Above > 0 || len(w.Body) > 0 || slices.ContainsFunc(w.Labels, span)
}

// Draft makes a first chart from the layer names of a pattern, in the order of its file; those of
// several files may follow one another. It takes these steps:
//
//  1. A name that says a size as [Chart.Match] would read it, with a chart or without, gives that
//     size: "Size 08", "EU 38", "front_sz12", "XL", "8 (M)". A number or letter in a longer name
//     that nothing marks is none. A bare number among more with a size word is one, in doubt, where
//     it goes on in their steps. Of two that a name says for one size, that counts which takes more
//     values over all names; the other is left out where it stands beside several, as in "8 (S)"
//     and "10 (S)".
//  2. A span or a list of two, such as "10-14" or "XS/S", is a layer of several sizes where its
//     ends are sizes by themselves. It is one size, with that label, where neither is.
//  3. Where names tell fewer than two sizes by number or letter, layers named
//     by a colour, "red" or "Size red", are sizes, in the order of the names.
//     Nothing tells that order is right, so there is a doubt.
//  4. Ages are ordered from the youngest: preemie, newborn, months, years, and toddlers' sizes such
//     as 2T among these. Numbers that go on behind them need no size word; one that may be months
//     is a doubt, as 12 is beside "12m". Numbers are ordered by value, then letters from small to
//     large. Where both are there, or sizes of several kinds such as 16 and 16W, 2X and 2XL or
//     cups, the order is in doubt; so are names of one size for different people.
//  5. A label is written as most names write it. [Chart].Names is the form of most names.
//  6. A name that tells no size is listed under Keep where it has a word for what every print
//     needs: text, grainline, notches, test square and the like. A background is kept too, since a
//     print that has too much of it is none the worse. Any other name is a doubt, and so is one
//     that the chart reads in two ways.
//
// The order of the names decides nothing but the order of colours, of Keep and of the doubts, and
// which spelling of one name stands there. Names are compared as Match does.
func Draft(names []string) *Drafted {
	d := &drafting{names: names, out: &Drafted{Chart: &Chart{}, Reasons: []string{}}}
	d.read()
	d.order()
	d.labels()
	d.form()
	d.rest()
	return d.out
}

// drafting is a chart in the making.
type drafting struct {
	names      []string
	statements []statement
	left       []statement       // those that are no sizes after all
	unsure     map[string]string // what may be a size in names that say none, by their folds
	goesOn     map[string]bool   // names of bare numbers in one series with marked ones
	systems    map[string]bool   // sizing systems that single sizes name
	steps      []*draftStep      // the sizes
	out        *Drafted
}

// A draftStep is one size with the statements that name it and no other.
type draftStep struct {
	rank  draftRank
	label string
	from  []statement
}

// because adds a sentence about how the sizes were found and ordered.
func (d *drafting) because(reason string) { d.out.Reasons = append(d.out.Reasons, reason) }

// doubt adds a doubt about the chart.
func (d *drafting) doubt(about DoubtKind, format string, args ...any) {
	d.out.Doubts = append(d.out.Doubts, Doubt{Position: -1, Reason: fmt.Sprintf(format, args...), About: about})
}

// labels writes the label of each size.
func (d *drafting) labels() {
	for _, s := range d.steps {
		votes := map[string]int{}
		for _, st := range s.from {
			votes[st.label(len(d.systems) > 1)]++
		}
		s.label = mostVotes(votes)
		if !slices.ContainsFunc(s.from, func(st statement) bool { return !d.goesOn[st.name] }) { // bare numbers alone
			d.doubt(DoubtSize, "Layer %q has no word for a size, as others have: "+
				"it is taken for size %s, since it goes on in their steps.", clip(s.from[0].name), s.label)
		}
	}
	d.doubtGroups()
	seen := map[string]bool{}
	for _, s := range d.steps {
		key := fold(s.label)
		if seen[key] || key == "" || len(d.out.Chart.Sizes) == maxSizes {
			continue // what it names is a doubt then, since the chart reads it otherwise
		}
		seen[key] = true
		d.out.Chart.Sizes = append(d.out.Chart.Sizes, Size{Label: s.label})
	}
}

// doubtGroups says where names of one size are for several groups of people: a
// man's 8 is not a woman's.
func (d *drafting) doubtGroups() {
	for _, s := range d.steps {
		names := map[string]string{} // of each group
		for _, st := range s.from {
			group, toks := "", tokens(fold(st.name))
			if i := slices.IndexFunc(toks, func(t token) bool { return t.is(meansGroup) }); i >= 0 {
				group = toks[i].value
			}
			if names[group] == "" || st.name < names[group] {
				names[group] = st.name
			}
		}
		if len(names) < 2 {
			continue
		}
		groups := slices.Sorted(maps.Keys(names))
		list := each(groups, func(group string) string { return clip(names[group]) })
		d.doubt(DoubtSize, "Layers %s are taken for one size, %s, and seem to be for different people: "+
			"give each a size of its own, with its layers.", quoteAll(list), s.label)
		return
	}
}

// rest matches all names with the sizes found, and finds a place for those that are no size.
func (d *drafting) rest() {
	seen, left := map[string]bool{}, map[string]statement{}
	for _, s := range d.left {
		left[fold(s.name)] = s
	}
	chart := d.out.Chart
	m := chart.matcher()
	readings := m.readAll(d.names)
	for i, name := range d.names {
		r, key := readings[i], fold(name)
		if r.kind == KindSize || seen[key] {
			continue
		}
		seen[key] = true
		stray := m.index.stray(key)
		shared := r.kind == KindUnknown && len(r.may) == 0 && stray == "" && isShared(key)
		stray = cmp.Or(stray, d.unsure[key])
		if shared && checkText("", "", name) == nil && len(chart.Keep) < maxPatterns {
			chart.Keep = append(chart.Keep, Literal(name))
			continue
		}
		why, about := "", DoubtSize
		if s, ok := left[key]; ok {
			why = d.besideAges(s)
		}
		switch { // in words for somebody who has no chart yet
		case why != "":
		case r.reason.kind == reasonNothing:
			why, about = "says no size, and has no word for what every print needs", DoubtPlace
			if stray != "" {
				why, about = fmt.Sprintf("has %q in its name, which may be a size or not", stray), DoubtSize
			}
		case r.reason.kind == reasonLacks:
			why = fmt.Sprintf("says %q, which no other layer names as a size", r.reason.text)
		default:
			why = r.reason.String()
		}
		if slices.Contains([]reasonKind{reasonThing, reasonEmpty}, r.reason.kind) {
			about = DoubtPlace
		}
		d.out.Doubts = append(d.out.Doubts, Doubt{Position: i, Name: name, Reason: why, About: about})
	}
	if len(chart.Sizes) == 0 {
		d.doubt(DoubtSize, "No layer is named after a size, by number, letter, age or colour; "+
			"the chart needs its sizes written by hand.")
	}
}

// isShared reports whether a folded name has a word for what every print needs,
// or is that of all sizes and says nothing else.
func isShared(folded string) bool {
	toks := tokens(folded)
	for i, t := range toks {
		two := phrase(toks[i:min(i+2, len(toks))])
		if t.kind == tokenWord && (t.is(meansShared) || lookUp(two).is(meansShared)) {
			return true
		}
	}
	return lookUp(folded).is(meansAllSizes)
}

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
	f, e := s.form(), s.sides[0]
	r := draftRank{kind: f.kind, qualifier: s.qualifier, toddler: s.toddler, from: f.value}
	if bySystem {
		r.system = f.system
	}
	if len(e.items) == 2 {
		r.to, r.list = e.items[1].form.value, e.seps[0].kind == sepList
	}
	return r
}

// young reports whether a size is that of an age or of toddlers.
func (r draftRank) young() bool { return r.kind == formAge || r.toddler }

// order sorts the sizes and says how. Colours stay in the order of the names.
func (d *drafting) order() {
	kinds := map[draftRank]bool{}
	has := map[formKind]bool{}
	young := false
	for _, s := range d.steps {
		has[s.rank.kind] = true
		if s.rank.young() {
			young = true
			continue
		}
		kinds[draftRank{kind: s.rank.kind, system: s.rank.system, qualifier: s.rank.qualifier}] = true
	}
	slices.SortStableFunc(d.steps, func(a, b *draftStep) int { return a.rank.compare(b.rank) })
	mixed := has[formNumber] && has[formLetter]
	switch {
	case young:
		d.orderOfAges(len(kinds))
		return
	case mixed:
		d.because("The sizes are numbers, ordered by value, and letters, from small to large.")
		d.doubt(DoubtOrder, "Sizes are named by number and by letter: put them in one order, smallest first.")
	case has[formNumber]:
		d.because("The sizes are numbers, ordered by value.")
	case has[formLetter]:
		d.because("The sizes are letters, ordered from small to large.")
		d.doubtPlus()
	case has[formText]:
		d.because("The sizes are colours, in the order of the file.")
		if len(d.steps) > 1 {
			d.doubt(DoubtOrder, "The sizes are named by colour, so nothing tells which is smaller: "+
				"put them in order, smallest first.")
		}
	}
	if len(kinds) > 1 && !mixed {
		d.doubt(DoubtOrder, "There are sizes of several kinds, such as 16 and 16W or US 8 and EU 38: "+
			"put them in one order, smallest first.")
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
		d.doubt(DoubtOrder, "There are plus sizes such as 2X beside sizes such as 2XL: "+
			"put them in one order, smallest first, or give two spellings of one size the same name.")
	}
}

// orderOfAges says how ages and what stands behind them are ordered. Numbers
// that go on where the ages end are in no doubt.
func (d *drafting) orderOfAges(others int) {
	end := d.ageEnd()
	apart := func(s *draftStep) bool {
		number := s.rank.kind == formNumber && s.rank.to == ""
		return !s.rank.young() && !(number && slices.ContainsFunc(s.from, end.follows))
	}
	switch {
	case others == 0:
		d.because("The sizes are ages, from the youngest.")
	case others == 1 && !slices.ContainsFunc(d.steps, apart):
		d.because("The sizes are ages, from the youngest, and then numbers, ordered by value.")
	default:
		d.because("The sizes are ages, from the youngest, and then others.")
		d.doubt(DoubtOrder, "Sizes are named by age and in another way: put them in one order, smallest first.")
	}
}

// compare orders ages first: what begins later is larger, then what ends later. Months come before
// years and years before toddlers' sizes of the same age. Then come numbers, letters and texts.
func (r draftRank) compare(o draftRank) int {
	if !r.young() || !o.young() {
		order := func(r draftRank) int {
			if r.young() {
				return -1
			}
			return slices.Index([]formKind{formNumber, formLetter, formText}, r.kind)
		}
		return cmp.Or(
			order(r)-order(o), cmp.Compare(r.system, o.system), cmp.Compare(r.qualifier, o.qualifier),
			compareValues(r.kind, r.from, o.from), compareValues(r.kind, r.to, o.to),
		)
	}
	toAge := func(r draftRank) age {
		if r.toddler {
			return readAge(r.from + " years")
		}
		return readAge(r.from)
	}
	a, b := toAge(r), toAge(o)
	from, to := a.months()
	otherFrom, otherTo := b.months()
	return cmp.Or(
		from-otherFrom, to-otherTo, cmp.Compare(a.unit, b.unit),
		int(o.kind-r.kind), cmp.Compare(r.from, o.from), cmp.Compare(r.to, o.to),
	)
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
