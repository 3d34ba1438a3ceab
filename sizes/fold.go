package sizes

import (
	"regexp"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// Key brings a name into the form in which two layer names are the same but for the way they are
// written: folded as [Chart.Match] compares names, and without quotes, brackets around it all and
// what drawing programs append to copies: "Size 08" and " size 8 copy 2" have one key. It is empty
// for a name in which nothing is seen.
func Key(name string) string {
	if len(name) > maxTextBytes {
		return name
	}
	return bare(fold(name))
}

// fold brings a text into the form in which names are compared. Two texts are
// the same name when their folds are equal. In this order:
//
//  1. invisible characters are removed: zero width, byte-order mark, soft
//     hyphen, controls, variation selectors;
//  2. compatibility forms become plain ones (full-width, ligatures) and case is folded: NFKC and
//     full case folding (Unicode Standard, 3.13, toNFKC_Casefold in outline);
//  3. dashes of any length become '-', slashes '/', digits of any script 0-9;
//  4. white space is trimmed and a run of it becomes one space;
//  5. numbers lose the zeros they are padded with: "08" is "8". A number of zeros alone is kept,
//     since 0 and 00 are two sizes, and so are zeros after a decimal point.
//
// fold(fold(s)) is fold(s).
func fold(s string) string { return unpad(foldPadded(s)) }

// numberSign is a digit that is not decimal, such as a raised one or a fraction.
// fold sets it apart from its neighbours: NFKC would make "8²" into "82".
var numberSign = regexp.MustCompile(`\p{No}`)

// foldPadded is fold without its last step.
func foldPadded(s string) string {
	if strings.IndexFunc(s, func(r rune) bool { return r < ' ' || r > '~' }) < 0 {
		return strings.Join(strings.Fields(strings.ToLower(s)), " ") // what the rest comes to for these
	}
	s = strings.ToValidUTF8(s, "\uFFFD")
	for range 4 { // dropping a character may let its neighbours compose
		once := strings.Map(visible, numberSign.ReplaceAllString(s, " $0 "))
		once = norm.NFKC.String(cases.Fold().String(norm.NFKC.String(once)))
		once = strings.Join(strings.Fields(strings.Map(plain, once)), " ")
		if once == s {
			break
		}
		s = once
	}
	return s
}

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
	case unicode.Is(unicode.Nd, r): // each script's ten stand together in order (The Unicode Standard, 4.6)
		first := r
		for unicode.Is(unicode.Nd, first-1) {
			first--
		}
		return '0' + (r-first)%10
	}
	return visible(r)
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
		b.WriteString(unpadded(s[i:end], s[:i]))
		i = end
	}
	return b.String()
}

// unpadded takes the padding from one run of digits, unless it is all zeros or
// stands behind a decimal point.
func unpadded(run, before string) string {
	n := len(before)
	fraction := n >= 2 && before[n-1] == '.' && isDigit(before[n-2])
	if short := strings.TrimLeft(run, "0"); !fraction && short != "" {
		return short
	}
	return run
}

func isDigit(b byte) bool { return '0' <= b && b <= '9' }

// copied is what drawing programs put behind the name of a copied or converted
// layer: " copy 2", "[converted]".
var copied = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?:(?:[ _-]+|[ _-]*[\[(])(?:` + alternatives(meansCopy) +
		`)|[ _-]*[\[(]?(?:` + alternatives(meansJoinedCopy) + `))(?:[ _]*[0-9]+)?[\])]?$`)
})

// bare takes from a folded name what is not part of it: what copied finds, quotes unless they stand
// behind alone (2" is a length), a full stop, and one pair of brackets around it all.
func bare(s string) string {
	const quotes, longestCopy = "\"'“”„‘’«»", 80
	for range 8 {
		was := s
		from := max(0, len(s)-longestCopy) // of a long name its end is enough
		for from > 0 && !utf8.RuneStart(s[from]) {
			from++
		}
		if at := copied().FindStringIndex(s[from:]); at != nil && from+at[0] > 0 {
			s = s[:from+at[0]]
		}
		s = strings.Trim(s, " _*:")
		if strings.TrimLeft(s, quotes) != s {
			s = strings.Trim(s, quotes)
		}
		if strings.HasSuffix(s, ".") && !strings.HasSuffix(s, "..") {
			s = s[:len(s)-1]
		}
		for _, pair := range []string{"()", "[]", "{}", "<>"} {
			if len(s) > 2 && s[0] == pair[0] && s[len(s)-1] == pair[1] && strings.Count(s, pair[:1]) == 1 {
				s = s[1 : len(s)-1]
				break
			}
		}
		if s == was {
			break
		}
	}
	return s
}
