// Package resources finds what content streams draw with: the resources that
// their operations name (ISO 32000-1, 7.8.3), each in the [Scope] of its
// stream.
package resources

import "github.com/sizeply/sizeply/internal/pdf"

// The categories of a resource dictionary whose entries content streams name
// (7.8.3, Table 33).
const (
	ExtGState  pdf.Name = "ExtGState"
	ColorSpace pdf.Name = "ColorSpace"
	Pattern    pdf.Name = "Pattern"
	Shading    pdf.Name = "Shading"
	XObject    pdf.Name = "XObject"
	Font       pdf.Name = "Font"
	Properties pdf.Name = "Properties"
)

// Categories are all of them, in a fixed order.
var Categories = [...]pdf.Name{ExtGState, ColorSpace, Pattern, Shading, XObject, Font, Properties}

// A Name is a resource name in its category.
type Name struct{ Category, Name pdf.Name }

// A Scope is where a content stream finds its resources: in its own dictionary,
// then in those of the streams that invoke it, outwards to the page. The
// standard wants inheritance only where a stream has no dictionary at all
// (7.8.3); viewers also look outside for single names, so both are followed.
// The nil Scope has no resources. A Scope is not safe for concurrent use.
type Scope struct {
	src     pdf.Objects
	dict    pdf.Dict // nil where the stream has none of its own
	caller  *Scope
	outside map[Name]pdf.Object // what names meant that dict does not have
}

// NewScope makes the scope of a stream with those resources: a dictionary, a
// reference to one, or nil. caller is the scope of the stream that invokes it,
// nil for a page.
func NewScope(src pdf.Objects, resources pdf.Object, caller *Scope) *Scope {
	return &Scope{src: src, dict: pdf.AsDict(src, resources), caller: caller}
}

// Lookup finds the resource of that name in a category; nil where nobody has it.
func (s *Scope) Lookup(category, name pdf.Name) pdf.Object {
	return s.Find(Name{category, name})
}

// Find is Lookup of a name that has its category.
func (s *Scope) Find(n Name) pdf.Object {
	if s == nil {
		return nil
	}
	if v, own := s.own(n); own {
		return v
	}
	v, known := s.outside[n]
	if !known {
		v = s.caller.Find(n)
		if s.outside == nil {
			s.outside = map[Name]pdf.Object{}
		}
		s.outside[n] = v
	}
	return v
}

func (s *Scope) own(n Name) (v pdf.Object, own bool) {
	v, ok := pdf.AsDict(s.src, s.dict[n.Category])[n.Name]
	return v, ok && pdf.Resolve(s.src, v) != nil
}

// Has reports whether the stream's own dictionary has a name.
func (s *Scope) Has(n Name) bool {
	_, own := s.own(n)
	return own
}

// Dict is the stream's own resource dictionary, nil where it has none.
func (s *Scope) Dict() pdf.Dict { return s.dict }

// Outside holds the names that were looked up in callers' scopes, and what they
// stood for there. It is not to be changed.
func (s *Scope) Outside() map[Name]pdf.Object { return s.outside }

// Components counts the components of a named colour space, as a
// content.Scanner asks for them; false where that is not known.
func (s *Scope) Components(space string) (int, bool) {
	if s == nil {
		return 0, false
	}
	return Components(s.src, s.Lookup(ColorSpace, pdf.Name(space)))
}
