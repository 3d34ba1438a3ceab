package resources

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
)

// drawing is a stream that draws with resources.
func drawing(subtype pdf.Name, resources pdf.Object) *pdf.Stream {
	d := pdf.Dict{"Subtype": subtype}
	if resources != nil {
		d["Resources"] = resources
	}
	return &pdf.Stream{Dict: d}
}

// entry is a resource dictionary with one entry.
func entry(category pdf.Name, o pdf.Object) pdf.Dict {
	return pdf.Dict{category: pdf.Dict{"N": o}}
}

// described lists the visits of a walk from one page and its annotations: number,
// role, "inside", and in brackets what it draws with.
func described(src pdf.Objects, p pdf.Page) (visits []string, page string) {
	roles := []string{"", "page", "appearance", "form", "image", "cell", "mask", "font", "glyph"}
	w := NewWalk(src, func(n Node, parts []string) string {
		text := fmt.Sprintf("%d %s", n.Ref, roles[n.Role])
		if n.Inside {
			text += " inside"
		}
		visits = append(visits, text)
		return fmt.Sprintf("%d[%s]", n.Ref, strings.Join(parts, " "))
	})
	page = w.Page(p)
	w.Appearances(p)
	w.Page(p)
	return visits, page
}

func TestWalk(t *testing.T) {
	mask := func(ref pdf.Ref) pdf.Dict { return pdf.Dict{"SMask": pdf.Dict{"G": ref}} }
	for _, c := range []struct {
		reason    string
		objects   objects
		resources pdf.Object
		annots    pdf.Object
		visits    []string // beside the page, which is 1
		page      string
	}{
		{"nothing", nil, nil, nil, nil, "1[]"},
		{"a form and what it draws", objects{2: drawing("Form", entry(XObject, pdf.Ref(3))), 3: drawing("Image", nil)},
			entry(XObject, pdf.Ref(2)), nil, []string{"3 image", "2 form"}, "1[2[3[]]]"},
		{"a cell, and a form within it", objects{2: drawing("", entry(XObject, pdf.Ref(3))), 3: drawing("Form", nil)},
			entry(Pattern, pdf.Ref(2)), nil, []string{"3 form inside", "2 cell inside"}, "1[2[3[]]]"},
		{"a shading pattern draws with nothing", objects{2: pdf.Dict{"PatternType": pdf.Integer(2)}},
			entry(Pattern, pdf.Ref(2)), nil, nil, "1[]"},
		{"the group of a soft mask", objects{2: drawing("Form", nil), 3: mask(2)},
			entry(ExtGState, pdf.Ref(3)), nil, []string{"2 mask inside"}, "1[2[]]"},
		{"glyphs, then the resources of their font", objects{
			2: pdf.Dict{"CharProcs": pdf.Dict{"a": pdf.Ref(3), "b": pdf.Ref(4), "c": nil}, "Resources": entry(XObject, pdf.Ref(5))},
			3: drawing("", nil), 4: drawing("", nil), 5: drawing("Form", nil),
		}, entry(Font, pdf.Ref(2)), nil, []string{"3 glyph inside", "4 glyph inside", "5 form inside", "2 font inside"}, "1[2[3[] 4[] 5[]]]"},
		{"a font that a graphics state sets", objects{2: pdf.Dict{"CharProcs": pdf.Dict{"a": pdf.Ref(3)}}, 3: drawing("", nil)},
			entry(ExtGState, pdf.Dict{"Font": pdf.Array{pdf.Ref(2), pdf.Integer(9)}}), nil, []string{"3 glyph inside", "2 font inside"}, "1[2[3[]]]"},
		{"other fonts have no content", objects{2: pdf.Dict{"Subtype": pdf.Name("Type1")}}, entry(Font, pdf.Ref(2)), nil, nil, "1[]"},
		{"appearances, plain and by state", objects{2: drawing("Form", nil), 3: drawing("Form", nil), 4: drawing("Form", nil)}, nil,
			pdf.Array{pdf.Dict{"AP": pdf.Dict{"N": pdf.Dict{"Off": pdf.Ref(2), "On": pdf.Ref(3)}, "D": pdf.Ref(4)}}, nil},
			[]string{"4 appearance", "2 appearance", "3 appearance"}, "1[]"},
		{"once however often it is drawn", objects{2: drawing("Form", entry(XObject, pdf.Ref(4))), 3: drawing("Form", entry(XObject, pdf.Ref(4))), 4: drawing("Form", nil)},
			pdf.Dict{"XObject": pdf.Dict{"A": pdf.Ref(2), "B": pdf.Ref(3)}}, nil, []string{"4 form", "2 form", "3 form"}, "1[2[4[]] 3[4[]]]"},
		{"once more where it is inside", objects{2: drawing("", entry(XObject, pdf.Ref(3))), 3: drawing("Form", nil)},
			pdf.Dict{"XObject": pdf.Dict{"A": pdf.Ref(3)}, "Pattern": pdf.Dict{"P": pdf.Ref(2)}}, nil,
			[]string{"3 form", "3 form inside", "2 cell inside"}, "1[3[] 2[3[]]]"},
		{"a form within itself", objects{2: drawing("Form", entry(XObject, pdf.Ref(2)))},
			entry(XObject, pdf.Ref(2)), nil, []string{"2 form"}, "1[2[]]"},
		{"two within each other", objects{2: drawing("Form", entry(XObject, pdf.Ref(3))), 3: drawing("Form", entry(XObject, pdf.Ref(2)))},
			entry(XObject, pdf.Ref(2)), nil, []string{"3 form", "2 form"}, "1[2[3[]]]"},
		{"resources that forms share with their page", objects{
			9: pdf.Dict{"XObject": pdf.Dict{"A": pdf.Ref(2), "B": pdf.Ref(3)}}, 2: drawing("Form", pdf.Ref(9)), 3: drawing("Form", pdf.Ref(9)),
		}, pdf.Ref(9), nil, []string{"2 form", "3 form"}, "1[2[] 3[]]"},
		{"what is not there", objects{}, entry(XObject, pdf.Ref(2)), nil, nil, "1[]"},
	} {
		t.Run(c.reason, func(t *testing.T) {
			visits, page := described(c.objects, pdf.Page{Ref: 1, Dict: pdf.Dict{"Annots": c.annots}, Resources: c.resources})
			var others []string
			for _, v := range visits {
				if v != "1 page" {
					others = append(others, v)
				}
			}
			if len(others) != len(visits)-1 || !slices.Equal(others, c.visits) {
				t.Errorf("visits %q, want %q and the page", visits, c.visits)
			}
			if page != c.page {
				t.Errorf("the page has %s, want %s", page, c.page)
			}
		})
	}
}

