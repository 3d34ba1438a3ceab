package sizes

import (
	"fmt"
	"strings"
)

// Resolve returns the labels that a text asks for, in chart order. The text is
// a label, in any of the spellings that Match takes for a whole name, or a
// list ("10,14") or a span ("10..14", "10-14") of such. A text that is in
// itself a label of the chart, comma, dots and all, is that label.
//
// What is not in the chart gives an *UnknownSizeError, what fits several
// sizes an *AmbiguousSizeError.
func (c *Chart) Resolve(text string) ([]string, error) {
	return newLabelIndex(c.Labels()).resolve(text)
}

func (x *labelIndex) resolve(text string) ([]string, error) {
	if len(text) > maxTextBytes {
		return nil, &UnknownSizeError{Want: text[:64] + "...", Have: x.labels}
	}
	r, ok := x.readWant(fold(text))
	switch {
	case !ok:
		return nil, &UnknownSizeError{Want: text, Have: x.labels, Nearest: Nearest(text, x.labels)}
	case r.kind == KindUnknown:
		return nil, &UnknownSizeError{Want: r.lacks, Have: x.labels, Nearest: Nearest(r.lacks, x.labels)}
	case r.kind == KindAmbiguous:
		return nil, &AmbiguousSizeError{Want: text, Fits: fits(r.claims)}
	}
	return x.names(r.sizes), nil
}

// readWant reads a text that must be about sizes and nothing else.
func (x *labelIndex) readWant(folded string) (reading, bool) {
	if found := x.folded[folded]; len(found) > 0 {
		return x.inFull(folded, found), true
	}
	e, ok := fullExpression(folded, x)
	if !ok {
		return reading{}, false
	}
	return e.read(x), true
}

func fits(claims []Claim) []string {
	var out []string
	for _, c := range claims {
		out = append(out, c.Sizes...)
	}
	return out
}

// An UnknownSizeError says that a wanted size is not in the chart.
type UnknownSizeError struct {
	Want    string   // as asked for, or the part of it that is unknown
	Have    []string // labels of the chart
	Nearest string   // the label most like it, or ""
}

func (e *UnknownSizeError) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "size %q is not in the chart", e.Want)
	if e.Nearest != "" {
		fmt.Fprintf(&b, "; the nearest is %q", e.Nearest)
	}
	fmt.Fprintf(&b, "; the chart has %s", quoteSome(e.Have))
	return b.String()
}

// An AmbiguousSizeError says that a wanted size may be one of several.
type AmbiguousSizeError struct {
	Want string
	Fits []string // labels, two or more
}

func (e *AmbiguousSizeError) Error() string {
	return fmt.Sprintf("size %q may be %s; ask for one of them by its full label", e.Want, wordList(quoted(e.Fits), " or "))
}
