package sizes

import (
	"cmp"
	"maps"
	"regexp"
	"slices"
	"strings"
)

// mostVotes is the text with the most votes; of several the shortest, then the
// first in the order of Unicode.
func mostVotes(votes map[string]int) string {
	return slices.MinFunc(slices.Collect(maps.Keys(votes)), func(a, b string) int {
		return cmp.Or(votes[b]-votes[a], len(a)-len(b), cmp.Compare(a, b))
	})
}

// label is what a statement calls its size: as the name writes it, else in plain
// letters and digits.
func (s statement) label(bySystem bool) string {
	if s.colour {
		text := oneLine(s.name) // without what programs append
		if fold(text) != bare(fold(text)) {
			text = bare(fold(text))
		}
		return withoutSizeWord(text)
	}
	var sides []string
	for _, e := range s.sides {
		if len(e.items) > 2 {
			continue
		}
		text := s.itemLabel(e.items[0], bySystem || len(s.sides) > 1)
		if len(e.items) == 2 {
			sign := "-"
			if e.seps[0].kind == sepList {
				sign = "/"
			}
			text += sign + s.itemLabel(e.items[1], false)
		}
		sides = append(sides, text)
	}
	a, b := s.form(), s.sides[len(s.sides)-1].items[0].form
	if len(sides) == 2 && a.kind == b.kind && (a.system == "" || b.system == "") {
		return sides[0] + " (" + sides[1] + ")" // "8 / EU 38" would be two sizes
	}
	return strings.Join(sides, " / ")
}

// oneLine is a name without what is not seen, and with single spaces.
func oneLine(name string) string {
	return strings.Join(strings.Fields(strings.Map(visible, name)), " ")
}

// itemLabel is how a name writes one size, with its system where that is asked for.
func (s statement) itemLabel(it item, withSystem bool) string {
	if it.form.kind == formAge {
		if number, _, _ := strings.Cut(it.form.value, " "); s.word != "" && !strings.Contains(number, "-") {
			return "Age " + number
		}
		return ageIn(s.name, it.form.value)
	}
	text := valueIn(s.name, it.form, s.qualifier)
	if withSystem && it.form.system != "" {
		text = strings.ToUpper(it.form.system) + " " + text
	}
	return text
}

// ageRanges and ageTexts are runs of a name that may be an age.
var (
	ageRanges = regexp.MustCompile(`(?i)[0-9]+(?:[ .\-]?\pL+)? ?(?:[-/~‐-―−]|\pL+) ?[0-9]+[ .\-]?\pL+`)
	ageTexts  = regexp.MustCompile(`(?i)[0-9]+[ .\-]?\pL+|\pL+`)
)

// ageIn finds how a name writes an age: "0-3M", "6-9 months", "Newborn". What
// it writes in other digits comes out plain.
func ageIn(name, value string) string {
	name = strings.ReplaceAll(oneLine(name), "_", " ")
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

// sizeTexts are runs of plain letters and digits that may be a size.
var sizeTexts = regexp.MustCompile(`(?i)[0-9]x[sl]?\b|[0-9]+(?:\.[0-9]+)?(?: [0-9]/[0-9]+)?` +
	`(?:[wpt]\b| ?-?(?:petite|tall|short|long|regular|women's|womens|women))?|[a-z]+`)

// valueIn finds how a name writes a value: "08" for 8 and "XXL" for 2xl. What
// it writes in words or other digits comes out plain.
func valueIn(name string, f form, qualifier string) string {
	for _, text := range sizeTexts.FindAllString(name, -1) {
		folded := fold(text)
		if q, ok := strings.CutSuffix(folded, qualifier); ok && qualifier != "" {
			folded = strings.TrimRight(q, " -")
		} else if qualifier != "" {
			continue
		}
		if f.kind == formNumber && folded == f.value {
			return text
		}
		if f.kind == formLetter && len(text) < 5 {
			p := &parser{toks: tokens(folded), index: &labelIndex{}}
			if letter, n := p.letter(); n > 0 && n == len(p.toks) && letter.value == f.value {
				return strings.ToUpper(text)
			}
		}
	}
	if len(qualifier) == 1 {
		return strings.ToUpper(f.value + qualifier)
	}
	return strings.TrimSpace(strings.ToUpper(f.value) + " " + qualifier)
}

// form sets the form that most names of one size have.
func (d *drafting) form() {
	votes := map[string]int{}
	total := 0
	for _, s := range d.steps[:min(len(d.steps), len(d.out.Chart.Sizes))] {
		for _, st := range s.from {
			total++
			if form, ok := formOf(st.name, s.label); ok && (!st.more || form == labelField) {
				votes[form]++
			}
		}
	}
	if len(votes) == 0 {
		return
	}
	best := mostVotes(votes)
	if votes[best] < 2 || 2*votes[best] <= total {
		return
	}
	word := func(t token) bool { return t.kind != tokenSign && !t.is(meansSize|meansSystem|meansWeakSystem) }
	if !slices.ContainsFunc(tokens(fold(strings.Replace(best, labelField, " ", 1))), word) || !d.besides(best) {
		d.out.Chart.Names = best
	}
}

// besides reports whether a size with a name of a form has one of another form too: then the words
// of the form are about more than sizes, as in "8 front" and "8 back".
func (d *drafting) besides(form string) bool {
	return slices.ContainsFunc(d.steps, func(s *draftStep) bool {
		name := fold(strings.Replace(form, labelField, s.label, 1))
		has := func(st statement) bool { return fold(st.name) == name }
		hasOther := func(st statement) bool { return bare(fold(st.name)) != bare(name) }
		return slices.ContainsFunc(s.from, has) && slices.ContainsFunc(s.from, hasOther)
	})
}

// formOf is a name with {label} in the place of a label that stands in it once,
// and not as a part of a longer number or word.
func formOf(name, label string) (string, bool) {
	if strings.Count(name, label) != 1 || strings.ContainsAny(name, "{}") || len(name) > maxTextBytes/2 {
		return "", false
	}
	before, after, _ := strings.Cut(name, label)
	if before != "" && sameKind(before[len(before)-1], label[0]) ||
		after != "" && sameKind(after[0], label[len(label)-1]) {
		return "", false
	}
	return before + labelField + after, true
}

// sameKind reports whether two bytes are both digits or both letters.
func sameKind(a, b byte) bool {
	isLetter := func(b byte) bool { return 'a' <= b|0x20 && b|0x20 <= 'z' }
	return isDigit(a) && isDigit(b) || isLetter(a) && isLetter(b)
}
