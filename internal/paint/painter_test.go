package paint_test

import (
	"bytes"
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// resources finds names in one dictionary.
type resources struct {
	src  pdf.Objects
	dict pdf.Dict
}

func (r resources) Lookup(category, name pdf.Name) pdf.Object {
	return pdf.AsDict(r.src, r.dict[category])[name]
}

// stroked gives the style of each S of a page with that content and those
// resources, how the last colour was written, and the last path, measured.
func stroked(t testing.TB, stream, res string, objects ...testpdf.Object) (list []paint.Style, written string, last content.Path) {
	t.Helper()
	file := testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{Content: stream, Resources: "<<" + res + ">>"}}, Objects: objects})
	doc, err := pdf.Open(context.Background(), bytes.NewReader(file), pdf.Options{})
	if err != nil {
		t.Fatal(err)
	}
	page := doc.Pages()[0]
	c, err := pdf.PageContent(context.Background(), doc, page.Dict, pdf.Limits{})
	if err != nil {
		t.Fatal(err)
	}
	p, m := paint.New(doc), content.NewMachine(content.Identity(), content.Everywhere())
	m.Path.Measured = true
	var op content.Operation
	for s := content.NewScanner(c.Data); s.Next(&op); {
		if op.Op.Class() == content.ClassPaint {
			list, written, last = append(list, p.StrokeStyle(&m.State)), p.Written(&m.State.Stroke), m.Path
			m.Path = content.Path{Measured: true}
		}
		m.Apply(&op)
		p.Follow(m, &op, resources{doc, pdf.AsDict(doc, page.Resources)})
	}
	if len(list) == 0 {
		t.Fatal("nothing is painted")
	}
	return list, written, last
}

// The style of a stroke, in micrometres: 1 point is 352.78 of them (8.3.2.3).
func TestStrokeStyle(t *testing.T) {
	gs := "/ExtGState <</A <</LW 2 /LC 1 /D [[3 1] 0] /CA .5>> /B <</LW (x) /D [3 1] /LC 7 /CA 9>>>>"
	for _, tc := range []struct {
		name, content string
		want          paint.Style
	}{
		{"initial, Table 52", "", paint.Style{Width: 353, Opacity: 100}},
		{"thinnest, 8.4.3.2", "0 w", paint.Style{Opacity: 100}},
		{"width scaled by the matrix", "3 0 0 3 0 0 cm 2 w", paint.Style{Width: 2117, Opacity: 100}},
		{"turned by 30 degrees", ".866025 .5 -.5 .866025 0 0 cm 2 w", paint.Style{Width: 706, Opacity: 100}},
		{"mirrored", "-1 0 0 1 0 0 cm 2 w", paint.Style{Width: 706, Opacity: 100}},
		{"scaled unequally: the mean of both", "4 0 0 1 0 0 cm 1 w", paint.Style{Width: 706, Opacity: 100}},
		{"flat", "1 0 0 0 0 0 cm 1 w", paint.Style{Opacity: 100}},
		{"cap", "2 J", paint.Style{Width: 353, Opacity: 100, Cap: 2}},
		{"q and Q", "q 9 w [9] 0 d 1 J Q", paint.Style{Width: 353, Opacity: 100}},
		{"ExtGState, Table 58", "/A gs", paint.Style{Width: 706, Opacity: 50, Cap: 1, Dash: "1058 353"}},
		{"ExtGState with wrong values", "/B gs", paint.Style{Width: 353, Opacity: 100}},
		{"unknown ExtGState", "/C gs", paint.Style{Width: 353, Opacity: 100}},
		// 8.4.3.6, Table 56
		{"[] 0", "[] 0 d", paint.Style{Width: 353, Opacity: 100}},
		{"[3] 0: 3 on, 3 off", "[3] 0 d", paint.Style{Width: 353, Opacity: 100, Dash: "1058 1058"}},
		{"[2] 1 is [2 2] in another phase", "[2] 1 d", paint.Style{Width: 353, Opacity: 100, Dash: "706 706"}},
		{"[2 1] 0", "[2 1] 0 d", paint.Style{Width: 353, Opacity: 100, Dash: "706 353"}},
		{"[3 5] 6: a phase changes no style", "[3 5] 6 d", paint.Style{Width: 353, Opacity: 100, Dash: "1058 1764"}},
		{"three lengths are six", "[1 2 3] 0 d", paint.Style{Width: 353, Opacity: 100, Dash: "353 706 1058 353 706 1058"}},
		{"a pattern written twice", "[2 1 2 1] 0 d", paint.Style{Width: 353, Opacity: 100, Dash: "706 353"}},
		{"gaps of no length", "[3 0] 0 d", paint.Style{Width: 353, Opacity: 100}},
		{"all zero, not allowed", "[0 0] 0 d", paint.Style{Width: 353, Opacity: 100}},
		{"dash scaled by the matrix", "2 0 0 2 0 0 cm [3 1] 0 d", paint.Style{Width: 706, Opacity: 100, Dash: "2117 706"}},
		{"matrix after the dash: lengths are those of painting", "[3 1] 0 d 2 0 0 2 0 0 cm", paint.Style{Width: 706, Opacity: 100, Dash: "2117 706"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			tc.want.Kind, tc.want.Colour = paint.Stroke, rgb(0, 0, 0)
			list, _, _ := stroked(t, tc.content+" 0 0 m 9 9 l S", gs)
			if diff := cmp.Diff(tc.want, list[0]); diff != "" {
				t.Errorf("style (-want +got):\n%s", diff)
			}
		})
	}
}

