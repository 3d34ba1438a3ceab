package layers

import (
	"math"
	"strings"

	"github.com/sizeply/sizeply/internal/content"
)

// textRun is one shown string, in points of the page.
type textRun struct {
	text     string
	from, to content.Point // its base line
	size     float64
	box      content.Rect
}

// textLine is what is written on one line.
type textLine struct {
	text string
	box  content.Rect
}

// addText takes a shown string.
func (p *pageShapes) addText(r textRun) {
	if len(p.runs) < maxRuns && r.text != "" && !r.box.Empty() {
		p.runs = append(p.runs, r)
	}
}

// lines joins strings that were shown one after another on one base line.
func (p *pageShapes) lines() []textLine {
	var list []textLine
	for i, r := range p.runs {
		if n := len(list); i > 0 && n > 0 {
			if gap, ok := p.runs[i-1].goesOn(r); ok {
				if gap > 0.15*r.size {
					list[n-1].text += " "
				}
				list[n-1].text += r.text
				list[n-1].box = list[n-1].box.Union(r.box)
				continue
			}
		}
		list = append(list, textLine{r.text, r.box})
	}
	for i := range list {
		list[i].text = strings.Join(strings.Fields(list[i].text), " ")
	}
	return list
}

// goesOn tells whether a run goes on behind this one, and how far behind.
func (r textRun) goesOn(next textRun) (gap float64, ok bool) {
	length := distance(r.from, r.to)
	if length == 0 {
		return 0, false
	}
	ux, uy := (r.to.X-r.from.X)/length, (r.to.Y-r.from.Y)/length
	dx, dy := next.from.X-r.to.X, next.from.Y-r.to.Y
	gap, aside := dx*ux+dy*uy, math.Abs(dy*ux-dx*uy)
	return gap, aside <= 0.3*r.size && gap >= -0.3*r.size && gap <= 1.5*r.size
}

// assign gives each square the lines inside it, where it is the smallest
// around them, and the lines near by that are nearer to no other square.
func assign(quads []quad, lines []textLine) (inside, near [][]string) {
	inside, near = make([][]string, len(quads)), make([][]string, len(quads))
	if len(quads) == 0 {
		return inside, near
	}
	for _, l := range lines {
		if i := around(quads, l.box); i >= 0 {
			inside[i] = append(inside[i], l.text)
		} else if i := nearest(quads, l.box); i >= 0 {
			near[i] = append(near[i], l.text)
		}
	}
	return inside, near
}

// around is the smallest square with the middle of a box in it, -1 if none.
func around(quads []quad, box content.Rect) int {
	best := -1
	x, y := (box.X0+box.X1)/2, (box.Y0+box.Y1)/2
	for i, q := range quads {
		b := q.bounds
		if x >= b.X0 && x <= b.X1 && y >= b.Y0 && y <= b.Y1 && (best < 0 || b.Width() < quads[best].bounds.Width()) {
			best = i
		}
	}
	return best
}

// nearest is the square that a box is nearest to, within half its side or
// 15 mm, -1 if none.
func nearest(quads []quad, box content.Rect) int {
	best, least := -1, math.Inf(1)
	for i, q := range quads {
		b := q.bounds
		d := math.Hypot(max(0, b.X0-box.X1, box.X0-b.X1), max(0, b.Y0-box.Y1, box.Y0-b.Y1))
		if d <= max(b.Width()/2, 15/25.4*72) && d < least {
			best, least = i, d
		}
	}
	return best
}
