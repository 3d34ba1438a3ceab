package sizes

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// A form is what a label or a part of a name comes down to: a number or a letter size or an age in
// its one spelling, with the sizing system where one is named.
type form struct {
	kind   formKind
	value  string // "8", "38.5", "2xl", "2x", "0-3 months", "16w"
	system string // "eu"; empty when none is named
}

type formKind int

const (
	formText   formKind = iota + 1 // neither number nor letter: a colour, a word
	formNumber                     // a number
	formLetter                     // a letter size
	formAge                        // an age
	formRanged                     // a number with a letter: "16w", "2t"
)

// A labelIndex finds the labels of a chart by their spellings.
type labelIndex struct {
	labels  []string
	folded  map[string][]int // fold of a label
	phrases map[string][]int // tokens of a label
	longest int              // most tokens of a label, maxPhrase at most
	forms   map[string][]int // value of a form
	has     [][]form         // forms of each label
	ranges  map[string][]int // ends of a label such as "6-8" or "XS/S"
	colours map[string][]int // English name of a colour that is a label
	groups  []string         // the people that each label is for
	title   map[string]bool  // words of the chart's name
	scale   []extent         // of the labels

	heights  bool // the sizes are heights of the body, in cm
	years    bool // the plain numbers are years
	ofLabels bool // what is read is a label: no chart says which sizes there are
}

// index makes the labels of a chart ready to be found.
func (c *Chart) index() *labelIndex {
	labels := c.Labels()
	x := &labelIndex{
		labels:  labels,
		colours: map[string][]int{},
		groups:  make([]string, len(labels)),
		title:   titleWords(c.Name),
		heights: areHeights(labels),
		folded:  map[string][]int{},
		phrases: map[string][]int{},
		forms:   map[string][]int{},
		ranges:  map[string][]int{},
		has:     make([][]form, len(labels)),
	}
	for i, label := range labels {
		folded := fold(label)
		if len(folded) > maxTextBytes {
			continue
		}
		toks := tokens(folded)
		x.longest = min(max(x.longest, len(toks)), maxPhrase)
		x.folded[folded] = append(x.folded[folded], i)
		x.phrases[phrase(toks)] = append(x.phrases[phrase(toks)], i)
		if dotted, ok := decimalComma(toks, 0); ok && len(toks) == 3 {
			x.phrases[dotted] = append(x.phrases[dotted], i)
		}
		for _, c := range palette().find(withoutSizeWord(folded)) {
			x.colours[c.Name] = append(x.colours[c.Name], i)
		}
		if x.heights {
			folded = strings.TrimSuffix(strings.TrimSuffix(folded, "cm"), " ")
		}
		e, ok := fullExpression(folded, &labelIndex{ofLabels: true})
		if !ok {
			continue
		}
		x.groups[i] = e.group
		if ends, ok := e.ends(); ok {
			x.ranges[ends] = append(x.ranges[ends], i)
		}
		x.has[i] = labelForms(folded, toks, e)
		for _, f := range x.has[i] {
			x.forms[f.value] = append(x.forms[f.value], i)
		}
	}
	x.years, x.scale = x.areYears(), extentsOf(labels)
	if system := systemOf(c.Names); system != "" {
		x.adopt(system)
	}
	return x
}

// titleWords are the words of a chart's name: in the name of a layer they say nothing of its size.
func titleWords(name string) map[string]bool {
	words := map[string]bool{}
	if len(name) > maxTextBytes {
		return words
	}
	for _, t := range tokens(fold(name)) {
		if t.kind == tokenWord && len(t.text) > 3 {
			words[t.text] = true
		}
	}
	return words
}

// heightLabel is a label that may be the height of a body in cm, or a span of two.
var heightLabel = regexp.MustCompile(`^([0-9]{2,3})(?:[/-]([0-9]{2,3}))?(?: ?cm)?$`)

// areHeights reports whether labels are heights of children: from 44 up in steps of 6 cm, and one of
// 62 or more, since 44, 50 and 56 alone are sizes of other kinds too (EN 13402-3, from memory).
func areHeights(labels []string) bool {
	tallest := 0
	for _, label := range labels {
		m := heightLabel.FindStringSubmatch(fold(label))
		if m == nil {
			return false
		}
		for _, number := range m[1:] {
			n, _ := strconv.Atoi(number)
			if number != "" && (n < 44 || n > 194 || (n-44)%6 != 0) {
				return false
			}
			tallest = max(tallest, n)
		}
	}
	return len(labels) > 1 && tallest >= 62
}