// Colours that a form inherits have names that mean the same everywhere.
func TestSpacesAreOne(t *testing.T) {
	list, _, _ := stroked(t, "/S CS .5 SC 0 0 m 9 9 l S /T CS .5 SC 0 0 m 9 9 l S /DeviceGray CS .5 SC 0 0 m 9 9 l S",
		"/ColorSpace <</S 30 0 R /T 30 0 R>>", testpdf.Obj(30, "[/ICCBased 31 0 R]"), testpdf.Stream(31, "/N 1", "x"))
	if list[0] != list[1] || list[0] != list[2] {
		t.Errorf("three ways to one grey give %v", list)
	}
}

// Lengths in points: 1.5 mm are 4.25, 15 mm are 42.5.
func TestThin(t *testing.T) {
	for _, tc := range []struct {
		name, content string
		evenOdd       bool
		want          bool
		width         float64
	}{
		{"narrow rectangle", "0 0 100 1 re", false, true, 0.99},
		{"as wide as long", "0 0 100 100 re", false, false, 50},
		{"too short, like a letter", "0 0 20 1 re", false, false, 0.95},
		{"ring, the inside the other way round", "0 0 m 100 0 l 100 100 l 0 100 l h 1 1 m 1 99 l 99 99 l 99 1 l h", false, true, 1},
		{"ring by the even-odd rule", "0 0 100 100 re 1 1 98 98 re", true, true, 1},
		{"the same without that rule is full", "0 0 100 100 re 1 1 98 98 re", false, false, 49.5},
		{"many letters", strings.Repeat("0 0 20 1 re 9 9 1 20 re ", 50), false, false, 0.95},
		{"of no area", "0 0 m 100 0 l", false, true, 0},
		{"nothing", "", false, false, 0},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, _, path := stroked(t, tc.content+" f", "")
			op := content.OpFill
			if tc.evenOdd {
				op = content.OpFillEvenOdd
			}
			width := 0.0
			if path.Length() > 0 {
				width = 2 * path.Area(tc.evenOdd) / path.Length()
			}
			state := content.NewState(content.Identity(), content.Everywhere())
			style, _ := paint.New(nil).PathStyles(op, &state, &path)
			thin := style.Kind == paint.Thin
			if thin && math.Abs(float64(style.Width)/1000*paint.UnitsPerMillimetre-tc.width) > 0.01 {
				t.Errorf("width %d µm, want %v points", style.Width, tc.width)
			}
			if thin != tc.want || math.Abs(width-tc.width) > 0.01 {
				t.Errorf("thin: %t, width %v; want %t, %v", thin, width, tc.want, tc.width)
			}
		})
	}
}

// A style is saved in words that do not change with the code, and read again as it was;
// what is none is refused.
func TestSavedStyle(t *testing.T) {
	for text, style := range map[string]paint.Style{
		`{"kind":"stroke","colour":"#d7263d","opacity":100,"cap":1,"width":450,"dash":"6000 2000"}`: {
			Kind: paint.Stroke, Colour: paint.Colour{0xD7, 0x26, 0x3D, true}, Opacity: 100, Cap: 1, Width: 450, Dash: "6000 2000"},
		`{"kind":"text","colour":"","opacity":50,"cap":0,"width":0,"dash":""}`: {Kind: paint.Text, Opacity: 50},
	} {
		got, err := json.Marshal(style)
		if err != nil || string(got) != text {
			t.Errorf("%s, %v, want %s", got, err, text)
		}
		var back paint.Style
		if err := json.Unmarshal(got, &back); err != nil || back != style {
			t.Errorf("%+v, %v, want %+v", back, err, style)
		}
	}
	if _, err := json.Marshal(paint.Style{}); err == nil {
		t.Error("a style of no kind is written")
	}
	for _, text := range []string{`{"kind":"line"}`, `{"kind":""}`, `{"colour":"red"}`, `{"colour":"#12345"}`, `{"colour":"123456"}`} {
		if err := json.Unmarshal([]byte(text), new(paint.Style)); err == nil {
			t.Errorf("%s is read", text)
		}
	}
}
