package layers

import (
	"math"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/paint"
)

// What a row of pieces that stand for dashes is like (common practice, no
// source). Lengths in points.
const (
	rowPiece   = 25 * paint.UnitsPerMillimetre  // a piece at most
	rowGap     = 15 * paint.UnitsPerMillimetre  // a gap at most
	rowTouch   = 0.1 * paint.UnitsPerMillimetre // a gap at least
	rowTurn    = 0.9                            // cosine of the angle between neighbours at least
	rowCount   = 8                              // pieces at least, of all rows
	maxRowSize = 20_000                         // lengths that are remembered
)

// rows finds short pieces that follow each other with gaps.
type rows struct {
	all, inRow   int // pieces so far, and those that follow another
	dashes, gaps []float64
	last         paint.Piece
	any          bool
}

// add takes the pieces of a path.
func (r *rows) add(pieces []paint.Piece) {
	if len(pieces) == 0 {
		r.all++
		r.any = false
		return
	}
	for _, p := range pieces {
		r.all++
		if gap, ok := r.follows(p); ok {
			r.inRow++
			if len(r.gaps) < maxRowSize {
				r.gaps, r.dashes = append(r.gaps, gap), append(r.dashes, span(p.From, p.To))
			}
		}
		r.last, r.any = p, true
	}
}

// follows tells whether a piece goes on where the last one ended, behind a gap.
func (r *rows) follows(p paint.Piece) (gap float64, ok bool) {
	gap = span(r.last.To, p.From)
	a, b := span(r.last.From, r.last.To), span(p.From, p.To)
	if !r.any || a > rowPiece || b > rowPiece || a == 0 || b == 0 || gap < rowTouch || gap > rowGap {
		return 0, false
	}
	return gap, cosine(r.last.From, r.last.To, r.last.To, p.From) >= rowTurn && cosine(r.last.To, p.From, p.From, p.To) >= rowTurn
}

// span is the distance of two points.
func span(a, b content.Point) float64 { return math.Hypot(b.X-a.X, b.Y-a.Y) }

// cosine is that of the angle between two steps.
func cosine(a, b, c, d content.Point) float64 {
	return ((b.X-a.X)*(d.X-c.X) + (b.Y-a.Y)*(d.Y-c.Y)) / (span(a, b) * span(c, d))
}

// join adds rows of the same style.
func (r *rows) join(u *rows) {
	r.all, r.inRow = r.all+u.all, r.inRow+u.inRow
	if len(r.gaps)+len(u.gaps) <= maxRowSize {
		r.gaps, r.dashes = append(r.gaps, u.gaps...), append(r.dashes, u.dashes...)
	}
}

// pieces tells of the rows where most of a solid style is drawn in them.
func (r *rows) pieces(s paint.Style) *DashPieces {
	if s.Dash != "" || r.inRow < rowCount || 2*r.inRow < r.all {
		return nil
	}
	return &DashPieces{Dash: median(r.dashes), Gap: median(r.gaps), Count: r.inRow}
}

// median is the middle of lengths in points, in mm with two decimals.
func median(list []float64) float64 {
	list = slices.Sorted(slices.Values(list))
	return math.Round(list[len(list)/2]/paint.UnitsPerMillimetre*100) / 100
}
