package consistency

import (
	"regexp"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"github.com/sizeply/sizeply/sizes"
)

// ways are those in which two names of one key may differ, each with what makes
// it go.
var ways = []struct {
	word  string
	apply func(string) string
}{
	{"spaces", func(s string) string { return without(s, unicode.IsSpace) }},
	{"capitals", strings.ToLower},
	{"characters that do not show", func(s string) string { return without(s, isUnseen) }},
	{"characters that are written in two ways", norm.NFKC.String},
	{"noughts before a number", func(s string) string { return padding.ReplaceAllString(s, "$1$2") }},
	{"signs between the words", func(s string) string { return without(s, isSign) }},
}

var padding = regexp.MustCompile(`(^|[^0-9.])0+([0-9])`)

func without(s string, is func(rune) bool) string {
	return strings.Map(func(r rune) rune {
		if is(r) {
			return -1
		}
		return r
	}, s)
}

func isUnseen(r rune) bool {
	return unicode.In(r, unicode.Cf, unicode.Variation_Selector, unicode.Other_Default_Ignorable_Code_Point)
}

func isSign(r rune) bool { return unicode.IsSpace(r) || r == '_' || unicode.IsPunct(r) }

// difference says in what two names of one key differ.
func difference(l *layer, ref string) string {
	a, b := l.Name, ref
	if len(l.lookers) > 0 {
		return "letters that look alike: " + strangers(l.lookers)
	}
	for _, way := range ways {
		if way.apply(a) == way.apply(b) {
			return way.word
		}
	}
	for i, way := range ways {
		for _, other := range ways[i+1:] {
			if way.apply(other.apply(a)) == way.apply(other.apply(b)) {
				return way.word + " and " + other.word
			}
		}
	}
	switch {
	case sizes.Key(a) != sizes.Key(b):
		return "characters that look alike"
	case strings.HasPrefix(strings.ToLower(a), strings.ToLower(b)), strings.HasPrefix(strings.ToLower(b), strings.ToLower(a)):
		return "what a drawing program adds to a copy"
	}
	return "how it is written"
}