// areYears reports whether the plain numbers of a chart are years: where there is nothing beside them
// but ages and sizes of toddlers, and none is above 18. Common practice, no source.
func (x *labelIndex) areYears() bool {
	numbers := 0
	for _, forms := range x.has {
		if len(forms) != 1 {
			return false
		}
		switch f := forms[0]; {
		case f.kind == formNumber && f.system == "":
			n, err := strconv.Atoi(f.value)
			if err != nil || n < 1 || n > 18 {
				return false
			}
			numbers++
		case f.kind != formAge && !(f.kind == formRanged && strings.HasSuffix(f.value, "t")):
			return false
		}
	}
	return numbers > 0
}

// systemOf is the sizing system that the form of a chart's names says, "UK {label}": "" for none.
func systemOf(names string) string {
	words := slices.DeleteFunc(tokens(fold(strings.ReplaceAll(names, labelField, " "))), func(t token) bool {
		return t.kind == tokenSign || t.is(meansSize)
	})
	if len(words) == 1 && words[0].is(meansSystem|meansWeakSystem) {
		return words[0].value
	}
	return ""
}

// adopt gives the numbers of all labels that name no sizing system the one that the chart's names do.
func (x *labelIndex) adopt(system string) {
	for _, forms := range x.has {
		for k := range forms {
			if forms[k].kind == formNumber && forms[k].system == "" {
				forms[k].system = system
			}
		}
	}
}

// rangeOf returns the labels of a range by its ends. Sizes in letters and heights that are written
// with a slash are the same with a hyphen: "M/L" is "M-L".
func (x *labelIndex) rangeOf(e expression, ends string) []int {
	if found := x.ranges[ends]; len(found) > 0 || !x.heights && e.items[0].form.kind != formLetter {
		return found
	}
	a, b := e.items[0].form.value, e.items[1].form.value
	if e.seps[0].kind == sepList {
		return x.ranges[a+"-"+b]
	}
	return x.ranges[a+"/"+b]
}

// labelForms returns the forms of a label: one for "8", "Size 8" and "EU 38",
// two for a double label such as "US 8 / EU 38" or "8 (M)", and none for a
// label that covers a range, "6-8" or "XS/S", since a part of it is not it.
func labelForms(folded string, toks []token, e expression) []form {
	var forms []form
	for _, side := range e.sides() {
		if len(side.items) != 1 {
			return nil
		}
		forms = append(forms, side.items[0].form)
	}
	if len(forms) != 1 || forms[0].kind != formNumber {
		return forms
	}
	number := forms[0].value
	if strings.HasPrefix(folded, "age ") {
		forms = append(forms, form{kind: formAge, value: number + " years"})
	}
	if toks[0].text == "t" && ofToddlers(number) {
		forms = append(forms, form{kind: formRanged, value: number + "t"})
	}
	return forms
}

// ends are those of a span or a list of two, as one text.
func (e expression) ends() (string, bool) {
	if len(e.items) != 2 || e.seps[0].kind == sepDouble {
		return "", false
	}
	a, b := e.items[0].form, e.items[1].form
	if a.kind != b.kind || a.kind == formText {
		return "", false
	}
	if e.seps[0].kind == sepList {
		return a.value + "/" + b.value, true
	}
	return a.value + "-" + b.value, true
}

// fit returns the labels that have a form. A system that only one of the two names does not part
// them; where several labels fit, those of the very same system come first.
func (x *labelIndex) fit(f form) []int {
	var all, same []int
	for _, i := range x.forms[f.value] {
		for _, g := range x.has[i] {
			if g.kind != f.kind || g.value != f.value {
				continue
			}
			if g.system == f.system {
				same = appendNew(same, i)
			}
			if g.system == f.system || g.system == "" || f.system == "" {
				all = appendNew(all, i)
			}
		}
	}
	if len(all) > 1 && len(same) > 0 {
		return same
	}
	if number, ok := strings.CutSuffix(f.value, " years"); ok && len(all) == 0 && f.kind == formAge && x.years {
		return x.fit(form{kind: formNumber, value: number})
	}
	return all
}

// appendNew adds a position that is not yet the last. Positions come in order.
func appendNew(list []int, i int) []int {
	if n := len(list); n > 0 && list[n-1] == i {
		return list
	}
	return append(list, i)
}

// formOf is the form of a label found by its phrase.
func (x *labelIndex) formOf(i int) form {
	if len(x.has[i]) == 1 {
		return x.has[i][0]
	}
	return form{kind: formText, value: fold(x.labels[i])}
}

// at returns the positions of labels.
func (x *labelIndex) at(labels []string) []int {
	return each(labels, func(label string) int { return slices.Index(x.labels, label) })
}

// names returns the labels at some positions.
func (x *labelIndex) names(at []int) []string {
	return each(at, func(i int) string { return x.labels[i] })
}

// decimalComma reads the three tokens of "38,5" at i as "38.5".
func decimalComma(toks []token, i int) (string, bool) {
	if i+2 >= len(toks) || toks[i+1].text != "," || toks[i+1].space || toks[i+2].space {
		return "", false
	}
	whole, rest := toks[i], toks[i+2]
	if whole.kind != tokenNumber || rest.kind != tokenNumber || strings.ContainsAny(whole.text+rest.text, ". /") {
		return "", false
	}
	return whole.text + "." + rest.text, true
}