// TestWalkDepth: forms within forms without end are cut, and found from nearer by.
func TestWalkDepth(t *testing.T) {
	const deep = 3 * maxDepth
	src := objects{}
	for i := pdf.Ref(1); i <= deep; i++ {
		src[i] = drawing("Form", entry(XObject, i+1))
	}
	visited := 0
	w := NewWalk(src, func(n Node, parts []int) int {
		visited++
		sum := 1
		for _, p := range parts {
			sum += p
		}
		return sum
	})
	if got := w.Drawing(pdf.Ref(1)); got != maxDepth || visited != maxDepth {
		t.Errorf("%d forms within each other, %d visited, want %d", got, visited, maxDepth)
	}
	if got := w.Drawing(pdf.Ref(maxDepth + 1)); got != maxDepth || visited != 2*maxDepth {
		t.Errorf("%d forms behind them, %d visited, want %d", got, visited, maxDepth)
	}
	if got := w.Drawing(pdf.Ref(deep + 5)); got != 0 {
		t.Errorf("what is not there gives %d", got)
	}
}

// TestWalkManyShared: forms that all share the page's resources take time in
// proportion to their number.
func TestWalkManyShared(t *testing.T) {
	const many = 20000
	src, all := objects{}, pdf.Dict{}
	for i := pdf.Ref(10); i < 10+many; i++ {
		src[i] = drawing("Form", pdf.Ref(1))
		all[pdf.Name(fmt.Sprint(i))] = i
	}
	src[1] = pdf.Dict{"XObject": all}
	visited := 0
	w := NewWalk(src, func(Node, []struct{}) struct{} { visited++; return struct{}{} })
	for i := range pdf.Ref(5) {
		w.Page(pdf.Page{Ref: 2 + i, Resources: pdf.Ref(1)})
	}
	if visited != many+5 {
		t.Errorf("%d visits, want %d", visited, many+5)
	}
}
