package layers

import (
	"encoding/json"
	"math"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// emptyBounds holds nothing yet; see Rect.IsEmpty.
func emptyBounds() Rect {
	return Rect{Left: math.Inf(1), Bottom: math.Inf(1), Right: math.Inf(-1), Top: math.Inf(-1)}
}

// IsEmpty is true where a rectangle holds nothing, as when everything lies
// outside of the page.
func (r Rect) IsEmpty() bool { return !(r.Left <= r.Right && r.Bottom <= r.Top) }

// union is the smallest rectangle that holds both.
func (r Rect) union(c content.Rect) Rect {
	if c.Empty() {
		return r
	}
	return Rect{
		Left: min(r.Left, c.X0), Bottom: min(r.Bottom, c.Y0),
		Right: max(r.Right, c.X1), Top: max(r.Top, c.Y1),
	}
}

// join is the smallest rectangle that holds both.
func (r Rect) join(s Rect) Rect {
	return Rect{
		Left: min(r.Left, s.Left), Bottom: min(r.Bottom, s.Bottom),
		Right: max(r.Right, s.Right), Top: max(r.Top, s.Top),
	}
}

// MarshalJSON writes an empty rectangle as null.
func (r Rect) MarshalJSON() ([]byte, error) {
	if r.IsEmpty() {
		return []byte("null"), nil
	}
	type plain Rect
	return json.Marshal(plain(r))
}

// matrix reads a matrix; the identity where there is none (Table 95).
func matrix(src pdf.Objects, o pdf.Object) content.Matrix {
	a := pdf.AsArray(src, o)
	if len(a) < 6 {
		return content.Identity()
	}
	var v [6]float64
	for i := range v {
		v[i], _ = pdf.AsNumber(src, a[i])
	}
	return content.Matrix{A: v[0], B: v[1], C: v[2], D: v[3], E: v[4], F: v[5]}
}

// rectangle reads a rectangle (7.9.5).
func rectangle(src pdf.Objects, o pdf.Object) (content.Rect, bool) {
	a := pdf.AsArray(src, o)
	if len(a) < 4 {
		return content.Rect{}, false
	}
	var v [4]float64
	for i := range v {
		v[i], _ = pdf.AsNumber(src, a[i])
	}
	return content.NewRect(v[0], v[1], v[2], v[3]), true
}
