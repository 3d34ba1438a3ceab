// Package confusable tells texts that look alike: a Cyrillic letter for a Latin
// one, a full-width digit, a letter O for a nought. Start at Skeleton.
//
// The data is Unicode's confusables.txt for UTS #39, version 15.0.0 of
// 2022-08-26, embedded as confusables.txt beside this file, whose head names
// the source and the terms.
package confusable

import (
	_ "embed"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

//go:embed confusables.txt
var data string

// prototypes maps each character to what it looks like.
var prototypes = sync.OnceValue(func() map[rune]string {
	m := map[rune]string{}
	for line := range strings.Lines(data) {
		from, to, ok := strings.Cut(strings.TrimSpace(line), ";")
		if !ok || strings.HasPrefix(line, "#") {
			continue
		}
		for _, r := range decode(from) {
			m[r] = decode(to)
		}
	}
	return m
})

// decode reads code points in hexadecimal with spaces between.
func decode(points string) string {
	var b strings.Builder
	for _, p := range strings.Fields(points) {
		if v, err := strconv.ParseUint(p, 16, 32); err == nil {
			b.WriteRune(rune(v))
		}
	}
	return b.String()
}

// Skeleton brings a text into a form that is equal for texts that look alike
// (UTS #39, section 4): decomposed, without what is not seen, each character
// replaced by its prototype. The form is for comparing, not for showing: "m"
// becomes "rn", "0" becomes "O".
func Skeleton(s string) string {
	table := prototypes()
	var b strings.Builder
	for _, r := range norm.NFD.String(s) {
		if unicode.In(r, unicode.Cf, unicode.Variation_Selector, unicode.Other_Default_Ignorable_Code_Point) {
			continue
		}
		if p, ok := table[r]; ok {
			b.WriteString(p)
			continue
		}
		b.WriteRune(r)
	}
	return norm.NFD.String(b.String())
}

// Plain replaces the letters and digits of other scripts that look like ASCII
// ones, so that "Size 14" with a Cyrillic letter becomes the name it seems to
// be. A text that has no ASCII letter, or another letter that looks like none, is
// in a script of its own and stays as it is. It also returns the characters
// that were replaced, in their order.
func Plain(s string) (plain string, replaced []rune) {
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
