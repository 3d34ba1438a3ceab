package check

import (
	_ "embed"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// confusables says which characters look alike: Unicode's confusables.txt for
// UTS #39, version 15.0.0 of 2022-08-26, whose head names the source and the
// terms.
//
//go:embed confusables.txt
var confusables string

// prototypes maps each character to what it looks like.
var prototypes = sync.OnceValue(func() map[rune]string {
	m := map[rune]string{}
	for line := range strings.Lines(confusables) {
		from, to, ok := strings.Cut(strings.TrimSpace(line), ";")
		if !ok || strings.HasPrefix(line, "#") {
			continue
		}
		for _, r := range codePoints(from) {
			m[r] = codePoints(to)
		}
	}
	return m
})

// codePoints reads code points in hexadecimal with spaces between.
func codePoints(points string) string {
	var b strings.Builder
	for _, p := range strings.Fields(points) {
		if v, err := strconv.ParseUint(p, 16, 32); err == nil {
			b.WriteRune(rune(v))
		}
	}
	return b.String()
}

// skeleton brings a text into a form that is equal for texts that look alike
// (UTS #39, section 4): decomposed, without what is not seen, each character
// replaced by its prototype. The form is for comparing, not for showing: "m"
// becomes "rn", "0" becomes "O".
func skeleton(s string) string {
	table := prototypes()
	var b strings.Builder
	for _, r := range norm.NFD.String(s) {
		if p, ok := table[r]; ok && !isUnseen(r) {
			b.WriteString(p)
		} else if !isUnseen(r) {
			b.WriteRune(r)
		}
	}
	return norm.NFD.String(b.String())
}

// plainLetters replaces the letters and digits of other scripts that look like ASCII
// ones, so that "Size 14" with a Cyrillic letter becomes the name it seems to
// be. A text that has no ASCII letter, or another letter that looks like none, is
// in a script of its own and stays as it is. It also returns the characters
// that were replaced, in their order.
func plainLetters(s string) (plain string, replaced []rune) {
	table := prototypes()
	latin := false
	var b strings.Builder
	for _, r := range s {
		p := table[r]
		switch {
		case r <= unicode.MaxASCII:
			latin = latin || unicode.IsLetter(r)
			b.WriteRune(r)
		case !unicode.In(r, unicode.L, unicode.Nd) || unicode.Is(unicode.Latin, r):
			b.WriteRune(r)
		case len(p) == 1:
			b.WriteString(p)
			replaced = append(replaced, r)
		default:
			return s, nil
		}
	}
	if !latin || len(replaced) == 0 {
		return s, nil
	}
	return b.String(), replaced
}
