package sizes

import (
	"regexp"
	"slices"
)

// A statement is what one name says of sizes before there is a chart.
type statement struct {
	name      string
	sides     []expression // names of the same: two in "8 (M)"
	qualifier string       // "w" in "16W"
	marked    bool         // a size word or system stands there
	colour    bool
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
var qualified = regexp.MustCompile(`^(.*[0-9])(?:([wpt])| ?-?(petite|tall|short|long|regular|women|women's|womens))$`)

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
	d.prefer()
	d.choose()
	d.group()
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
		s := statement{sides: e.inherit(none).sides(), qualifier: qualifier, marked: isMarked(text)}
		return s, !slices.ContainsFunc(s.sides, func(e expression) bool { return len(e.items) > 2 })
	}
	if qualifier == "" && isColour(text) {
		it := item{text: text, form: form{kind: formText, value: text}}
		return statement{sides: []expression{{items: []item{it}}}, colour: true}, true
	}
	return readMarkedStatement(folded)
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
		if p.veto(start, e) != "" || len(e.items) > 2 {
			return statement{}, false
		}
		s.sides = append(s.sides, e.inherit(p.index).sides()...)
	}
	return s, len(s.sides) > 0
}

// prefer puts the side first that is of the kind and system of most names: in a
// file of letter sizes "8 (M)" is size M. Of equals a number comes first.
func (d *drafting) prefer() {
	votes := map[form]int{}
	for _, s := range d.statements {
		for _, e := range s.sides {
			f := e.items[0].form
			votes[form{kind: f.kind, system: f.system}] += 2
			if f.kind == formNumber {
				votes[form{kind: f.kind, system: f.system}]++
			}
		}
	}
	for _, s := range d.statements {
		slices.SortStableFunc(s.sides, func(a, b expression) int {
			f, g := a.items[0].form, b.items[0].form
			return votes[form{kind: g.kind, system: g.system}] - votes[form{kind: f.kind, system: f.system}]
		})
	}
}

// isMarked says whether a text that is all about sizes has a word for it.
func isMarked(folded string) bool {
	for _, t := range tokens(folded) {
		if _, _, ok := system(t.text); ok || sizeWord(t.text) || t.text == "t" {
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
	d.statements = slices.DeleteFunc(d.statements, func(s statement) bool {
		switch {
		case s.colour:
			return len(marked)+only > 1
		case s.marked:
			return false
		}
		return only < len(marked) && !marked[s.first().items[0].form.plain()] || len(marked)+only < 2
	})
}

// plain is a form without its system.
func (f form) plain() form { return form{kind: f.kind, value: f.value} }

// group makes a step of each size that a name names alone, and of each pair or
// range whose ends no other name names.
func (d *drafting) group() {
	d.systems = map[string]bool{}
	alone := map[string]bool{}
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
