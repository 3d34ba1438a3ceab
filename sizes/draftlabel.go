package sizes

import (
	"cmp"
	"maps"
	"regexp"
	"slices"
	"strings"
)

// written is the label of a size: as most of its names write it, else in plain
// letters and digits.
func (s *draftStep) written(bySystem bool) string {
	votes := map[string]int{}
	for _, st := range s.from {
		votes[st.label(bySystem)]++
	}
	return mostVotes(votes)
}

// mostVotes is the text with the most votes; of several the shortest, then the
// first in the order of Unicode.
func mostVotes(votes map[string]int) string {
	texts := slices.SortedFunc(maps.Keys(votes), func(a, b string) int {
		return cmp.Or(cmp.Compare(votes[b], votes[a]), cmp.Compare(len(a), len(b)), cmp.Compare(a, b))
	})
	return texts[0]
}

// label is what a statement calls its size.
func (s statement) label(bySystem bool) string {
	if s.colour {
		text := trimmedName(s.name)
		if word, rest, ok := strings.Cut(text, " "); ok && sizeWord(fold(word)) {
			return rest
		}
		return text
	}
	var sides []string
	for _, e := range s.sides {
		if len(e.items) > 2 {
			continue
		}
		text := s.itemLabel(e.items[0], bySystem || len(s.sides) > 1)
		if len(e.items) == 2 {
			text += pairSign(e.seps[0]) + s.itemLabel(e.items[1], false)
		}
		sides = append(sides, text)
	}
	if len(sides) == 2 && s.lacksSystem() {
		return sides[0] + " (" + sides[1] + ")" // "8 / EU 38" would be two sizes
	}
	return strings.Join(sides, " / ")
}

// lacksSystem says whether of two sides of a kind one does not name its system.
func (s statement) lacksSystem() bool {
	a, b := s.sides[0].items[0].form, s.sides[len(s.sides)-1].items[0].form
	return a.kind == b.kind && (a.system == "" || b.system == "")
}

func pairSign(sep separator) string {
	if sep.kind == sepList {
		return "/"
	}
	return "-"
}

// trimmedName is a name without what programs append and white space around.
func trimmedName(name string) string {
	text := strings.Join(strings.Fields(strings.Map(visible, name)), " ")
	if fold(text) != bare(fold(text)) {
		text = bare(fold(text))
	}
	return text
}

// itemLabel is how a name writes one size, with its system where that is asked
// for.
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

// valueIn finds how a name writes a value: "08" for 8 and "XXL" for 2xl. What
// it writes in words or other digits comes out plain.
func valueIn(name string, f form, qualifier string) string {
	for _, at := range sizeTexts.FindAllStringIndex(name, -1) {
		text := name[at[0]:at[1]]
		folded := fold(text)
		if q, ok := strings.CutSuffix(folded, qualifier); ok && qualifier != "" {
			folded = strings.TrimRight(q, " -")
		} else if qualifier != "" {
			continue
		}
		if f.kind == formNumber && folded == f.value {
			return text
		}
		if value, ok := shortLetter(folded); ok && f.kind == formLetter && value == f.value && len(text) < 5 {
			return strings.ToUpper(text)
		}
	}
	text := strings.ToUpper(f.value)
	switch {
	case len(qualifier) == 1:
		text += strings.ToUpper(qualifier)
	case qualifier != "":
		text += " " + qualifier
	}
	return text
}

// shortLetter reads a letter size in one word, "2X" and "1X" too.
func shortLetter(folded string) (string, bool) {
	p := &parser{toks: tokens(folded), index: &labelIndex{}}
	f, n := p.letter()
	return f.value, n > 0 && n == len(p.toks)
}

// sizeTexts are runs of plain letters and digits that may be a size.
var sizeTexts = regexp.MustCompile(`(?i)[0-9]x[sl]?\b|[0-9]+(?:\.[0-9]+)?(?: [0-9]/[0-9]+)?(?:[wpt]\b| ?-?(?:petite|tall|short|long|regular|women's|womens|women))?|[a-z]+`)

// form sets the form that most names of one size have.
func (d *drafting) form() {
	votes := map[string]int{}
	total := 0
	for i, s := range d.steps {
		if i >= len(d.out.Chart.Sizes) {
			break
		}
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
	if best := mostVotes(votes); votes[best] > 1 && 2*votes[best] > total && (onlySize(best) || !d.besides(best)) {
		d.out.Chart.Names = best
	}
}

// onlySize says whether a form has no words but those for sizes.
func onlySize(form string) bool {
	return !slices.ContainsFunc(tokens(fold(strings.Replace(form, labelField, " ", 1))), func(t token) bool {
		_, _, isSystem := system(t.text)
		return t.kind != tokenSign && !sizeWord(t.text) && !isSystem
	})
}

// besides says whether a size with a name of a form has one of another form
// too: then the words of the form are about more than sizes, as in "8 front" and
// "8 back".
func (d *drafting) besides(form string) bool {
	return slices.ContainsFunc(d.steps, func(s *draftStep) bool {
		name := strings.Replace(form, labelField, s.label, 1)
		has := func(st statement) bool { return fold(st.name) == fold(name) }
		return slices.ContainsFunc(s.from, has) && slices.ContainsFunc(s.from, func(st statement) bool { return bare(fold(st.name)) != bare(fold(name)) })
	})
}

// formOf is a name with {label} in the place of a label that stands in it once.
func formOf(name, label string) (string, bool) {
	if strings.Count(name, label) != 1 || strings.ContainsAny(name, "{}") || len(name) > maxTextBytes/2 {
		return "", false
	}
	at := strings.Index(name, label)
	if touches(name, at-1, label[0]) || touches(name, at+len(label), label[len(label)-1]) {
		return "", false
	}
	return strings.Replace(name, label, labelField, 1), true
}

// touches says whether the byte at i is a digit beside a digit, or a letter
// beside a letter: then the label is a part of something else.
func touches(name string, i int, edge byte) bool {
	if i < 0 || i >= len(name) {
		return false
	}
	b := name[i]
	return isDigit(b) && isDigit(edge) || isLetter(b) && isLetter(edge)
}

func isLetter(b byte) bool { return 'a' <= b|0x20 && b|0x20 <= 'z' }

// literalGlob writes a name so that it finds nothing else.
func literalGlob(name string) string {
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "?", `\?`, "[", `\[`).Replace(name)
}
