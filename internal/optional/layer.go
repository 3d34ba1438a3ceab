package optional

import (
	"encoding/json"
	"math"

	"github.com/sizeply/sizeply/internal/content"
)

// A Layer is one optional content group of a file (ISO 32000-1, 8.11.2.1).
type Layer struct {
	// Object is the group's object number: the layer's identity. Names may
	// repeat.
	Object int `json:"object"`
	// Name is the group's name as text; "" where it has none.
	Name string `json:"name"`
	// Parents are the labels and layers above it in the order that viewers
	// show, outermost first.
	Parents []string `json:"parents,omitempty"`
	// Place is where the layer stands in the order that viewers show, from 1
	// at the top; 0 where it does not (8.11.4.3, Table 101, Order).
	Place int `json:"place,omitempty"`
	// Listed is false for a group that content uses but that the file's list
	// of groups leaves out. Viewers always show such content.
	Listed bool `json:"listed"`
	// On is the state in which a viewer opens the file (8.11.4.3).
	On bool `json:"on"`
	// Print is the state for printing: On, changed by what the usage of the
	// group says for the event Print (8.11.4.4).
	Print bool `json:"print"`
	// Locked layers cannot be switched in a viewer; here it means nothing.
	Locked bool `json:"locked,omitempty"`
	// Intent is why the layer exists, "View" by default (8.11.2.3).
	Intent []string `json:"intent"`
	// Usage is what the group says of its use.
	Usage Usage `json:"usage,omitzero"`
	// Uses tells what the layer holds, one entry for each page on which it
	// holds something. Inspect fills it.
	Uses []Use `json:"uses,omitempty"`
	// Within is true where the layer stands within a tiling pattern, a soft mask
	// or a glyph of a font that pages have; Uses does not count what it draws
	// there. Inspect fills it.
	Within bool `json:"within,omitempty"`
}

// Usage is the usage dictionary of a group (8.11.4.4, Table 102), as far as
// it says when to show the layer. An empty field is an absent one.
type Usage struct {
	View   string `json:"view,omitempty"`   // "ON" or "OFF"
	Print  string `json:"print,omitempty"`  // "ON" or "OFF"
	Export string `json:"export,omitempty"` // "ON" or "OFF"
	// Subtype says what kind of content is printed, such as "Watermark".
	Subtype string `json:"subtype,omitempty"`
	// Element is the page element: "HF", "FG", "BG" or "L".
	Element string `json:"element,omitempty"`
	// Creator is the program that made the group.
	Creator string `json:"creator,omitempty"`
}

// Use is what a layer holds on one page. A mark counts for each layer that an
// open section around it names, directly or through a membership dictionary,
// and for the layers of the forms and images that it is drawn with.
type Use struct {
	Page   int `json:"page"`   // from 1
	Paths  int `json:"paths"`  // painted paths and shadings
	Texts  int `json:"texts"`  // show operators
	Images int `json:"images"` // image XObjects and inline images
	// Bounds is the extent of the marks in points (1/72 inch, UserUnit
	// applied) with the origin at the lower left corner of the crop box,
	// before rotation: exact for curves, without the width of lines, clipped
	// to the crop box and to the bounds of clipping paths. Text reaches from
	// its font's descent to its ascent.
	Bounds Rect `json:"bounds"`
}

// Rect is a rectangle in points; Left <= Right and Bottom <= Top.
type Rect struct {
	Left   float64 `json:"left"`
	Bottom float64 `json:"bottom"`
	Right  float64 `json:"right"`
	Top    float64 `json:"top"`
}

// Page is one page of a file.
type Page struct {
	Number int `json:"number"` // from 1
	// Width and Height are the size of the crop box in points (1/72 inch),
	// UserUnit applied and rotation too: as the page is seen.
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
}

// EmptyRect holds nothing yet; see [Rect.IsEmpty].
func EmptyRect() Rect {
	return Rect{Left: math.Inf(1), Bottom: math.Inf(1), Right: math.Inf(-1), Top: math.Inf(-1)}
}

// RectOf gives a rectangle of content, which may be empty.
func RectOf(r content.Rect) Rect {
	if r.Empty() {
		return EmptyRect()
	}
	return Rect{Left: r.X0, Bottom: r.Y0, Right: r.X1, Top: r.Y1}
}

// Union is the smallest rectangle that holds both.
func Union(r, s Rect) Rect {
	return Rect{
		Left: min(r.Left, s.Left), Bottom: min(r.Bottom, s.Bottom),
		Right: max(r.Right, s.Right), Top: max(r.Top, s.Top),
	}
}

// IsEmpty reports whether a rectangle holds nothing, as when everything lies
// outside of the page.
func (r Rect) IsEmpty() bool { return !(r.Left <= r.Right && r.Bottom <= r.Top) }

// MarshalJSON writes an empty rectangle as null.
func (r Rect) MarshalJSON() ([]byte, error) {
	if r.IsEmpty() {
		return []byte("null"), nil
	}
	type plain Rect
	return json.Marshal(plain(r))
}
