package sizes

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// A token is a number, a word, a sign or an age of a folded name.
type token struct {
	text    string
	*lexeme           // what the text may mean
	parts   []token   // of an age, as the name writes it
	kind    tokenKind // 0 for no token
	space   bool      // white space or an underscore stands before it
	weak    bool      // an age by a single letter: "3m" may be a length
}

type tokenKind uint8

const (
	tokenNumber tokenKind = iota + 1 // "38", "38.5", "8 1/2"
	tokenWord                        // a run of letters, all East Asian or none
	tokenSign                        // any other rune, or a run of dots, which is ".."
	tokenAge                         // "0-3m", in its one spelling
)

// numberForm is a whole number with a fraction in halves to thirty-seconds, or
// a number with decimals after a point.
var numberForm = regexp.MustCompile(`^(?:[0-9]+[ _](?:1/2|[13]/4|[1357]/8|[0-9]{1,2}/(?:3|16|32))|[0-9]+(?:\.[0-9]+)?)`)

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
		t := token{kind: kind, text: s[:n], space: space}
		switch {
		case kind == tokenNumber:
			t.text = strings.ReplaceAll(t.text, "_", " ")
		case n > 1 && s[0] == '.':
			t.text = ".."
		}
		if kind != tokenNumber {
			t.lexeme = lookUp(t.text)
		}
		out = append(out, t)
		space = false
		s = s[n:]
	}
	return withAges(out)
}

// scan returns the kind and the bytes of the token that s begins with.
func scan(s string) (tokenKind, int) {
	if isDigit(s[0]) {
		n := len(numberForm.FindString(s))
		if n < len(s) && isDigit(s[n]) { // in "8 1/25" only "8" is a number
			n = len(s) - len(strings.TrimLeft(s, "0123456789"))
		}
		return tokenNumber, n
	}
	if s[0] == '.' {
		return tokenSign, len(s) - len(strings.TrimLeft(s, "."))
	}
	n, east := 0, false
	for n < len(s) {
		r, size := utf8.DecodeRuneInString(s[n:])
		letter := unicode.IsLetter(r)
		if !letter && !unicode.IsMark(r) || n > 0 && letter && isEast(r) != east {
			break
		}
		if n == 0 || letter {
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

// isEast reports whether a letter is of a script that stands next to Latin
// letters without a space: "Lサイズ" is two words.
func isEast(r rune) bool {
	return r > unicode.MaxLatin1 &&
		(r == 'ー' || unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul))
}

// phrase writes tokens as one text that is the same for all ways to space them.
func phrase(toks []token) string {
	return strings.Join(each(toks, func(t token) string { return t.text }), " ")
}

// phraseText writes tokens as they are spaced in the name, cut to what a reason quotes.
func phraseText(toks []token) string {
	var b strings.Builder
	for i, t := range toks {
		if i > 0 && t.space {
			b.WriteByte(' ')
		}
		if t.parts != nil {
			b.WriteString(phraseText(t.parts))
			continue
		}
		b.WriteString(t.text)
	}
	return clip(b.String())
}

// An age is a size of babies and children that is named by age: "0-3m", "18 months", "2 years",
// "Newborn". Common practice, no source. EN 13402-3 codes children's clothes by the height of the
// body in centimetres (from memory); such sizes are numbers, "62", or pairs of them, "62/68".
//
// A number by itself is no age, and a number with "m" behind it is neither that number nor size M.
type age struct {
	from, to int    // equal where it is no range, -1 for a size before any months
	unit     string // "months", "years", or the word of a size before the months
}

// String is the one spelling of an age: "3 months", "0-3 months", "newborn".
func (a age) String() string {
	switch {
	case a.from < 0:
		return a.unit
	case a.from == a.to:
		return strconv.Itoa(a.from) + " " + a.unit
	}
	return strconv.Itoa(a.from) + "-" + strconv.Itoa(a.to) + " " + a.unit
}

// readAge reads what String writes.
func readAge(value string) age {
	numbers, unit, ok := strings.Cut(value, " ")
	if !ok {
		return age{from: -1, to: -1, unit: value}
	}
	from, to, isRange := strings.Cut(numbers, "-")
	a := age{unit: unit}
	a.from, _ = strconv.Atoi(from)
	if a.to = a.from; isRange {
		a.to, _ = strconv.Atoi(to)
	}
	return a
}

// isRange reports whether an age has two ends.
func (a age) isRange() bool { return a.from != a.to }

// ends are the ages at both ends of a range.
func (a age) ends() (age, age) {
	return age{a.from, a.from, a.unit}, age{a.to, a.to, a.unit}
}

// months are the ends in months: those before any are below nought.
func (a age) months() (from, to int) {
	switch a.unit {
	case "preemie":
		return -2, -2
	case "newborn":
		return -1, -1
	case "years":
		return 12 * a.from, 12 * a.to
	}
	return a.from, a.to
}

// likely reports whether children's clothes have a size of that age.
func (a age) likely() bool {
	return a.unit == "months" && a.to <= 48 || a.unit == "years" && a.to <= 18
}

// withAges makes one token of each age: of "3 m", "0-3m", "0m-3m".
func withAges(toks []token) []token {
	out := toks[:0]
	for len(toks) > 0 {
		t, n := ageAt(toks)
		out = append(out, t)
		toks = toks[n:]
	}
	return out
}

// ageAt returns the age that tokens begin with, else the first of them, and how many it takes.
func ageAt(toks []token) (token, int) {
	from, ok := ageNumber(toks, 0)
	if !ok {
		return toks[0], 1
	}
	unit, weak, n := ageUnit(toks[1:])
	a, end := age{from, from, unit}, 1+n
	if to, ok := ageNumber(toks, end+1); ok && from < to && (toks[end].is(meansSpan) || toks[end].text == "/") {
		last, lastWeak, k := ageUnit(toks[end+2:])
		if both := (age{from, to, last}); k > 0 && (n == 0 || unit == last) && both.likely() {
			a, weak, n, end = both, lastWeak, k, end+2+k
		}
	}
	if n == 0 || !a.likely() {
		return toks[0], 1
	}
	parts := slices.Clone(toks[:end])
	return token{kind: tokenAge, text: a.String(), space: toks[0].space, parts: parts, weak: weak}, end
}

// ageNumber reads the token at i as a whole number of one or two digits.
func ageNumber(toks []token, i int) (int, bool) {
	if i >= len(toks) || toks[i].kind != tokenNumber || len(toks[i].text) > 2 {
		return 0, false
	}
	value, err := strconv.Atoi(toks[i].text)
	return value, err == nil
}

// ageUnit reads a unit, which a hyphen may precede: "18-months". The letter of
// "8y" counts only where it touches the number, since "y" is and in Spanish.
func ageUnit(toks []token) (unit string, weak bool, n int) {
	n = 1
	if len(toks) > 1 && toks[0].text == "-" && toks[1].is(meansMonth|meansYear) && len(toks[1].text) > 2 {
		toks, n = toks[1:], 2
	}
	if len(toks) == 0 {
		return "", false, 0
	}
	t := toks[0]
	joins := t.text == "y" || t.text == "an"
	if n == 1 && (t.text == "y" && t.space || joins && len(toks) > 1 && toks[1].kind == tokenNumber) {
		return "", false, 0
	}
	weak = t.is(meansMonthLetter | meansYearLetter)
	switch {
	case t.is(meansMonth | meansMonthLetter):
		return "months", weak, n
	case t.is(meansYear | meansYearLetter):
		return "years", weak, n
	}
	return "", false, 0
}
