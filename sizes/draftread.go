package sizes

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"
)

// A statement is what one name says of sizes before there is a chart.
type statement struct {
	name      string
	sides     []expression // names of the same: two in "8 (M)"; the first counts
	qualifier string       // "w" in "16W"
	marked    bool         // a size word or system stands there
	colour    bool
	word      string // "age" in "Age 4", "t" in "T4"
	before    string // "plus" in "Plus size 16"
	toddler   bool   // the T of "2T" is that of toddlers
	more      bool   // it said more of the size than sides does
}

// form is that of the first size.
func (s statement) form() form { return s.sides[0].items[0].form }

// single reports whether a statement names one size and gives its form.
func (s statement) single() (form, bool) { return s.form(), len(s.sides[0].items) == 1 }

// number gives the number that a statement names alone and in no sizing system.
func (s statement) number() (float64, bool) {
	f, one := s.single()
	return numberValue(f.value), one && f.kind == formNumber && f.system == ""
}

// plain is a form without its system.
func (f form) plain() form { return form{kind: f.kind, value: f.value} }

// family is a form without its value: a kind of size, in a system.
func (f form) family() form { return form{kind: f.kind, system: f.system} }

// read finds the sizes that the names tell, once for each name, and groups the
// statements that name one size.
func (d *drafting) read() {
	seen := map[string]bool{}
	heights := heightNames(d.names)
	var unread []string
	for _, name := range d.names {
		key := fold(name)
		if len(name) > maxTextBytes || seen[key] {
			continue
		}
		seen[key] = true
		if s, ok := readStatement(cmp.Or(heights[key], key)); ok {
			s.name = name
			d.statements = append(d.statements, s)
		} else {
			unread = append(unread, key)
		}
	}
	d.readSlots(unread)
	// What is said of plus sizes or the like counts only where it is said of all.
	differs := func(s statement) bool { return s.before == "" || s.before != d.statements[0].before }
	if slices.ContainsFunc(d.statements, differs) {
		d.statements = slices.DeleteFunc(d.statements, func(s statement) bool { return s.before != "" })
	}
	d.prefer()
	d.ages()
	d.bareNumbers()
	d.distinct()
	d.group()
}

// heightNames are the names that are nothing but the height of a child in centimetres, "98 cm", and
// what they are without the unit: where there are three of them, and none is another length.
func heightNames(names []string) map[string]string {
	heights := map[string]string{}
	for _, name := range names {
		if len(name) > maxTextBytes {
			continue
		}
		if key := fold(name); strings.HasSuffix(key, "cm") && heightLabel.MatchString(key) {
			heights[key] = strings.TrimSuffix(strings.TrimSuffix(key, "cm"), " ")
		}
	}
	if len(heights) < 3 || !areHeights(slices.Collect(maps.Keys(heights))) {
		return nil
	}
	return heights
}

// readSlots finds the sizes within the names of other things, among those that say none by
// themselves, and tells the form of the names.
func (d *drafting) readSlots(unread []string) {
	found := findSlots(unread, &labelIndex{}, d.plainSizes())
	var frames, names []string
	d.unsure = found.unsure
	for _, name := range d.names {
		at, ok := found.found[fold(name)]
		if !ok {
			continue
		}
		delete(found.found, fold(name))
		if s, ok := readStatement(at.text); ok {
			s.name, s.marked = name, true
			d.statements = append(d.statements, s)
			frames, names = append(frames, at.frame), append(names, name)
		}
	}
	if len(names) > 0 {
		slices.Sort(names) // whatever the order of the file
		d.because(fmt.Sprintf("Sizes stand within the names of other things, %q: layers such as %s agree but for that.",
			formWords(frames), quoteAll(names[:min(2, len(names))])))
	}
}

