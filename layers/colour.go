package layers

import (
	"strings"

	"github.com/lucasb-eyer/go-colorful"
	"golang.org/x/image/colornames"

	"github.com/sizeply/sizeply/internal/paint"
)

// colourDifference is the CIEDE2000 difference of two colours (Sharma, Wu, Dalal
// 2005), where 1 is about what an eye just tells apart.
func colourDifference(a, b colorful.Color) float64 { return 100 * a.DistanceCIEDE2000(b) }

// colourful is a colour as the colour library has it.
func colourful(c paint.Colour) colorful.Color {
	return colorful.Color{R: float64(c.R) / 255, G: float64(c.G) / 255, B: float64(c.B) / 255}
}

// colourName is the nearest colour name of CSS; "" where the colour is unknown.
// Of two names for one colour it is the first in the alphabet, and grey for
// gray.
func colourName(c paint.Colour) string {
	if !c.Known {
		return ""
	}
	best, name := -1.0, ""
	for _, n := range colornames.Names {
		is := colornames.Map[n]
		d := colourDifference(colourful(c), colourful(paint.Colour{R: is.R, G: is.G, B: is.B}))
		if best < 0 || d < best {
			best, name = d, n
		}
	}
	return strings.Replace(name, "gray", "grey", 1)
}