// Resolve returns the labels that a text asks for, in chart order. The text is
// a label, in any of the spellings that [Chart.Match] takes for a whole name, or a
// list ("10,14") or a span ("10..14", "10-14") of such. A text that is in
// itself a label of the chart, comma, dots and all, is that label.
//
// What is not in the chart gives an *[UnknownSizeError], what fits several
// sizes an *[AmbiguousSizeError].
func (c *Chart) Resolve(text string) ([]string, error) {
	return c.index().resolve(text)
}

func (x *labelIndex) resolve(text string) ([]string, error) {
	if len(text) > maxTextBytes {
		return nil, &UnknownSizeError{Want: text[:64] + "...", Have: x.labels}
	}
	r, ok := x.readWhole(fold(text), fold(text))
	switch {
	case !ok:
		return nil, &UnknownSizeError{Want: text, Have: x.labels, Nearest: Nearest(text, x.labels)}
	case r.kind == KindUnknown:
		return nil, &UnknownSizeError{Want: r.lacks, Have: x.labels, Nearest: Nearest(r.lacks, x.labels)}
	case r.kind == KindAmbiguous:
		e := &AmbiguousSizeError{Want: text}
		for _, c := range r.claims {
			e.Fits = append(e.Fits, c.Sizes...)
		}
		return nil, e
	}
	return x.names(r.sizes), nil
}

// An UnknownSizeError says that a wanted size is not in the chart.
type UnknownSizeError struct {
	Want    string   // as asked for, or the part of it that is unknown
	Have    []string // labels of the chart
	Nearest string   // the label most like it, or ""
}

func (e *UnknownSizeError) Error() string {
	nearest := ""
	if e.Nearest != "" {
		nearest = "; the nearest is " + quote(e.Nearest)
	}
	return fmt.Sprintf("size %s is not in the chart%s; the chart has %s", quote(e.Want), nearest, quoteSome(e.Have))
}

// Is reports whether target is [ErrBadRequest].
func (*UnknownSizeError) Is(target error) bool { return target == ErrBadRequest }

// An AmbiguousSizeError says that a wanted size may be one of several.
type AmbiguousSizeError struct {
	Want string
	Fits []string // labels, two or more
}

func (e *AmbiguousSizeError) Error() string {
	fits := wordList(each(e.Fits, quote), " or ")
	return fmt.Sprintf("size %s may be %s; ask for one of them by its full label", quote(e.Want), fits)
}

// Is reports whether target is [ErrBadRequest].
func (*AmbiguousSizeError) Is(target error) bool { return target == ErrBadRequest }

// Nearest returns the choice that is most like the word, or "" when none is
// like it. Numbers are compared by value, where a tie goes up; all else by the
// number of letters to add, drop, change or swap, of which it allows one in
// three and at least one. A word cut short is as good as one letter off.
func Nearest(word string, choices []string) string {
	if best, ok := nearestNumber(word, choices); ok {
		return best
	}
	w := []rune(fold(word))
	if len(w) > 64 {
		return "" // a sentence, not a slip of the pen
	}
	best, least := "", max(1, len(w)/3)+1
	for _, choice := range choices {
		c := []rune(fold(choice))
		n := distance(w, c)
		if len(w) > 1 && strings.HasPrefix(string(c), string(w)) {
			n = min(n, 1)
		}
		if n < least && n < max(len(w), len(c)) {
			best, least = choice, n
		}
	}
	return best
}

func nearestNumber(word string, choices []string) (string, bool) {
	want, err := strconv.ParseFloat(fold(word), 64)
	if err != nil || math.IsNaN(want) || math.IsInf(want, 0) {
		return "", false
	}
	best, least, value := "", math.Inf(1), 0.0
	for _, choice := range choices {
		have, err := strconv.ParseFloat(fold(choice), 64)
		if err != nil {
			continue
		}
		off := math.Abs(have - want)
		if off < least || off == least && have > value {
			best, least, value = choice, off, have
		}
	}
	return best, best != ""
}

// distance is the least number of runes to add, drop or change, or of
// neighbours to swap, that turns one text into the other: the Levenshtein
// distance with swaps, in which no rune is touched twice.
func distance(a, b []rune) int {
	var before []int // the row two above
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		next := make([]int, len(b)+1)
		next[0] = i + 1
		for j := range b {
			change := row[j] + 1
			if a[i] == b[j] {
				change--
			}
			next[j+1] = min(row[j+1]+1, next[j]+1, change)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				next[j+1] = min(next[j+1], before[j-1]+1)
			}
		}
		before, row = row, next
	}
	return row[len(b)]
}
