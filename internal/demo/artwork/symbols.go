package artwork

import (
	"math"

	"github.com/sizeply/sizeply/internal/demo/draft"
)

// arrowhead has its tip at the origin and points along the x axis.
func arrowhead() Symbol {
	return wedge("Arrowhead", draft.Point{}, -8, 2.4)
}

// notchMark has its base on the seam line and points into the piece.
func notchMark() Symbol {
	return wedge("Notch", draft.Point{X: 3.6}, -3.6, 1.7)
}

// tick stands on the seam line and points into the piece.
func tick() Symbol {
	return Symbol{"Tick", []Shape{Stroke{Paths: []draft.Path{draft.Polygon(draft.Point{}, draft.Point{X: 5})}}}}
}

func wedge(name string, tip draft.Point, back, half float64) Symbol {
	a := tip.Add(draft.Point{X: back, Y: half})
	b := tip.Add(draft.Point{X: back, Y: -half})
	return Symbol{name, []Shape{Fill{Paths: []draft.Path{draft.Polygon(tip, a, b)}}}}
}

// grainlines draws the straight grain of each piece; on a fold it is a
// bracket that points at the fold.
func (s *sheet) grainlines() {
	s.foldBracket(draft.Point{X: centreFront, Y: hipLine - 300}, 340, 18)
	s.doubleArrow(draft.Point{X: centreBack - 45, Y: hipLine - 300}, 340)
	s.foldBracket(draft.Point{X: centreFront, Y: frontFacingY - 23}, 19, 9)
	s.doubleArrow(draft.Point{X: centreFront + 12, Y: backFacingY - 33}, 19)
	s.doubleArrow(draft.Point{X: pocketX - 5, Y: pocketY - 165}, 130)
}

func (s *sheet) doubleArrow(foot draft.Point, height float64) {
	top := foot.Add(draft.Point{Y: height})
	s.put(layerGrainline,
		Stroke{Paths: []draft.Path{draft.Polygon(foot, top)}, Line: plain},
		Stamp{arrowhead().Name, foot, -math.Pi / 2, plain},
		Stamp{arrowhead().Name, top, math.Pi / 2, plain})
}

// foldBracket stands beside the fold, which runs upwards from foot.
func (s *sheet) foldBracket(foot draft.Point, height, depth float64) {
	top, in := foot.Add(draft.Point{Y: height}), draft.Point{X: depth}
	s.put(layerGrainline,
		Stroke{Paths: []draft.Path{draft.Polygon(foot, foot.Add(in), top.Add(in), top)}, Line: plain},
		Stamp{arrowhead().Name, foot, math.Pi, plain},
		Stamp{arrowhead().Name, top, math.Pi, plain})
}

// sharedNotches marks what lies in one place for all sizes: the hip line,
// the end of the zip and the middle of the front facing.
func (s *sheet) sharedNotches() {
	least := s.skirts[0]
	front, back := s.pieces[0].place(least), s.pieces[1].place(least)
	for _, side := range []struct {
		place draft.Placing
		width float64
	}{{front, least.Front.HipWidth}, {back, least.Back.HipWidth}} {
		hip := draft.Polygon(draft.Point{}, draft.Point{X: side.width})
		s.put(layerNotches, Stroke{Paths: []draft.Path{side.place.Path(hip)}, Line: broken})
		s.centreNotch(side.place, 0)
	}
	s.centreNotch(back, draft.ZipAboveHip)
}

// centreNotch stamps a notch on a centre line at a height above the hip line.
func (s *sheet) centreNotch(place draft.Placing, y float64) {
	at, inward := place.Point(draft.Point{Y: y}), place.Direction(draft.Point{X: 1})
	s.put(layerNotches, Stamp{notchMark().Name, at, inward.Angle(), fine})
}
