package sizes

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A token is a number, a word or a sign of a folded name.
type token struct {
	kind  tokenKind
	text  string
	space bool // white space or an underscore stands before it

	parts []token // of an age
	weak  bool    // an age by a single letter
}

type tokenKind int

const (
	tokenNumber tokenKind = iota + 1 // "38", "38.5", "8 1/2"
	tokenWord                        // a run of letters, all East Asian or none
	tokenSign                        // any other rune, or a run of dots
	tokenAge                         // "0-3m", in its one spelling
)

// numberForm is a whole number with a fraction in halves to thirty-seconds, or
// a number with decimals after a point.
var numberForm = regexp.MustCompile(`^(?:[0-9]+[ _]1/2|[0-9]+[ _][13]/4|[0-9]+[ _][1357]/8|[0-9]+[ _][0-9]{1,2}/(?:3|16|32)|[0-9]+(?:\.[0-9]+)?)`)

// tokens splits a folded name.
func tokens(s string) []token {
	var out []token
	space := false
	for len(s) > 0 {
		if s[0] == ' ' || s[0] == '_' {
			space = true
			s = s[1:]
			continue
		}
		kind, n := scan(s)
		text := strings.ReplaceAll(s[:n], "_", " ")
		if kind == tokenSign && n > 1 && s[0] == '.' {
			text = ".."
		}
		out = append(out, token{kind: kind, text: text, space: space})
		space = false
		s = s[n:]
	}
	return withAges(out)
}

// scan returns the kind and the bytes of the token that s begins with.
func scan(s string) (tokenKind, int) {
	if isDigit(s[0]) {
		return tokenNumber, numberLength(s)
	}
	if s[0] == '.' {
		return tokenSign, len(s) - len(strings.TrimLeft(s, "."))
	}
	n, east := 0, false
	for n < len(s) {
		r, size := utf8.DecodeRuneInString(s[n:])
		if !isWordRune(r) || n > 0 && unicode.IsLetter(r) && isEast(r) != east {
			break
		}
		if n == 0 || unicode.IsLetter(r) {
			east = isEast(r)
		}
		n += size
	}
	if n > 0 {
		return tokenWord, n
	}
	_, size := utf8.DecodeRuneInString(s)
	return tokenSign, size
}

// isEast says whether a letter is of a script that stands next to Latin letters
// without a space: "Lサイズ" is two words.
func isEast(r rune) bool {
	return r > unicode.MaxLatin1 && (r == 'ー' || unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul))
}

// numberLength is that of the longest number, provided no digit follows it:
// in "8 1/25" only "8" is a number.
func numberLength(s string) int {
	n := len(numberForm.FindString(s))
	if n < len(s) && isDigit(s[n]) {
		n = len(s) - len(strings.TrimLeft(s, "0123456789"))
	}
	return n
}

// phrase writes tokens as one text that is the same for all ways to space
// them.
func phrase(toks []token) string {
	words := make([]string, len(toks))
	for i, t := range toks {
		words[i] = t.text
	}
	return strings.Join(words, " ")
}
