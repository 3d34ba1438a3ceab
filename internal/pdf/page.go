package pdf

import (
	"context"
	"fmt"
	"math"

	"github.com/sizeply/sizeply/layers/failure"
)

// Page is a page object with what it inherits (7.7.3.3, 7.7.3.4).
type Page struct {
	// Number counts from 1.
	Number int
	// Ref is the page's object number. One that stands in the page tree more than
	// once has a copy for each time; of what is very large it is the same object.
	Ref  Ref
	Dict Dict
	// Resources is the page's own or inherited resource dictionary as it
	// stands in the file: a Ref or a Dict, nil where there is none.
	Resources Object
	// MediaBox and CropBox are normalised (LLX <= URX), in default user space
	// units; the crop box is cut to the media box and is the media box where
	// the page has none. A missing or broken media box is US Letter, with a
	// warning.
	MediaBox, CropBox Rect
	// Rotate is 0, 90, 180 or 270.
	Rotate int
	// UserUnit is the size of a unit in 1/72 inch, 1 by default.
	UserUnit float64
}

// Rect is a rectangle with LLX <= URX and LLY <= URY.
type Rect struct{ LLX, LLY, URX, URY float64 }

// usLetter is the page size that viewers assume.
var usLetter = Rect{0, 0, 612, 792}

// readRect reads a rectangle (7.9.5), whose corners may be in any order. ok is
// false where it has not four numbers or no area.
func readRect(src Objects, o Object) (r Rect, ok bool) {
	a := AsArray(src, o)
	if len(a) < 4 {
		return r, false
	}
	var v [4]float64
	for i := range v {
		if v[i], ok = AsNumber(src, a[i]); !ok || math.IsInf(v[i], 0) {
			return r, false
		}
	}
	r = Rect{min(v[0], v[2]), min(v[1], v[3]), max(v[0], v[2]), max(v[1], v[3])}
	return r, !r.empty()
}

func (r Rect) empty() bool { return r.LLX >= r.URX || r.LLY >= r.URY }

// intersect returns what r and s share; it may be empty.
func (r Rect) intersect(s Rect) Rect {
	return Rect{max(r.LLX, s.LLX), max(r.LLY, s.LLY), min(r.URX, s.URX), min(r.URY, s.URY)}
}

// Content is the decoded content of a page: its content streams joined by a
// newline each (7.8.2).
type Content struct {
	Data []byte
	// Parts are the spans of the streams in Data, in order.
	Parts []Span
	// Faults tell what of the streams is damaged or missing, so that Data is not all
	// that the page had; none where it was read whole.
	Faults []string

	memory []byte // of Data, where nothing else has it
}

// Share gives Data to so many users, each of which says when it is done: the memory then
// serves the next page.
func (c *Content) Share(users int) *Shared { return Share(c.memory, users) }

// Span is a half-open range of bytes.
type Span struct{ Start, End int }

// PageContent decodes and joins the content streams of a page dictionary. It
// gives a *failure.LimitError where a limit is passed; a damaged stream gives what could be
// decoded, as DecodeContent does, with a fault, and one with an unknown filter a
// fault alone. Where ctx ends, its error comes back.
func PageContent(ctx context.Context, src Objects, page Dict, lim Limits) (Content, error) {
	lim = lim.withDefaults()
	var c Content
	var faults warnings
	decoded := map[*Stream][]byte{}
	var parts [][]byte
	size, kept := int64(0), false
	list := oneOrMore(src, page["Contents"])
	if ref, ok := page["Contents"].(Ref); ok && list == nil {
		list = Array{ref} // to nothing
	}
	for i, o := range list {
		s := AsStream(src, o)
		if s == nil {
			faults.add("content stream %d is missing", i+1)
			continue
		}
		data, known := decoded[s]
		if !known {
			var fault, err error
			if data, fault, err = DecodeWhole(ctx, src, s, lim.StreamBytes); err != nil {
				return Content{}, fmt.Errorf("content stream %d of the page: %w", i+1, err)
			}
			if fault != nil {
				faults.add("content stream %d: %v", i+1, fault)
			}
			decoded[s] = data
			kept = kept || SameStart(data, s.Raw)
		}
		if size += int64(len(data)); size >= lim.PageBytes {
			return Content{}, &failure.LimitError{Limit: failure.LimitPageBytes, Bound: lim.PageBytes}
		}
		parts = append(parts, data)
		size++ // what stands between
	}
	c.join(ctx, parts, size)
	switch {
	case kept: // by the file
	case len(parts) == 1:
		c.memory = parts[0]
	default:
		c.memory = c.Data
	}
	c.Faults = faults.sentences()
	return c, ctx.Err()
}

// ContentSize estimates how many bytes the contents of a page decode to, from
// what they take in the file.
func ContentSize(src Objects, page Dict) (n int64) {
	for _, o := range oneOrMore(src, page["Contents"]) {
		if s := AsStream(src, o); s != nil {
			n += 4 * int64(len(s.Raw)) // common for content
		}
	}
	return n
}

// join puts the data of streams together, with white space between (7.8.2), size
// bytes at most. That of a single one is not copied, nor written to.
func (c *Content) join(ctx context.Context, parts [][]byte, size int64) {
	if len(parts) == 1 {
		data := parts[0]
		c.Data, c.Parts = data[:len(data):len(data)], []Span{{0, len(data)}}
		return
	}
	c.Data = make([]byte, 0, size)
	for i, data := range parts {
		if i > 0 {
			c.Data = append(c.Data, '\n')
		}
		start := len(c.Data)
		for piece := range pieces(ctx, data) {
			c.Data = append(c.Data, piece...)
		}
		c.Parts = append(c.Parts, Span{start, len(c.Data)})
	}
}
