package sizes

import (
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// fold brings a text into the form in which names are compared. Two texts are
// the same name when their folds are equal. In this order:
//
//  1. invisible characters go: zero width, byte-order mark, soft hyphen,
//     controls, variation selectors;
//  2. compatibility forms become plain ones (full-width, ligatures) and case
//     is folded: NFKC and full case folding (Unicode Standard, 3.13,
//     toNFKC_Casefold in outline);
//  3. dashes of any length become '-', slashes '/', digits of any script 0-9;
//  4. white space is trimmed and a run of it becomes one space;
//  5. numbers lose the zeros they are padded with: "08" is "8". A number of
//     zeros alone stays, since 0 and 00 are two sizes, and so do zeros after a
//     decimal point.
//
// fold(fold(s)) is fold(s).
func fold(s string) string { return unpad(foldPadded(s)) }

// foldPadded is fold without its last step.
func foldPadded(s string) string {
	if strings.IndexFunc(s, func(r rune) bool { return r < ' ' || r > '~' }) < 0 {
		return strings.Join(strings.Fields(strings.ToLower(s)), " ") // what the rest comes to for these
	}
	s = strings.ToValidUTF8(s, "\uFFFD")
	for range 4 { // dropping a character may let its neighbours compose
		once := foldOnce(s)
		if once == s {
			break
		}
		s = once
	}
	return s
}

func foldOnce(s string) string {
	s = strings.Map(visible, apart(s))
	s = norm.NFKC.String(cases.Fold().String(norm.NFKC.String(s)))
	return strings.Join(strings.Fields(strings.Map(plain, s)), " ")
}

// apart sets digits that are not decimal, such as raised ones and fractions,
// apart from their neighbours: NFKC would make "8²" into "82".
func apart(s string) string {
	if strings.IndexFunc(s, isNumberSign) < 0 {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if isNumberSign(r) {
			b.WriteByte(' ')
			b.WriteRune(r)
			b.WriteByte(' ')
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

func isNumberSign(r rune) bool { return unicode.Is(unicode.No, r) }

// visible drops the runes that leave no mark, -1 as strings.Map has it.
func visible(r rune) rune {
	switch {
	case unicode.IsSpace(r):
		return ' '
	case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Variation_Selector, unicode.Other_Default_Ignorable_Code_Point):
		return -1
	}
	return r
}

// plain unifies dashes, slashes and digits.
func plain(r rune) rune {
	switch {
	case r < unicode.MaxASCII:
		return r
	case unicode.Is(unicode.Pd, r), r == '\u2212': // minus sign
		return '-'
	case r == '\u2044', r == '\u2215', r == '\u29F8': // fraction, division, big solidus
		return '/'
	case unicode.Is(unicode.Nd, r):
		return digit(r)
	}
	return visible(r)
}

// digit returns the ASCII digit of a decimal digit of any script. Unicode
// keeps each set of ten together in order (The Unicode Standard, 4.6).
func digit(r rune) rune {
	for _, set := range unicode.Nd.R16 {
		if rune(set.Lo) <= r && r <= rune(set.Hi) {
			return '0' + (r-rune(set.Lo))%10
		}
	}
	for _, set := range unicode.Nd.R32 {
		if rune(set.Lo) <= r && r <= rune(set.Hi) {
			return '0' + (r-rune(set.Lo))%10
		}
	}
	return r
}

// unpad takes the padding zeros from all numbers of a folded text.
func unpad(s string) string {
	if !strings.Contains(s, "0") {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		end := i
		for end < len(s) && isDigit(s[end]) {
			end++
		}
		if end == i {
			b.WriteByte(s[i])
			i++
			continue
		}
		b.WriteString(unpadded(s[i:end], isFraction(s[:i])))
		i = end
	}
	return b.String()
}

// unpadded takes the padding from one run of digits.
func unpadded(run string, fraction bool) string {
	short := strings.TrimLeft(run, "0")
	if fraction || short == "" {
		return run
	}
	return short
}

// isFraction says whether digits that follow the text are those after a
// decimal point.
func isFraction(before string) bool {
	n := len(before)
	return n >= 2 && before[n-1] == '.' && isDigit(before[n-2])
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }
