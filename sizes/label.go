package sizes

import (
	"slices"
	"strings"
)

// A form is what a label or a part of a name comes down to: a number or a
// letter size or an age in its one spelling, with the sizing system where one is
// named.
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
}

func newLabelIndex(labels []string) *labelIndex {
	x := &labelIndex{
		labels:  labels,
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
		e, ok := fullExpression(folded, &labelIndex{})
		if !ok {
			continue
		}
		if ends, ok := e.ends(); ok {
			x.ranges[ends] = append(x.ranges[ends], i)
		}
		x.has[i] = labelForms(folded, toks, e)
		for _, f := range x.has[i] {
			x.forms[f.value] = append(x.forms[f.value], i)
		}
	}
	return x
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

// fit returns the labels that have a form. A system that only one of the two
// names does not part them; where several labels fit, those of the very same
// system come first.
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
	out := make([]int, len(labels))
	for i, label := range labels {
		out[i] = slices.Index(x.labels, label)
	}
	return out
}

// names returns the labels at some positions.
func (x *labelIndex) names(at []int) []string {
	out := make([]string, len(at))
	for i, n := range at {
		out[i] = x.labels[n]
	}
	return out
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
