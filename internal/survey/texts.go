package survey

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/draw"
)

// shownString is one shown string, in points of the page.
type shownString struct {
	text     string
	from, to content.Point // its base line
	size     float64
	box      content.Rect
}

// textLine is what is written on one line.
type textLine struct {
	text string
	size float64 // of the type, in points
	box  content.Rect
}

// writing collects strings that are shown one after another.
type writing struct{ strings []shownString }

// add takes the strings of a mark, of so many at most.
func (s *writing) add(m *draw.Mark, most int) {
	t := &m.State.Text
	for _, one := range m.Text.Strings {
		if len(s.strings) >= most {
			return
		}
		text := m.Text.Decoder.Text(one.Codes)
		if text == "" || one.Bounds.Empty() {
			continue
		}
		s.strings = append(s.strings, shownString{
			text: text, box: one.Bounds, size: math.Abs(t.Size) * one.Matrix.MaxScale(),
			from: one.Matrix.Apply(content.Point{Y: t.Rise}),
			to:   one.Matrix.Apply(content.Point{X: one.Width, Y: t.Rise}),
		})
	}
}

// lines joins strings that were shown one after another on one base line.
func (s *writing) lines() []textLine {
	var list []textLine
	for i, r := range s.strings {
		if n := len(list); i > 0 {
			if gap, ok := s.strings[i-1].goesOn(r); ok {
				if gap > 0.15*r.size {
					list[n-1].text += " "
				}
				list[n-1].text += r.text
				list[n-1].box = list[n-1].box.Union(r.box)
				continue
			}
		}
		list = append(list, textLine{r.text, r.size, r.box})
	}
	for i := range list {
		list[i].text = strings.Join(strings.Fields(list[i].text), " ")
	}
	return list
}

// goesOn reports whether a string goes on behind this one, and how far behind.
func (s shownString) goesOn(next shownString) (gap float64, ok bool) {
	length := distance(s.from, s.to)
	if length == 0 {
		return 0, false
	}
	ux, uy := (s.to.X-s.from.X)/length, (s.to.Y-s.from.Y)/length
	dx, dy := next.from.X-s.to.X, next.from.Y-s.to.Y
	gap, aside := dx*ux+dy*uy, math.Abs(dy*ux-dx*uy)
	return gap, aside <= 0.3*s.size && gap >= -0.3*s.size && gap <= 1.5*s.size
}

// label is the text around one square: the lines inside it, and those near by that
// are nearer to no other.
type label struct{ inside, near []string }

// labelsOf gives each square the lines inside it, where it is the smallest around
// them, and the lines near by that are nearer to no other square.
func labelsOf(squares []square, lines []textLine) []label {
	list := make([]label, len(squares))
	for _, l := range lines {
		if i := around(squares, l.box); i >= 0 {
			list[i].inside = append(list[i].inside, l.text)
		} else if i := nearest(squares, l.box); i >= 0 {
			list[i].near = append(list[i].near, l.text)
		}
	}
	return list
}

// around is the smallest square with the middle of a box in it, -1 if none.
func around(squares []square, box content.Rect) int {
	best := -1
	x, y := (box.X0+box.X1)/2, (box.Y0+box.Y1)/2
	middle := content.Rect{X0: x, Y0: y, X1: x, Y1: y}
	for i, q := range squares {
		if middle.Intersect(q.bounds) == middle && (best < 0 || q.bounds.Width() < squares[best].bounds.Width()) {
			best = i
		}
	}
	return best
}

// nearest is the square that a box is nearest to, within half its side or
// 15 mm, -1 if none.
func nearest(squares []square, box content.Rect) int {
	best, least := -1, math.Inf(1)
	for i, q := range squares {
		d := gap(q.bounds, box)
		if d <= max(q.bounds.Width()/2, 15/25.4*72) && d < least {
			best, least = i, d
		}
	}
	return best
}

