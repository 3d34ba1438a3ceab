package layers

import (
	"math"
	"regexp"
	"strings"
	"unicode"
)

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
var cutWords = regexp.MustCompile(`(?i)^\W*(cut\s+(\d|one|two|four|a pair|on\b)|\d+\s*[x×]\s*(cut\b|zuschneiden|im (stoff)?bruch)|(\d+\s*[x×]\s*)?zuschneiden\b|couper\s+\d|cortar\s+\d|tagliare\s+\d|knip\s+\d|вырезать)`)

// maxPieces bounds the lines of a page that are taken for such.
const maxPieces = 200

// pieces finds the pieces that a page names, each once.
func (p *pageShapes) pieces(page int) []Piece {
	lines := p.lines()
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
			list = append(list, Piece{Name: name, Cut: shortLabel(cut.text), Page: page})
		}
	}
	return list
}

// nameOf is the largest writing close to a line that says how to cut, "" if
// there is none that may be a name.
func nameOf(lines []textLine, cut textLine) string {
	best, size := "", 0.0
	for _, l := range lines {
		gapX := max(0, l.box.X0-cut.box.X1, cut.box.X0-l.box.X1)
		gapY := max(0, l.box.Y0-cut.box.Y1, cut.box.Y0-l.box.Y1)
		near := math.Hypot(gapX, gapY) <= 1.2*max(l.size, cut.size)
		if near && l.size > size && l.size >= 0.95*cut.size && mayBeName(l.text) {
			best, size = l.text, l.size
		}
	}
	return best
}

// mayBeName tells whether a line has a word in it and is short.
func mayBeName(text string) bool {
	const most = 60
	word := strings.IndexFunc(text, unicode.IsLetter) >= 0
	return word && len([]rune(text)) <= most && !cutWords.MatchString(text) && len(measures(text)) == 0
}