// plainSizes are the sizes that names say by themselves: those that are marked, and bare ones in a
// row.
func (d *drafting) plainSizes() map[form]bool {
	known, bare := map[form]bool{}, map[form]bool{}
	for _, s := range d.statements {
		f, one := s.single()
		switch {
		case !one || s.colour:
		case s.marked:
			known[f.plain()] = true
		default:
			bare[f.plain()] = true
		}
	}
	if inARow(slices.Collect(maps.Keys(bare))) == 2 {
		maps.Copy(known, bare)
	}
	return known
}

// qualified is a number with what parts a range of sizes from another: women's,
// petite, tall. Common practice, no source.
var qualified = regexp.MustCompile(`^(.*[0-9])` +
	`(?:([wpt])| ?-?(petite|tall|short|long|regular|kurz|lang|women|women's|womens))$`)

// commaNumber is two numbers with nothing but a comma between.
var commaNumber = regexp.MustCompile(`([0-9]+),([0-9]+)`)

// readStatement reads a folded name with an empty chart.
func readStatement(folded string) (statement, bool) {
	none := &labelIndex{}
	folded = commaNumber.ReplaceAllStringFunc(folded, func(s string) string {
		whole, rest, _ := strings.Cut(s, ",") // "38,5"; where the second is not the smaller, as in "8,10", it is a list
		if numberValue(rest) < numberValue(whole) && len(rest) < 3 {
			return whole + "." + rest
		}
		return s
	})
	text, qualifier := bare(folded), ""
	if m := qualified.FindStringSubmatch(text); m != nil {
		text, qualifier = m[1], m[2]+m[3]
	}
	if e, ok := fullExpression(text, none); ok {
		s := statement{sides: e.inherit(none).sides(), qualifier: qualifier}
		toks := tokens(text)
		s.marked = slices.ContainsFunc(toks, func(t token) bool {
			return t.is(meansSize|meansSystem|meansWeakSystem) || t.text == "t" || t.kind == tokenAge && !t.weak
		})
		if word, _, _ := strings.Cut(text, " "); word == "age" || word == "ages" {
			s.word = word // it makes years of the number
		} else if len(toks) == 2 && toks[0].text == "t" && ofToddlers(toks[1].text) {
			s.word = "t" // it may make a toddler's size of it
		}
		return s, s.plainNumbers() && !slices.ContainsFunc(s.sides, func(e expression) bool { return len(e.items) > 2 })
	}
	if text := withoutSizeWord(text); qualifier == "" && isColour(text) {
		it := item{text: text, form: form{kind: formText, value: text}}
		return statement{sides: []expression{{items: []item{it}}}, colour: true}, true
	}
	return readMarkedStatement(folded)
}

// withoutSizeWord takes a size word from the front of a text: "size red".
func withoutSizeWord(text string) string {
	if word, rest, ok := strings.Cut(text, " "); ok && lookUp(fold(word)).is(meansSize) {
		return rest
	}
	return text
}

// isColour reports whether a folded text is a colour and nothing else.
func isColour(text string) bool { return len(palette().find(text)) > 0 }

// readMarkedStatement reads the marked sizes of a longer name.
func readMarkedStatement(folded string) (statement, bool) {
	p := &parser{toks: tokens(bare(folded)), index: &labelIndex{}}
	s := statement{marked: true}
	for p.pos < len(p.toks) {
		start := p.pos
		e, ok := p.marked()
		if !ok {
			p.pos = start + 1
			continue
		}
		s.before = p.rangeBefore(start)
		if s.before == "" && p.veto(start, e).kind != 0 || len(e.items) > 2 {
			return statement{}, false
		}
		s.qualifier = cmp.Or(p.rangeBehind(), s.qualifier)
		s.sides = append(s.sides, e.inherit(p.index).sides()...)
	}
	return s, len(s.sides) > 0 && s.plainNumbers()
}

// plainNumbers makes a number and a qualifier of each "16w". It fails where a
// name has several qualifiers, or one beside a plain number.
func (s *statement) plainNumbers() bool {
	for _, e := range s.sides {
		for i, it := range e.items {
			if it.form.kind != formRanged {
				continue
			}
			n := len(it.form.value) - 1
			if letter := it.form.value[n:]; s.qualifier == "" || s.qualifier == letter {
				s.qualifier = letter
				e.items[i].form = form{kind: formNumber, value: it.form.value[:n], system: it.form.system}
				continue
			}
			return false
		}
	}
	return true
}

