package bench

import (
	"fmt"
	"math/rand/v2"
	"strconv"
)

// sheet is the content of one sheet: its layers as sections of marked content
// (ISO 32000-1, 8.11.3.2). Each number gives another drawing.
func sheet(number int) []byte {
	var b []byte
	for i := range sizeLayers + 1 {
		b = fmt.Appendf(b, "/OC /L%d BDC\n", i)
		b = append(append(b, layer(number, i)...), "EMC\n"...)
	}
	return b
}

// layer is the drawing of one layer: curves that wander over the sheet, in a
// colour and dash of their own.
func layer(number, i int) []byte {
	w := wanderer{random: rand.New(rand.NewPCG(uint64(number), uint64(i)))}
	b := fmt.Appendf(nil, "q .%d .%d .2 RG %d w [%d 4] 0 d\n", i%10, 9-i%10, 1+i%2, 3+i)
	for range curves {
		b = w.curve(b)
	}
	return append(b, "Q\n"...)
}

// The size of the sheet in hundredths of a point.
const (
	sheetX = 238394
	sheetY = 337039
)

// wanderer draws smooth curves in hundredths of a point.
type wanderer struct {
	random *rand.Rand
	x, y   int
	dx, dy int // the direction, which turns a little with each segment
}

// curve appends one curve.
func (w *wanderer) curve(b []byte) []byte {
	w.x, w.y = w.random.IntN(sheetX), w.random.IntN(sheetY)
	w.dx, w.dy = w.random.IntN(400)-200, w.random.IntN(400)-200
	b = append(w.point(b, w.x, w.y), "m\n"...)
	for range segments {
		b = w.segment(b)
	}
	return append(b, "S\n"...)
}

// segment appends a Bézier segment that goes on in the direction of the last.
func (w *wanderer) segment(b []byte) []byte {
	b = w.point(b, w.x+w.dx, w.y+w.dy)
	w.dx, w.dy = w.turned(w.dx), w.turned(w.dy)
	w.x, w.y = within(w.x+3*w.dx, sheetX, &w.dx), within(w.y+3*w.dy, sheetY, &w.dy)
	b = w.point(b, w.x-w.dx, w.y-w.dy)
	return append(w.point(b, w.x, w.y), "c\n"...)
}

func (w *wanderer) turned(d int) int { return min(max(d+w.random.IntN(17)-8, -400), 400) }

// within turns around at the edge of the sheet.
func within(v, limit int, d *int) int {
	if v < 0 || v > limit {
		*d = -*d
	}
	return min(max(v, 0), limit)
}

// point appends a point with two decimals.
func (w *wanderer) point(b []byte, x, y int) []byte {
	return appendHundredths(appendHundredths(b, x), y)
}

func appendHundredths(b []byte, v int) []byte {
	if v < 0 {
		b, v = append(b, '-'), -v
	}
	b = strconv.AppendInt(b, int64(v/100), 10)
	return append(b, '.', byte('0'+v/10%10), byte('0'+v%10), ' ')
}
