package draw_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/draw"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// kinds are words for marks.
var kinds = map[draw.Kind]string{
	draw.Unknown: "unknown", draw.PaintedPath: "path", draw.ShownText: "text", draw.Shading: "shading", draw.Image: "image",
}

// marks walks the first page of a document and writes a line for each mark: kind,
// bounds within the clip, groups by name, and what is asked for besides.
func marks(t *testing.T, d testpdf.Doc, options draw.Options, most int) (list []string, count int, err error) {
	t.Helper()
	doc, err := optional.Open(context.Background(), testpdf.Build(d), "", pdf.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	p := doc.PDF.Pages()[0]
	c, err := pdf.PageContent(context.Background(), doc.PDF, p.Dict, pdf.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	w := draw.NewSource(doc, nil).Walker(options)
	count, err = w.Page(context.Background(), p, c.Data, most, func(m *draw.Mark) error {
		line := kinds[m.Kind]
		if m.Kind != draw.Unknown {
			b := m.Clipped()
			line += fmt.Sprintf(" %.4g %.4g %.4g %.4g", b.X0, b.Y0, b.X1, b.Y1)
		}
		for _, g := range m.Groups {
			line += " /" + doc.Group(g).Layer.Name
		}
		if m.Kind == draw.PaintedPath && options.Straight {
			for _, l := range m.Path.Polylines(m.Op) {
				_, four := l.Corners()
				line += fmt.Sprintf(" %d points, closed %t, square %t", len(l.Points()), l.Closed(), four)
			}
		}
		if m.Kind == draw.PaintedPath && options.Styles {
			fill, stroke := m.Painter.PathStyles(m.Op, m.State, m.Path)
			line += fmt.Sprintf(" fill %d stroke %d width %d dash %q", fill.Kind, stroke.Kind, stroke.Width, stroke.Dash)
		}
		if m.Kind == draw.ShownText {
			for _, s := range m.Text.Strings {
				line += fmt.Sprintf(" %q", m.Text.Decoder.Text(s.Codes))
			}
		}
		list = append(list, line)
		return nil
	})
	return list, count, err
}

// TestWalker: content in, marks out, on a page of 100 by 100 with the groups A and B,
// of which B is hidden where states are asked for and A is true.
func TestWalker(t *testing.T) {
	states := func(ref pdf.Ref) optional.Truth {
		if ref == testpdf.GroupObject {
			return optional.True
		}
		return optional.False
	}
	for _, c := range []struct {
		name, content, entries string
		xobjects               string // the form X is 30 0 R
		objects                []testpdf.Object
		options                draw.Options
		want                   []string
	}{
		{name: "nothing", content: "0 0 m 9 9 l n"},
		{name: "path", content: "1 2 3 4 re f", want: []string{"path 1 2 4 6"}},
		{name: "curve", content: "0 0 m 0 10 10 10 10 0 c S", want: []string{"path 0 0 10 7.5"}},
		{name: "matrix", content: "2 0 0 2 10 10 cm 1 2 3 4 re f", want: []string{"path 12 14 18 22"}},
		{name: "clip", content: "q 0 0 5 5 re W n 1 2 30 40 re f Q 1 2 30 40 re f", want: []string{"path 1 2 5 5", "path 1 2 31 42"}},
		{name: "crop box and UserUnit", content: "0 0 30 30 re f", entries: "/CropBox [10 10 20 20] /UserUnit 2", want: []string{"path 0 0 20 20"}},
		{name: "shading", content: "/S sh", want: []string{"shading 0 0 100 100"}},
		{name: "inline image", content: "8 0 0 9 1 2 cm BI /W 1 /H 1 /BPC 8 /CS /G ID x EI", want: []string{"image 1 2 9 11"}},
		{name: "text", content: "BT /F 10 Tf 10 20 Td [(WW) -100 (i)] TJ ET", want: []string{`text 10 18 32.1 28 "WW" "i"`}},
		{name: "text in no font", content: "BT (W) Tj ET", want: []string{"unknown"}},
		{name: "sections", content: "/OC /A BDC 0 0 1 1 re f /OC /B BDC 0 0 2 2 re f EMC /Span BMC 0 0 3 3 re f EMC EMC 0 0 4 4 re f EMC 0 0 5 5 re f",
			want: []string{"path 0 0 1 1 /A", "path 0 0 2 2 /A /B", "path 0 0 3 3 /A", "path 0 0 4 4", "path 0 0 5 5"}},
		{name: "one group twice", content: "/OC /A BDC /OC /A BDC 0 0 1 1 re f EMC 0 0 2 2 re f EMC 0 0 3 3 re f",
			want: []string{"path 0 0 1 1 /A", "path 0 0 2 2 /A", "path 0 0 3 3"}},
		{name: "hidden", content: "/OC /B BDC 0 0 1 1 re f BT /F 9 Tf (x) Tj ET /X Do EMC 0 0 2 2 re f", xobjects: "/X 30 0 R",
			objects: []testpdf.Object{testpdf.Form(30, "", "0 0 9 9 re f")}, options: draw.Options{States: states}, want: []string{"path 0 0 2 2"}},
		{name: "what is hidden clips", content: "/OC /B BDC 0 0 5 5 re W f EMC 0 0 9 9 re f", options: draw.Options{States: states},
			want: []string{"path 0 0 5 5"}},
		{name: "form", content: "2 0 0 2 0 0 cm 3 w /X Do", xobjects: "/X 30 0 R",
			objects: []testpdf.Object{testpdf.Form(30, "/Matrix [1 0 0 1 5 5] /BBox [0 0 10 10]", "0 0 50 50 re S 0 0 1 1 re W n")},
			options: draw.Options{Styles: true}, want: []string{`path 10 10 30 30 fill 0 stroke 1 width 2117 dash ""`}},
		{name: "form in a group, with an open section", content: "/X Do 0 0 2 2 re f", xobjects: "/X 30 0 R", objects: []testpdf.Object{
			testpdf.Form(30, "/OC 6 0 R /Resources <</Properties <</A 5 0 R>>>>", "/OC /A BDC 0 0 1 1 re f"),
		}, want: []string{"path 0 0 1 1 /B /A", "path 0 0 2 2"}},
		{name: "form within itself", content: "/X Do", xobjects: "/X 30 0 R", objects: []testpdf.Object{testpdf.Form(30, "", "0 0 1 1 re f /X Do")},
			want: []string{"path 0 0 1 1"}},
		{name: "image", content: "9 0 0 9 0 0 cm /X Do", xobjects: "/X 30 0 R", objects: []testpdf.Object{
			testpdf.Stream(30, "/Type /XObject /Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace /DeviceGray", "x"),
		}, want: []string{"image 0 0 9 9"}},
		{name: "form that is not there", content: "/X Do", want: []string{"unknown"}},
		{name: "straight subpaths", content: "0 0 9 9 re 0 0 m 5 0 l 9 0 l 9 9 l 1 1 m 2 2 3 3 4 4 c S", options: draw.Options{Straight: true},
			want: []string{"path 0 0 9 9 4 points, closed true, square true 3 points, closed false, square false"}},
		{name: "filling closes", content: "0 0 m 9 0 l 9 9 l 0 9 l f", options: draw.Options{Straight: true},
			want: []string{"path 0 0 9 9 4 points, closed true, square true"}},
		{name: "styles by gs", content: "/G gs 0 0 m 9 9 l S", options: draw.Options{Styles: true},
			want: []string{`path 0 0 9 9 fill 0 stroke 1 width 1058 dash "1058 353"`}},
		{name: "annotations", content: "0 0 1 1 re f /OC /A BDC", entries: "/Annots [40 0 R 41 0 R 42 0 R 43 0 R]", objects: []testpdf.Object{
			testpdf.Obj(40, "<</Subtype /Square /Rect [10 10 30 30] /OC 6 0 R /AP <</N 30 0 R>>>>"),
			testpdf.Obj(41, "<</Subtype /Widget /Rect [10 10 30 30] /AS /On /AP <</N <</On 30 0 R>>>>>>"),
			testpdf.Obj(42, "<</Subtype /Link /Rect [0 0 9 9]>>"), testpdf.Obj(43, "<</Subtype /Popup /Rect [0 0 9 9]>>"),
			testpdf.Form(30, "/BBox [0 0 10 10]", "1 1 8 8 re f"),
		}, options: draw.Options{Annotations: true}, want: []string{"path 0 0 1 1", "path 12 12 28 28 /B", "path 12 12 28 28", "unknown"}},
		{name: "no annotations", content: "0 0 1 1 re f", entries: "/Annots [42 0 R]",
			objects: []testpdf.Object{testpdf.Obj(42, "<</Subtype /Link /Rect [0 0 9 9]>>")}, want: []string{"path 0 0 1 1"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, _, err := marks(t, testpdf.Doc{
				Groups: []string{"A", "B"}, Objects: c.objects,
				Pages: []testpdf.Page{{Content: c.content, Entries: c.entries, Resources: "<</Font <</F 29 0 R>> /Properties <</A 5 0 R /B 6 0 R>>" +
					" /ExtGState <</G <</LW 3 /D [[3 1] 0]>>>> /XObject <<" + c.xobjects + ">>>>"}},
			}, c.options, 1000)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("marks (-want +got):\n%s", diff)
			}
		})
	}
}

// TestWalkerEnds: a page has the operations that it may have, and ends where the
// caller or the context says so.
func TestWalkerEnds(t *testing.T) {
	d := testpdf.Doc{Pages: []testpdf.Page{{Content: strings.Repeat("0 0 1 1 re f ", 10)}}}
	got, count, err := marks(t, d, draw.Options{}, 20)
	if len(got) != 10 || count != 20 || err != nil {
		t.Errorf("%d marks, %d operations, %v", len(got), count, err)
	}
	got, count, err = marks(t, d, draw.Options{}, 7)
	if len(got) != 3 || count != 8 || !errors.Is(err, draw.ErrTooMuch) {
		t.Errorf("of 7 operations: %d marks, %d operations, %v", len(got), count, err)
	}
	doc, err := optional.Open(context.Background(), testpdf.Build(d), "", pdf.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	w, p := draw.NewSource(doc, nil).Walker(draw.Options{}), doc.PDF.Pages()[0]
	data := []byte(strings.Repeat("0 0 1 1 re f ", 10_000))
	seen := 0
	count, err = w.Page(context.Background(), p, data, 1e6, func(*draw.Mark) error { seen++; return draw.ErrStop })
	if seen != 1 || count != 2 || err != nil {
		t.Errorf("stopped: %d marks, %d operations, %v", seen, count, err)
	}
	broken := errors.New("broken")
	if _, err = w.Page(context.Background(), p, data, 1e6, func(*draw.Mark) error { return broken }); !errors.Is(err, broken) {
		t.Errorf("the error of the caller: %v", err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err = w.Page(ctx, p, data, 1e6, func(*draw.Mark) error { return nil }); !errors.Is(err, context.Canceled) {
		t.Errorf("the error of the context: %v", err)
	}
}

// TestMayShow: what may be seen reaches beyond bounds where lines are wide and
// letters of unknown size.
func TestMayShow(t *testing.T) {
	for _, c := range []struct {
		content string
		want    bool
	}{
		{"0 0 m 9 9 l S", true}, {"-9 0 m -9 9 l S", false}, {"30 w -9 0 m -9 9 l S", true},
		{"BT /F 10 Tf 0 -9 Td (x) Tj ET", true}, {"BT /F 10 Tf 0 -40 Td (x) Tj ET", false},
		{"BT /F 0 Tf 0 -40 Td (x) Tj ET", false}, {"BT /Gone 10 Tf 0 -400 Td (x) Tj ET", true}, {"/Gone Do", true},
		{"1 1 2 2 re W n 50 50 1 1 re f", false}, {"q 9 0 0 9 200 0 cm BI /W 1 /H 1 /BPC 8 /CS /G ID x EI", false},
	} {
		doc, err := optional.Open(context.Background(), testpdf.Build(testpdf.Doc{}), "", pdf.Limits{})
		if err != nil {
			t.Fatal(err)
		}
		var got []bool
		w := draw.NewSource(doc, nil).Walker(draw.Options{})
		if _, err := w.Page(context.Background(), doc.PDF.Pages()[0], []byte(c.content), 100, func(m *draw.Mark) error {
			got = append(got, m.MayShow())
			return nil
		}); err != nil || len(got) != 1 || got[0] != c.want {
			t.Errorf("%s: %v, %v", c.content, got, err)
		}
	}
}
