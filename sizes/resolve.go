package sizes

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Resolve returns the labels that a text asks for, in chart order. The text is
// a label, in any of the spellings that [Chart.Match] takes for a whole name, or a
// list ("10,14") or a span ("10..14", "10-14") of such. A text that is in
// itself a label of the chart, comma, dots and all, is that label.
//
// What is not in the chart gives an *[UnknownSizeError], what fits several
// sizes an *[AmbiguousSizeError].
func (c *Chart) Resolve(text string) ([]string, error) {
	return newLabelIndex(c.Labels()).resolve(text)
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
	fits := wordList(quoted(e.Fits), " or ")
	return fmt.Sprintf("size %q may be %s; ask for one of them by its full label", e.Want, fits)
}

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
