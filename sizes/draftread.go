package sizes

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
)

// A statement is what one name says of sizes before there is a chart.
type statement struct {
	name      string
	sides     []expression // names of the same: two in "8 (M)"
	qualifier string       // "w" in "16W"
	marked    bool         // a size word or system stands there
	colour    bool
	word      string // "age" in "Age 4", "t" in "T4"
	before    string // "plus" in "Plus size 16"
	toddler   bool   // the T of "2T" is that of toddlers
	more      bool   // it said more of the size than sides does
}

// first is the side that counts.
func (s statement) first() expression { return s.sides[0] }

// single says whether a statement names one size and gives its form.
func (s statement) single() (form, bool) {
	e := s.first()
	return e.items[0].form, len(e.items) == 1
}

// qualified is a number with what parts a range of sizes from another: women's,
// petite, tall. Common practice, no source.
var qualified = regexp.MustCompile(`^(.*[0-9])(?:([wpt])| ?-?(petite|tall|short|long|regular|kurz|lang|women|women's|womens))$`)

// read finds the sizes that the names tell, once for each name, and groups the
// statements that name one size.
func (d *drafting) read() {
	seen := map[string]bool{}
	for _, name := range d.names {
		key := fold(name)
		if len(name) > maxTextBytes || seen[key] {
			continue
		}
		seen[key] = true
		if s, ok := readStatement(key); ok {
			s.name = name
			d.statements = append(d.statements, s)
		}
	}
	d.oneRange()
	d.prefer()
	d.ages()
	d.choose()
	d.group()
}

// oneRange leaves out what is said of plus sizes or the like where that is not
// said of all.
func (d *drafting) oneRange() {
	var plain []statement
	for _, s := range d.statements {
		if s.before == "" {
			plain = append(plain, s)
		}
	}
	if len(plain) > 0 || slices.ContainsFunc(d.statements, func(s statement) bool { return s.before != d.statements[0].before }) {
		d.statements = plain
	}
}

// readStatement reads a folded name with an empty chart.
func readStatement(folded string) (statement, bool) {
	none := &labelIndex{}
	folded = decimals(folded)
	text, qualifier := bare(folded), ""
	if m := qualified.FindStringSubmatch(text); m != nil {
		text, qualifier = m[1], m[2]+m[3]
	}
	if e, ok := fullExpression(text, none); ok {
		s := statement{sides: e.inherit(none).sides(), qualifier: qualifier, marked: isMarked(text), word: wordBefore(text)}
		return s, s.plainNumbers() && !slices.ContainsFunc(s.sides, func(e expression) bool { return len(e.items) > 2 })
	}
	if text := withoutSizeWord(text); qualifier == "" && isColour(text) {
		it := item{text: text, form: form{kind: formText, value: text}}
		return statement{sides: []expression{{items: []item{it}}}, colour: true}, true
	}
	return readMarkedStatement(folded)
}

// wordBefore is the word that makes years of the number behind it, or the T that
// may make a toddler's size of it.
func wordBefore(text string) string {
	if word, _, _ := strings.Cut(text, " "); word == "age" || word == "ages" {
		return word
	}
	if toks := tokens(text); len(toks) == 2 && toks[0].text == "t" && ofToddlers(toks[1].text) {
		return "t"
	}
	return ""
}

// commaNumber is two numbers with nothing but a comma between.
var commaNumber = regexp.MustCompile(`([0-9]+),([0-9]+)`)

// decimals writes a point for the comma in "38,5". Where the second number is
// not the smaller, as in "8,10", it is a list.
func decimals(folded string) string {
	return commaNumber.ReplaceAllStringFunc(folded, func(s string) string {
		m := commaNumber.FindStringSubmatch(s)
		if numberValue(m[2]) < numberValue(m[1]) && len(m[2]) < 3 {
			return m[1] + "." + m[2]
		}
		return s
	})
}

// readMarkedStatement reads the marked sizes of a longer name.
func readMarkedStatement(folded string) (statement, bool) {
	p := &parser{toks: tokens(bare(folded)), index: &labelIndex{}}
	s := statement{marked: true}
	for p.pos < len(p.toks) {
		start := p.pos
		e, ok := p.markedHere()
		if !ok {
			p.pos = start + 1
			continue
		}
		s.before = p.rangeBefore(start)
		if s.before == "" && p.veto(start, e) != "" || len(e.items) > 2 {
			return statement{}, false
		}
		if kind := p.rangeWord(); kind != "" {
			s.qualifier = kind
		}
		s.sides = append(s.sides, e.inherit(p.index).sides()...)
	}
	return s, len(s.sides) > 0 && s.plainNumbers()
}

// plainNumbers makes a number and a qualifier of each "16w". It fails where a
// name has several qualifiers, or one beside a plain number.
func (s *statement) plainNumbers() bool {
	for _, e := range s.sides {
		letter, ok := plainNumbers(e)
		if !ok || letter != "" && s.qualifier != "" && letter != s.qualifier {
			return false
		}
		if letter != "" {
			s.qualifier = letter
		}
	}
	return true
}

// isRange says whether a word parts a range of sizes from another wherever it
// stands behind a size; "long" and "short" may be said of sleeves.
func isRange(word string) bool { return word == "petite" || word == "tall" }

