package layers

import "github.com/lucasb-eyer/go-colorful"

// PrintDifference is the CIEDE2000 difference below which two lines of one dash
// are hard to tell apart on paper (common practice, no source: 1 is what an eye
// just sees on large areas side by side, thin lines take about ten times that).
const PrintDifference = 10.0

// AlikeLines are the lines of two sizes that are hard to tell apart in print.
type AlikeLines struct {
	A, B int // positions of the specs, A < B
	// Colour and Grey are the CIEDE2000 differences of the colours and of the
	// greys of the same lightness, which a printer without colour prints.
	Colour, Grey float64
	// OnlyGrey is true where the colours differ enough and the greys do not.
	OnlyGrey bool
}

// HardToTell finds the pairs of lines that are hard to tell apart in print: those
// whose dashes do not differ, or are not stated, and whose colours differ by less
// than PrintDifference, in colour or in grey. It gives an error for a colour that
// is none.
func HardToTell(specs []LineSpec) ([]AlikeLines, error) {
	if _, err := MatchLines(nil, specs); err != nil {
		return nil, err
	}
	var list []AlikeLines
	for i, a := range specs {
		for k := i + 1; k < len(specs); k++ {
			b := specs[k]
			if a.Dash != nil && b.Dash != nil && dashDistance(a.Dash, b.Dash) > 1 {
				continue
			}
			pair := AlikeLines{A: i, B: k}
			if a.Colour != "" && b.Colour != "" {
				x, _ := colorful.Hex(a.Colour)
				y, _ := colorful.Hex(b.Colour)
				pair.Colour, pair.Grey = colourDifference(x, y), colourDifference(greyOf(x), greyOf(y))
			}
			if pair.Colour < PrintDifference || pair.Grey < PrintDifference {
				pair.OnlyGrey = pair.Colour >= PrintDifference
				list = append(list, pair)
			}
		}
	}
	return list, nil
}

// greyOf is the grey of the same lightness.
func greyOf(c colorful.Color) colorful.Color {
	l, _, _ := c.Lab()
	return colorful.Lab(l, 0, 0)
}