// gap is the distance of two rectangles.
func gap(a, b content.Rect) float64 {
	return math.Hypot(max(0, a.X0-b.X1, b.X0-a.X1), max(0, a.Y0-b.Y1, b.Y0-a.Y1))
}

// How far the logarithm of a side may be off a measure that stands alone: inside
// of the square as far as 72 is from 96, which drawing programs take for one
// another, near by less.
const offInside, offNear = 0.29, 0.16

// read finds the text that says what a square is and sets Nominal and Label. A
// measure inside the square goes before one near by, one that fits before one that
// does not, an earlier before a later one. Where no word says that it is a test
// square, the label has to be a bare measure, and nothing else may stand in the
// square: that is how pattern pieces are written on.
func (l label) read(s *TestSquare) bool {
	named := l.named()
	if !named && !l.silent() {
		return false
	}
	return s.readLabel(l.inside, named, offInside) || s.readLabel(l.near, named, offNear)
}

// named reports whether the words call the square a test square.
func (l label) named() bool {
	return slices.ContainsFunc(l.inside, testWord.MatchString) || slices.ContainsFunc(l.near, testWord.MatchString)
}

// silent reports whether nothing inside speaks for something other than a test
// square.
func (l label) silent() bool {
	return !slices.ContainsFunc(l.inside, func(line string) bool { return !bare(line) && !testWord.MatchString(line) })
}

// bare reports whether a line says hardly anything but measures.
func bare(line string) bool {
	n := 0
	for _, r := range oneMeasure.ReplaceAllString(line, "") {
		if unicode.IsLetter(r) {
			n++
		}
	}
	return n <= 4 // "x", "by", "each"
}

// readLabel chooses the measure among lines that says what a square is. Where the
// words call it a test square, or give both sides, the measure may be off by much;
// else by most.
func (s *TestSquare) readLabel(lines []string, named bool, most float64) bool {
	s.Label = ""
	even := math.Abs(s.Width-s.Height) <= squareSlack*s.Side
	for _, line := range lines {
		for _, m := range measures(line) {
			off := math.Abs(math.Log(s.Side / m.mm))
			switch {
			case !named && !bare(line):
			case off <= squareSlack:
				s.Nominal, s.Label = m.mm, shortened(line)
				return true
			case s.Label != "":
			case off <= 1.7 && (named || m.sides), off <= most && even:
				s.Nominal, s.Label = m.mm, shortened(line)
			}
		}
	}
	return s.Label != ""
}

// maxName is how long a label or a name may be, in characters.
const maxName = 60

// shortened cuts a label that is a whole sentence.
func shortened(line string) string {
	r := []rune(line)
	if len(r) <= maxName {
		return line
	}
	return strings.TrimSpace(string(r[:maxName])) + "…"
}

// testWord is found in texts on test squares, in several languages.
var testWord = regexp.MustCompile(`(?i)\b(test|square|scale|check|calibrat|control|gauge|measure|verify|actual size|` +
	`kontroll|quadrat|maßstab|carré|échelle|proef|vierkant|cuadrado|prueba|quadrato)|контрол|тест|квадрат`)

var (
	number     = `(\d+(?:[.,]\d+)?(?:[ -]\d+/\d+)?|\d+/\d+|\d*[½¼¾])`
	unit       = `(cm|mm|inches|inch|in\b|zoll|pouces?\b|pulgadas?\b|pollici|дюйм\pL*|см|"|″|”|“|''|’’|′′)`
	oneMeasure = regexp.MustCompile(`(?i)` + number + `[\s-]*` + unit)
	twoSides   = regexp.MustCompile(`(?i)` + number + `[\s-]*` + unit + `?\s*(?:[x×✕*]|by)\s*` +
		number + `[\s-]*` + unit)
	// afterIn is what may follow "in" where it is a unit: "2 in square", but
	// not "cut 2 in lining".
	afterIn = regexp.MustCompile(`(?i)^\s*($|[^\pL\s]|(square|sq|test|box|by|x|wide|and|or|high|long|each)\b)`)
)