// prefer puts the side first that tells most: in a file of letter sizes "8 (M)" is size M. One size
// comes before two, as in "XS (6-8)"; then the kind and system that take the most values, then
// those of most names, then a number. Two sizes beside one are left out.
func (d *drafting) prefer() {
	votes, values := map[form]int{}, map[form]bool{}
	for _, s := range d.statements {
		for _, e := range s.sides {
			f := e.items[0].form
			votes[f.family()] += 2
			if f.kind == formNumber {
				votes[f.family()]++
			}
			if !values[f] {
				values[f] = true
				votes[f.family()] += 1 << 20
			}
		}
	}
	for i := range d.statements {
		s := &d.statements[i]
		slices.SortStableFunc(s.sides, func(a, b expression) int {
			f, g := a.items[0].form, b.items[0].form
			return cmp.Or(len(a.items)-len(b.items), votes[g.family()]-votes[f.family()])
		})
		if _, one := s.single(); one {
			s.sides = slices.DeleteFunc(s.sides, func(e expression) bool { return len(e.items) > 1 })
		}
	}
}

// ages settles what speaks of ages: "Age 4" is one beside others, "2T" is a
// toddler's size where no size says otherwise, and a single "3m" may be a length.
// "T4" beside "2T" and "3T" is left out: it may be 4T, or size 4 in the French way.
func (d *drafting) ages() {
	known := map[string]bool{}
	for _, s := range d.statements {
		if f, one := s.single(); one && f.kind == formAge {
			known[f.value] = true
		}
	}
	toddlers := d.toddlers()
	for i := range d.statements {
		s := &d.statements[i]
		f, one := s.single()
		switch {
		case one && f.kind == formAge:
			s.marked = s.marked || len(known) > 1
		case one && len(known) > 0 && s.word != "" && s.qualifier == "":
			s.sides = []expression{{items: []item{{form: form{kind: formAge, value: f.value + " years"}}}}}
		case one && toddlers && s.qualifier == "t":
			s.marked = s.marked || len(known) > 0
			s.toddler = true
		}
	}
	if toddlers {
		d.leave(func(s statement) bool { return s.word == "t" })
	}
}

// leave takes statements out of what counts.
func (d *drafting) leave(out func(statement) bool) {
	d.statements = slices.DeleteFunc(d.statements, func(s statement) bool {
		leaves := out(s)
		if leaves {
			d.left = append(d.left, s)
		}
		return leaves
	})
}

// toddlers reports whether T parts the sizes of toddlers, 2T and 3T, from those of
// older children, and not tall sizes from others. Common practice, no source.
func (d *drafting) toddlers() bool {
	most, least := 0.0, math.Inf(1)
	for _, s := range d.statements {
		n, ok := s.number()
		switch {
		case !ok || s.word == "t":
		case s.qualifier == "t":
			most = max(most, n)
		case s.qualifier == "":
			least = min(least, n)
		}
	}
	return 0 < most && most <= 6 && least >= most
}

