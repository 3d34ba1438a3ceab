package layers

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// labelling is the text around one square: the lines inside it, and those
// near by that are nearer to no other.
type labelling struct {
	inside, near []string
}

// read finds the label and sets Nominal and Label. A measure inside the square
// goes before one near by, one that fits before one that does not, an earlier
// before a later one. Where no word says that it is a test square, the label
// has to be a bare measure, and nothing else may stand in the square: that is
// how pattern pieces are written on.
func (l labelling) read(s *TestSquare) bool {
	loose := l.named()
	if !loose && !l.silent() {
		return false
	}
	return pickLabel(s, l.inside, loose, offInside) || pickLabel(s, l.near, loose, offNear)
}

// named tells whether the words call the square a test square.
func (l labelling) named() bool {
	for _, line := range l.inside {
		if testWord.MatchString(line) {
			return true
		}
	}
	for _, line := range l.near {
		if testWord.MatchString(line) {
			return true
		}
	}
	return false
}

// silent tells whether nothing inside speaks for something other than a test
// square.
func (l labelling) silent() bool {
	for _, line := range l.inside {
		if !bare(line) && !testWord.MatchString(line) {
			return false
		}
	}
	return true
}

// bare tells whether a line says hardly anything but measures.
func bare(line string) bool {
	n := 0
	for _, r := range oneMeasure.ReplaceAllString(line, "") {
		if unicode.IsLetter(r) {
			n++
		}
	}
	return n <= 4 // "x", "by", "each"
}

// How far the logarithm of a side may be off a measure that stands alone: inside
// of the square as far as 72 is from 96, which drawing programs take for one
// another, near by less.
const offInside, offNear = 0.29, 0.16

// pickLabel chooses the measure among lines that says what a square is. Where
// the words call it a test square, or give both sides, the measure may be off
// by much; else by most.
func pickLabel(s *TestSquare, lines []string, loose bool, most float64) bool {
	s.Label = ""
	square := math.Abs(s.Width-s.Height) <= squareSlack*s.Side
	for _, line := range lines {
		for _, m := range measures(line) {
			off := math.Abs(math.Log(s.Side / m.mm))
			switch {
			case !loose && !bare(line):
			case off <= squareSlack:
				s.Nominal, s.Label = m.mm, shortLabel(line)
				return true
			case s.Label != "":
			case off <= 1.7 && (loose || m.sides), off <= most && square:
				s.Nominal, s.Label = m.mm, shortLabel(line)
			}
		}
	}
	return s.Label != ""
}

// shortLabel cuts a label that is a whole sentence.
func shortLabel(line string) string {
	const most = 60
	r := []rune(line)
	if len(r) <= most {
		return line
	}
	return strings.TrimSpace(string(r[:most])) + "…"
}

// measure is a length that a text states.
type measure struct {
	mm    float64
	sides bool // it is given twice, as of both sides
}

// testWord is found in texts on test squares, in several languages.
var testWord = regexp.MustCompile(`(?i)\b(test|square|scale|check|calibrat|control|gauge|measure|verify|actual size|kontroll|quadrat|maßstab|carré|échelle|proef|vierkant|cuadrado|prueba|quadrato)|контрол|тест|квадрат`)

var (
	number     = `(\d+(?:[.,]\d+)?(?:[ -]\d+/\d+)?|\d+/\d+|\d*[½¼¾])`
	unit       = `(cm|mm|inches|inch|in\b|zoll|pouces?\b|pulgadas?\b|pollici|дюйм\pL*|см|"|″|”|“|''|’’|′′)`
	oneMeasure = regexp.MustCompile(`(?i)` + number + `[\s-]*` + unit)
	twoSides   = regexp.MustCompile(`(?i)` + number + `[\s-]*` + unit + `?\s*(?:[x×✕*]|by)\s*` + number + `[\s-]*` + unit)
	// afterIn is what may follow "in" where it is a unit: "2 in square", but
	// not "cut 2 in lining".
	afterIn = regexp.MustCompile(`(?i)^\s*($|[^\pL\s]|(square|sq|test|box|by|x|wide|and|or|high|long|each)\b)`)
)

// measures finds the lengths in a text, those that are given for both sides
// first.
func measures(text string) []measure {
	var list []measure
	for _, m := range twoSides.FindAllStringSubmatch(text, 8) {
		first := m[2]
		if first == "" {
			first = m[4]
		}
		a, b := millimetres(m[1], first), millimetres(m[3], m[4])
		if a > 0 && math.Abs(a-b) < 1e-9 {
			list = append(list, measure{a, true})
		}
	}
	for _, at := range oneMeasure.FindAllStringSubmatchIndex(text, 16) {
		n, u := text[at[2]:at[3]], text[at[4]:at[5]]
		if strings.EqualFold(u, "in") && !afterIn.MatchString(text[at[1]:]) {
			continue
		}
		if mm := millimetres(n, u); mm > 0 {
			list = append(list, measure{mm, false})
		}
	}
	return list
}

// millimetres reads a number with its unit; 0 where it is no length.
func millimetres(n, u string) float64 {
	factor := 25.4
	switch strings.ToLower(u) {
	case "cm", "см":
		factor = 10
	case "mm":
		factor = 1
	}
	return factor * decimal(n)
}

// decimal reads 2, 2.5, 2,5, 1/2, 1 1/2, 1½.
func decimal(s string) float64 {
	for sign, v := range map[string]string{"½": " 1/2", "¼": " 1/4", "¾": " 3/4"} {
		s = strings.Replace(s, sign, v, 1)
	}
	sum := 0.0
	for _, part := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '-' }) {
		above, below, fraction := strings.Cut(part, "/")
		v, err := strconv.ParseFloat(strings.Replace(above, ",", ".", 1), 64)
		if err != nil {
			return 0
		}
		if fraction {
			w, err := strconv.ParseFloat(below, 64)
			if err != nil || w == 0 {
				return 0
			}
			v /= w
		}
		sum += v
	}
	return sum
}
