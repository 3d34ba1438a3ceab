package sizes

import (
	"regexp"
	"slices"
	"strings"
)

// ageIn finds how a name writes an age: "0-3M", "6-9 months", "Newborn". What
// it writes in other digits comes out plain.
func ageIn(name, value string) string {
	name = strings.ReplaceAll(strings.Join(strings.Fields(strings.Map(visible, name)), " "), "_", " ")
	for _, texts := range []*regexp.Regexp{ageRanges, ageTexts} {
		for _, text := range texts.FindAllString(name, -1) {
			p := &parser{toks: tokens(fold(text)), index: &labelIndex{}, full: true}
			if f, ok := p.age(); ok && len(p.toks) == 1 && f.value == value {
				return text
			}
		}
	}
	return value
}

// ageRanges and ageTexts are runs of a name that may be an age.
var (
	ageRanges = regexp.MustCompile(`(?i)[0-9]+(?:[ .\-]?\pL+)? ?(?:[-/~‐-―−]|\pL+) ?[0-9]+[ .\-]?\pL+`)
	ageTexts  = regexp.MustCompile(`(?i)[0-9]+[ .\-]?\pL+|\pL+`)
)

// ages settles what speaks of ages: "Age 4" is one beside others, "2T" is a
// toddler's size where no size says otherwise, and a single "3m" may be a length.
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
		d.statements = slices.DeleteFunc(d.statements, d.eitherToddler)
	}
}

// eitherToddler leaves out "T4" beside "2T" and "3T": it may be 4T, or size 4 in
// the French way.
func (d *drafting) eitherToddler(s statement) bool {
	if s.word != "t" {
		return false
	}
	d.left = append(d.left, s)
	return true
}

// toddlers says whether T parts the sizes of toddlers, 2T and 3T, from those of
// older children, and not tall sizes from others. Common practice, no source.
func (d *drafting) toddlers() bool {
	most, least := 0.0, 1000.0
	for _, s := range d.statements {
		f, one := s.single()
		switch {
		case !one || f.kind != formNumber || f.system != "" || s.word == "t":
		case s.qualifier == "t":
			most = max(most, numberValue(f.value))
		case s.qualifier == "":
			least = min(least, numberValue(f.value))
		}
	}
	return 0 < most && most <= 6 && least >= most
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

// follows says whether a bare number goes on where the ages end, as 5 and 6 do
// after "3T" or "4 years". One that is a number of months as well, as 12 is
// beside "12m", may be either.
func (e ageEnd) follows(s statement) bool {
	f, one := s.single()
	if !e.there || !one || f.kind != formNumber || f.system != "" || s.qualifier != "" {
		return false
	}
	n := numberValue(f.value)
	return n >= e.toddler && 12*n >= e.months && !e.single[n] && n <= 18
}

// besideAges says why a bare number beside ages is no size; left are those that
// are none, by their folded names.
func (d *drafting) besideAges(left map[string]statement, name string) string {
	s, ok := left[fold(name)]
	if !ok {
		return ""
	}
	f, one := s.single()
	if one && s.word == "t" && d.toddlers() {
		return "may be " + f.value + "T or size " + f.value
	}
	if !one || f.kind != formNumber {
		return ""
	}
	for _, s := range d.steps {
		if a := readAge(s.rank.from); s.rank.kind == formAge && !a.isRange() && numberValue(f.value) == float64(a.from) {
			return "may be " + s.rank.from + " or a size of its own"
		}
	}
	return ""
}