// bareNumbers leaves out bare numbers and letters beside more that are marked, and
// a single bare one: they may be anything. Colours count where little else does.
func (d *drafting) bareNumbers() {
	marked, bare := map[form]bool{}, map[form]bool{}
	for _, s := range d.statements {
		for _, it := range s.sides[0].items {
			switch {
			case s.colour:
			case s.marked:
				marked[it.form.plain()] = true
			default:
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
	end := d.ageEnd()
	if only < len(marked) {
		d.goesOn = d.series()
	}
	d.leave(func(s statement) bool {
		known := marked[s.form().plain()]
		switch {
		case end.follows(s), d.goesOn[s.name] && !known:
			return false
		case s.colour:
			return len(marked)+only > 1
		case s.marked:
			return false
		}
		return only < len(marked) && !known || len(marked)+only < 2
	})
}

// series are the bare numbers that stand where the marked sizes go on: 16 beside "SIZE_08" and
// "SIZE_10". Such sizes lie in equal steps. Common practice, no source.
func (d *drafting) series() map[string]bool {
	marked, bare := []int{}, map[string]int{}
	for _, s := range d.statements {
		n, ok := s.number()
		switch whole := int(n); {
		case !ok || s.qualifier != "" || n != float64(whole):
		case s.marked:
			marked = append(marked, whole)
		default:
			bare[s.name] = whole
		}
	}
	out := map[string]bool{}
	if len(marked) == 0 {
		return out
	}
	slices.Sort(marked)
	least, step := marked[0], 0 // the largest step that leads from the smallest to all others
	for _, n := range marked {
		for n -= least; n != 0; {
			step, n = n, step%n
		}
	}
	for name, n := range bare {
		if step > 1 && n > least && (n-least)%step == 0 {
			out[name] = true
		}
	}
	return out
}

// ageEnd is where the ages of some names end.
type ageEnd struct {
	there   bool             // there are years, or sizes of toddlers
	toddler float64          // the largest of toddlers
	months  float64          // the last month
	single  map[float64]bool // the numbers of ages that are no ranges
}

// ageEnd looks where the ages end.
func (d *drafting) ageEnd() ageEnd {
	end := ageEnd{single: map[float64]bool{}}
	for _, s := range d.statements {
		f, one := s.single()
		switch {
		case one && s.toddler:
			end.there = true
			end.toddler = max(end.toddler, numberValue(f.value))
		case one && f.kind == formAge:
			a := readAge(f.value)
			_, last := a.months()
			end.there = end.there || a.unit == "years"
			end.months = max(end.months, float64(last))
			if !a.isRange() {
				end.single[float64(a.to)] = true
			}
		}
	}
	return end
}

// follows reports whether a bare number goes on where the ages end, as 5 and 6 do after "3T" or
// "4 years". One that is a number of months as well, as 12 is beside "12m", may be either.
func (e ageEnd) follows(s statement) bool {
	n, ok := s.number()
	return ok && e.there && s.qualifier == "" && n >= e.toddler && 12*n >= e.months && !e.single[n] && n <= 18
}

// besideAges says why what was left out beside ages is no size, "" where it was for another reason.
func (d *drafting) besideAges(s statement) string {
	f, one := s.single()
	if one && s.word == "t" && d.toddlers() {
		return "may be " + f.value + "T or size " + f.value
	}
	if !one || f.kind != formNumber {
		return ""
	}
	for _, s := range d.steps {
		a := readAge(s.rank.from)
		if s.rank.kind == formAge && !a.isRange() && numberValue(f.value) == float64(a.from) {
			return "may be " + s.rank.from + " or a size of its own"
		}
	}
	return ""
}

// distinct leaves out second sides that stand beside several sizes, such as the
// letters in "8 (S)" and "10 (S)": they tell none of them.
func (d *drafting) distinct() {
	beside := map[form]form{} // the one that it stands beside
	several := map[form]bool{}
	for _, s := range d.statements {
		for _, e := range s.sides[1:] {
			f := e.items[0].form
			if other, ok := beside[f]; ok && other != s.form() {
				several[f.family()] = true
			}
			beside[f] = s.form()
		}
	}
	for i := range d.statements {
		s := &d.statements[i]
		s.more = len(s.sides) > 1
		s.sides = append(s.sides[:1:1], slices.DeleteFunc(slices.Clone(s.sides[1:]), func(e expression) bool {
			return several[e.items[0].form.family()]
		})...)
	}
}

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
		items := s.sides[0].items
		if a := readAge(s.form().value); s.form().kind == formAge && a.isRange() {
			from, to := a.ends()
			if alone[from.String()+" "] && alone[to.String()+" "] {
				continue
			}
		}
		known := func(it item) bool { return alone[it.form.value+" "+s.qualifier] }
		if len(items) == 2 && slices.ContainsFunc(items, known) {
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