// measure is a length that a text states.
type measure struct {
	mm    float64
	sides bool // it is given twice, as of both sides
}

// measures finds the lengths in a text, those that are given for both sides
// first.
func measures(text string) []measure {
	var list []measure
	for _, m := range twoSides.FindAllStringSubmatch(text, 8) {
		first := m[2]
		if first == "" {
			first = m[4]
		}
		a, b := length(m[1], first), length(m[3], m[4])
		if a > 0 && math.Abs(a-b) < 1e-9 {
			list = append(list, measure{a, true})
		}
	}
	for _, at := range oneMeasure.FindAllStringSubmatchIndex(text, 16) {
		n, u := text[at[2]:at[3]], text[at[4]:at[5]]
		if strings.EqualFold(u, "in") && !afterIn.MatchString(text[at[1]:]) {
			continue
		}
		if mm := length(n, u); mm > 0 {
			list = append(list, measure{mm, false})
		}
	}
	return list
}

var vulgarFractions = strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", ",", ".")

// length reads a number, such as 2, 2.5, 2,5, 1/2, 1 1/2 or 1½, with its unit, in
// mm; 0 where it is no length.
func length(n, u string) float64 {
	sum := 0.0
	parts := strings.FieldsFunc(vulgarFractions.Replace(n), func(r rune) bool { return r == ' ' || r == '-' })
	for _, part := range parts {
		above, below, fraction := strings.Cut(part, "/")
		v, err := strconv.ParseFloat(above, 64)
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
	switch strings.ToLower(u) {
	case "cm", "см":
		return 10 * sum
	case "mm":
		return sum
	}
	return 25.4 * sum
}

// A Piece is a pattern piece as the text on it names it: a line that says how
// often to cut it, and the name above or beside that. Pieces whose text is
// drawn as lines are not found.
type Piece struct {
	Name string `json:"name"`
	// Cut is the line that says how to cut it, such as "Cut 2".
	Cut  string `json:"cut"`
	Page int    `json:"page"` // from 1
}

// cutWords is how pieces say how often to cut them, in several languages
// (common practice, no source).
var cutWords = regexp.MustCompile(`(?i)^\W*(cut\s+(\d|one|two|four|a pair|on\b)|` +
	`\d+\s*[x×]\s*(cut\b|zuschneiden|im (stoff)?bruch)|(\d+\s*[x×]\s*)?zuschneiden\b|` +
	`couper\s+\d|cortar\s+\d|tagliare\s+\d|knip\s+\d|вырезать)`)

// maxPieces bounds the lines of a page that are taken for such.
const maxPieces = 200

// pieces finds the pieces that a page names, each once.
func (s *shapes) pieces(page int) []Piece {
	lines := s.writing.lines()
	seen := map[string]bool{}
	var list []Piece
	count := 0
	for _, cut := range lines {
		if count == maxPieces || !cutWords.MatchString(cut.text) {
			continue
		}
		count++
		name := nameOf(lines, cut)
		if name != "" && !seen[name] {
			seen[name] = true
			list = append(list, Piece{Name: name, Cut: shortened(cut.text), Page: page})
		}
	}
	return list
}

// nameOf is the largest writing close to a line that says how to cut, "" if
// there is none that may be a name: short, with a word in it.
func nameOf(lines []textLine, cut textLine) string {
	best, size := "", 0.0
	for _, l := range lines {
		near := gap(l.box, cut.box) <= 1.2*max(l.size, cut.size)
		if near && l.size > size && l.size >= 0.95*cut.size && strings.ContainsFunc(l.text, unicode.IsLetter) &&
			len([]rune(l.text)) <= maxName && !cutWords.MatchString(l.text) && len(measures(l.text)) == 0 {
			best, size = l.text, l.size
		}
	}
	return best
}