// withoutSizeWord takes a size word from the front of a text: "size red".
func withoutSizeWord(text string) string {
	if word, rest, ok := strings.Cut(text, " "); ok && sizeWord(word) {
		return rest
	}
	return text
}

// prefer puts the side first that tells most: in a file of letter sizes "8 (M)"
// is size M. One size comes before two, as in "XS (6-8)"; then the kind and
// system that take the most values, then those of most names, then a number.
// Two sizes beside one go.
func (d *drafting) prefer() {
	votes, values := map[form]int{}, map[form]bool{}
	for _, s := range d.statements {
		for _, e := range s.sides {
			f := e.items[0].form
			k := form{kind: f.kind, system: f.system}
			votes[k] += 2
			if f.kind == formNumber {
				votes[k]++
			}
			if !values[f] {
				values[f] = true
				votes[k] += 1 << 20
			}
		}
	}
	for i := range d.statements {
		s := &d.statements[i]
		slices.SortStableFunc(s.sides, func(a, b expression) int {
			f, g := a.items[0].form, b.items[0].form
			return cmp.Or(len(a.items)-len(b.items), votes[form{kind: g.kind, system: g.system}]-votes[form{kind: f.kind, system: f.system}])
		})
		if _, one := s.single(); one {
			s.sides = slices.DeleteFunc(s.sides, func(e expression) bool { return len(e.items) > 1 })
		}
	}
}

// isMarked says whether a text that is all about sizes has a word for it.
func isMarked(folded string) bool {
	for _, t := range tokens(folded) {
		if _, _, ok := system(t.text); ok || sizeWord(t.text) || t.text == "t" || t.kind == tokenAge && !t.weak {
			return true
		}
	}
	return false
}

// choose leaves out bare numbers and letters beside more that are marked, and a
// single bare one: they may be anything. Colours count where little else does.
func (d *drafting) choose() {
	marked, bare := map[form]bool{}, map[form]bool{}
	for _, s := range d.statements {
		for _, it := range s.first().items {
			if s.marked && !s.colour {
				marked[it.form.plain()] = true
			} else if !s.colour {
				bare[it.form.plain()] = true
			}
		}
	}
	only := 0 // values that are always bare
	for f := range bare {
		if !marked[f] {
			only++
		}
	}
	follow, end := map[string]bool{}, d.ageEnd()
	for _, s := range d.statements {
		follow[s.name] = end.follows(s)
	}
	if only < len(marked) {
		d.goesOn = d.series()
	}
	gone := func(s statement) bool {
		switch {
		case follow[s.name], d.goesOn[s.name] && !marked[s.first().items[0].form.plain()]:
			return false
		case s.colour:
			return len(marked)+only > 1
		case s.marked:
			return false
		}
		return only < len(marked) && !marked[s.first().items[0].form.plain()] || len(marked)+only < 2
	}
	for _, s := range d.statements {
		if gone(s) {
			d.left = append(d.left, s)
		}
	}
	d.statements = slices.DeleteFunc(d.statements, gone)
}

// plain is a form without its system.
func (f form) plain() form { return form{kind: f.kind, value: f.value} }

// distinct leaves out second sides that stand beside several sizes, such as the
// letters in "8 (S)" and "10 (S)": they tell none of them.
func (d *drafting) distinct() {
	beside := map[form]form{} // the one that it stands beside
	several := map[form]bool{}
	for _, s := range d.statements {
		first := s.first().items[0].form
		for _, e := range s.sides[1:] {
			f := e.items[0].form
			if other, ok := beside[f]; ok && other != first {
				several[form{kind: f.kind, system: f.system}] = true
			}
			beside[f] = first
		}
	}
	for i := range d.statements {
		s := &d.statements[i]
		s.more = len(s.sides) > 1
		first := s.sides[0]
		s.sides = append([]expression{first}, slices.DeleteFunc(slices.Clone(s.sides[1:]), func(e expression) bool {
			f := e.items[0].form
			return several[form{kind: f.kind, system: f.system}]
		})...)
	}
}

// group makes a step of each size that a name names alone, and of each pair or
// range whose ends no other name names.
func (d *drafting) group() {
	d.systems = map[string]bool{}
	alone := map[string]bool{}
	d.distinct()
	for _, s := range d.statements {
		if f, ok := s.single(); ok {
			alone[f.value+" "+s.qualifier] = true
			if f.system != "" {
				d.systems[f.system] = true
			}
		}
	}
	steps := map[draftRank]*draftStep{}
	for _, s := range d.statements {
		items := s.first().items
		if a := readAge(items[0].form.value); items[0].form.kind == formAge && a.isRange() {
			from, to := a.ends()
			if alone[from.String()+" "] && alone[to.String()+" "] {
				continue
			}
		}
		if len(items) == 2 && (alone[items[0].form.value+" "+s.qualifier] || alone[items[1].form.value+" "+s.qualifier]) {
			continue // several sizes in one layer
		}
		rank := s.rank(len(d.systems) > 1)
		if steps[rank] == nil {
			steps[rank] = &draftStep{rank: rank}
			d.steps = append(d.steps, steps[rank])
		}
		steps[rank].from = append(steps[rank].from, s)
	}
}
