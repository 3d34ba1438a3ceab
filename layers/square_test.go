package layers

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// drawings draw a square of a side in user units with its lower left corner
// at the origin.
var drawings = map[string]func(a float64) string{
	"re":           func(a float64) string { return fmt.Sprintf("0 0 %.4f %.4[1]f re S ", a) },
	"re, mirrored": func(a float64) string { return fmt.Sprintf("%.4f %.4[1]f -%.4[1]f -%.4[1]f re S ", a) },
	"lines":        func(a float64) string { return fmt.Sprintf("0 0 m %.4f 0 l %.4[1]f %.4[1]f l 0 %.4[1]f l s ", a) },
	"lines, h":     func(a float64) string { return fmt.Sprintf("0 0 m %.4f 0 l %.4[1]f %.4[1]f l 0 %.4[1]f l h S ", a) },
	"lines to end": func(a float64) string { return fmt.Sprintf("0 0 m 0 %.4f l %.4[1]f %.4[1]f l %.4[1]f 0 l 0 0 l S ", a) },
	"from a middle": func(a float64) string {
		return fmt.Sprintf("%.4f 0 m %.4[2]f 0 l %.4[2]f %.4[2]f l 0 %.4[2]f l 0 0 l h S ", a/3, a)
	},
	"in halves": func(a float64) string {
		return fmt.Sprintf("0 0 m %.4f 0 l %.4[2]f 0 l %.4[2]f %.4[2]f l 0 %.4[2]f l h S ", a/2, a)
	},
	"four strokes": func(a float64) string {
		return fmt.Sprintf("0 0 m %.4f 0 l S %.4[1]f %.4[1]f m 0 %.4[1]f l S %.4[1]f 0 m %.4[1]f %.4[1]f l S 0 %.4[1]f m 0 0 l S ", a)
	},
	"four lines, one path": func(a float64) string {
		return fmt.Sprintf("0 0 m %.4f 0 l %.4[1]f %.4[1]f m 0 %.4[1]f l %.4[1]f 0 m %.4[1]f %.4[1]f l 0 %.4[1]f m 0 0 l S ", a)
	},
	"two angles": func(a float64) string {
		return fmt.Sprintf("0 0 m %.4f 0 l %.4[1]f %.4[1]f l S %.4[1]f %.4[1]f m 0 %.4[1]f l 0 0 l S ", a)
	},
	"filled and stroked": func(a float64) string { return fmt.Sprintf("0 0 %.4f %.4[1]f re B ", a) },
	"filled, then stroked": func(a float64) string {
		return fmt.Sprintf("0 0 %.4f %.4[1]f re f 0 0 %.4[1]f %.4[1]f re S ", a)
	},
}

// placings lay a drawing on a page of 2000 by 2000 units; scale is what they
// make of a length in points.
var placings = []struct {
	name, entries, cm string
	scale             float64
}{
	{"upright", "", "1 0 0 1 300 300 cm", 1},
	{"turned by 30 degrees", "", ".866025404 .5 -.5 .866025404 900 300 cm", 1},
	{"turned by 45 degrees", "", ".707106781 .707106781 -.707106781 .707106781 900 300 cm", 1},
	{"mirrored", "", "-1 0 0 1 900 300 cm", 1},
	{"scaled twice", "", "2 0 0 2 100 100 cm .125 0 0 .125 200 200 cm", 0.25},
	{"UserUnit", "/UserUnit 2.5", "1 0 0 1 300 300 cm", 2.5},
	{"UserUnit, turned page, crop box", "/UserUnit .5 /Rotate 90 /CropBox [100 100 1900 1900]", "1 0 0 1 300 300 cm", 0.5},
}

func squarePage(entries, content string) []byte {
	return testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"},
		Pages:  []testpdf.Page{{Entries: "/MediaBox [0 0 2000 2000] " + entries, Content: content}},
	})
}

// TestSquares: every nominal side (common practice, no source; in points by
// ISO 32000-1, 8.3.2.3), however it is drawn and wherever it stands, is
// measured to 0.01 mm.
func TestSquares(t *testing.T) {
	for _, mm := range []float64{20, 25.4, 30, 50, 50.8, 76.2, 100, 101.6} {
		for way, draw := range drawings {
			for _, p := range placings {
				side := mm / 25.4 * 72 / p.scale
				in := inspect(t, squarePage(p.entries, "/OC /A BDC q "+p.cm+" "+draw(side)+" Q EMC"))
				if len(in.Squares) != 1 {
					t.Errorf("%g mm, %s, %s: %d squares", mm, way, p.name, len(in.Squares))
					continue
				}
				s := in.Squares[0]
				if math.Abs(s.Side-mm) > 0.01 || s.Nominal != mm || s.Label != "" || !s.True() || !cmp.Equal(s.Layers, []int{testpdf.GroupObject}) {
					t.Errorf("%g mm, %s, %s: %+v", mm, way, p.name, s)
				}
			}
		}
	}
}

// TestSquaresInForms: the transformations of forms count.
func TestSquaresInForms(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{
		Groups: []string{"A"},
		Pages: []testpdf.Page{{Entries: "/MediaBox [0 0 2000 2000]", Resources: "<</XObject <</X 30 0 R>>>>",
			Content: "2 0 0 2 10 10 cm /X Do"}},
		Objects: []testpdf.Object{testpdf.Stream(30, "/Subtype /Form /BBox [0 0 900 900] /Matrix [3 0 0 3 0 0] /OC 5 0 R", "10 10 12 12 re S")},
	})
	in := inspect(t, file)
	if len(in.Squares) != 1 || math.Abs(in.Squares[0].Side-25.4) > 1e-9 {
		t.Fatalf("%+v, want one square of 25.4 mm", in.Squares)
	}
}

// at writes a text in Helvetica of 10 points.
func at(x, y float64, text string) string {
	return fmt.Sprintf("BT /F 10 Tf %g %g Td (%s) Tj ET ", x, y, text)
}

func TestSquareLabels(t *testing.T) {
	// The square of the case stands at 300, 300.
	square := func(mm float64) string { return fmt.Sprintf("q 1 0 0 1 300 300 cm %s Q ", drawings["re"](mm/25.4*72)) }
	for _, c := range []struct {
		name, content, label string
		nominal, scale       float64
	}{
		{"inside", square(50) + at(310, 350, "Test square") + at(310, 335, "5 cm x 5 cm"), "5 cm x 5 cm", 50, 1},
		{"below", square(50) + at(310, 285, "5 cm"), "5 cm", 50, 1},
		{"inches", square(101.6) + at(310, 350, "4 in"), "4 in", 101.6, 1},
		{"inch marks", square(25.4) + at(310, 320, `1" x 1"`), `1" x 1"`, 25.4, 1},
		{"millimetres", square(20) + at(305, 320, "20mm"), "20mm", 20, 1},
		{"a comma", square(25) + at(305, 320, "2,5 cm x 2,5 cm"), "2,5 cm x 2,5 cm", 25, 1},
		{"a fraction", square(38.1) + at(305, 320, "1 1/2 inch"), "1 1/2 inch", 38.1, 1},
		{"both units, both near", square(50.8) + at(310, 340, "2 in / 5 cm"), "2 in / 5 cm", 50.8, 1},
		{"both units, the other first", square(50.8) + at(310, 340, "5 cm / 2 in"), "5 cm / 2 in", 50.8, 1},
		{"words in pieces", square(50) + "BT /F 10 Tf 310 340 Td (5 c) Tj (m) Tj ET ", "5 cm", 50, 1},
		{"one glyph at a time", square(50) + "BT /F 10 Tf 310 340 Td [(5) -300 (c) 20 (m)] TJ ET ", "5 cm", 50, 1},
		{"a side that is not usual", square(60) + at(310, 340, "6 cm x 6 cm"), "6 cm x 6 cm", 60, 1},
		{"97 %", square(48.5) + at(310, 350, "Test square") + at(310, 335, "5 cm"), "5 cm", 50, 0.97},
		{"75 %, a bare label inside: drawn at 96 units to the inch, exported at 72", square(37.5) + at(310, 335, "5 cm"), "5 cm", 50, 0.75},
		{"97 %, a bare label", square(48.5) + at(310, 335, "5 cm"), "5 cm", 50, 0.97},
		{"half", square(25.4) + at(305, 340, "Test square 2 in"), "Test square 2 in", 50.8, 0.5},
		{"the wrong label", square(25.4) + at(305, 340, "2 x 2 cm"), "2 x 2 cm", 20, 1.27},
		{"a test square of no stated side", square(48.5) + at(305, 340, "Test square"), "", 50, 0.97},
		{"cut 2 in lining", square(50.8) + at(305, 340, "Scale") + at(305, 320, "cut 2 in lining"), "", 50.8, 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := inspect(t, squarePage("", c.content))
			if len(in.Squares) != 1 {
				t.Fatalf("squares %+v, want one", in.Squares)
			}
			s := in.Squares[0]
			if s.Label != c.label || math.Abs(s.Nominal-c.nominal) > 1e-9 || math.Abs(s.Scale-c.scale) > 1e-4 {
				t.Errorf("label %q, nominal %g, scale %g; want %q, %g, %g", s.Label, s.Nominal, s.Scale, c.label, c.nominal, c.scale)
			}
			warned := len(in.Warnings) == 1 && in.Warnings[0].Page == 1 && strings.Contains(in.Warnings[0].Text, "not of true size")
			if warned != (c.scale != 1) {
				t.Errorf("warnings %+v", in.Warnings)
			}
		})
	}
}

// TestTwoSquares: each has its own label; a metric square is not judged by the
// inches of its neighbour, nor the other way round.
func TestTwoSquares(t *testing.T) {
	const shrunk = 0.97
	content := fmt.Sprintf("300 300 %.4f %.4[1]f re S 600 300 %.4f %.4[2]f re S ", shrunk*50/25.4*72, shrunk*144) +
		at(310, 340, "5 cm") + at(610, 340, "2 in")
	in := inspect(t, squarePage("", content))
	if len(in.Squares) != 2 || len(in.Warnings) != 2 {
		t.Fatalf("%+v, %+v", in.Squares, in.Warnings)
	}
	for i, want := range []string{"2 in", "5 cm"} { // the higher one first
		if s := in.Squares[i]; s.Label != want || math.Abs(s.Scale-shrunk) > 1e-4 {
			t.Errorf("%+v, want %q at 97 %%", s, want)
		}
	}
}

// TestUnequalScale: a square that one direction shrinks is found and told.
func TestUnequalScale(t *testing.T) {
	in := inspect(t, squarePage("", fmt.Sprintf("300 300 %.4f %.4f re S ", 50/25.4*72, 47.0/25.4*72)+at(310, 340, "Test square 5 cm x 5 cm")))
	if len(in.Squares) != 1 || in.Squares[0].True() || math.Abs(in.Squares[0].Height-47) > 0.01 || math.Abs(in.Squares[0].Width-50) > 0.01 {
		t.Fatalf("%+v", in.Squares)
	}
}

// TestNoSquares: what is closed and has four sides is not always a test square.
func TestNoSquares(t *testing.T) {
	pt := 72 / 25.4
	re := func(x, y, w, h float64) string { return fmt.Sprintf("%.3f %.3f %.3f %.3f re S ", x, y, w*pt, h*pt) }
	grid := ""
	for i := range 12 {
		grid += re(300+float64(i%4)*72, 300+float64(i/4)*72, 25.4, 25.4)
	}
	for _, c := range []struct{ name, content string }{
		{"a pocket", re(300, 300, 110, 120)},
		{"a square pocket of no nominal side", re(300, 300, 110, 110)},
		{"a pocket of 10 cm that is written on", re(300, 300, 100, 100) + at(310, 400, "Pocket, cut 2")},
		{"a pocket of 10 cm that gives its size", re(300, 300, 100, 100) + at(310, 400, "Pocket 10 x 10 cm")},
		{"a pocket in three sizes", re(300, 300, 95, 95) + re(300, 300, 100, 100) + re(300, 300, 105, 105)},
		{"a pocket with a round corner", "300 300 m 583.46 300 l 583.46 583.46 l 320 583.46 l 310 583.46 300 570 300 560 c h S"},
		{"a button", "372 336 m 372 355.882 355.882 372 336 372 c 316.118 372 300 355.882 300 336 c 300 316.118 316.118 300 336 300 c 355.882 300 372 316.118 372 336 c h S"},
		{"a small button", re(300, 300, 15, 15)},
		{"a grid", grid},
		{"a patch of colour", strings.ReplaceAll(re(300, 300, 25.4, 25.4), "S", "f")},
		{"a clip", "300 300 72 72 re W n"},
		{"three sides", "300 300 m 372 300 l 372 372 l 300 372 l S"},
		{"a rhombus", "300 300 m 372 300 l 408 362.354 l 336 362.354 l h S"},
		{"four lines that do not meet", "300 300 m 372 300 l S 375 303 m 375 375 l S 372 378 m 300 378 l S 297 375 m 297 303 l S"},
		{"four lines of two layers", "/OC /A BDC 300 300 m 372 300 l S 372 300 m 372 372 l S EMC /OC /B BDC 372 372 m 300 372 l S 300 372 m 300 300 l S EMC"},
		{"off the page", "-36 300 72 72 re S"},
		{"cut off by a clip", "q 300 300 50 50 re W n 300 300 72 72 re S Q"},
	} {
		if in := inspect(t, squarePage("", c.content)); len(in.Squares) > 0 {
			t.Errorf("%s: %+v", c.name, in.Squares)
		}
	}
}

// The demo states its own squares: 5 cm and 2 in (internal/demo/artwork).
func TestSquaresOfDemo(t *testing.T) {
	file, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	in := inspect(t, file)
	var got []string
	for _, s := range in.Squares {
		got = append(got, fmt.Sprintf("%s: %.2f mm, true %t", s.Label, s.Side, s.True()))
	}
	want := []string{"2 in × 2 in: 50.80 mm, true true", "5 cm × 5 cm: 50.00 mm, true true"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// FuzzSquares: whatever a page draws, what is taken for a test square lies on
// the page, has a side in question, and a scale that follows from it.
func FuzzSquares(f *testing.F) {
	for _, draw := range drawings {
		f.Add("q 1 0 0 1 300 300 cm " + draw(144) + "Q " + at(310, 340, "2 in"))
		f.Add("q 0 0 m 1 2 3 4 5 6 c " + draw(144) + "0 0 200 200 re W n 7 8 m 1 2 3 4 v h 5 5 l S Q")
		f.Add("0.1 w 1 0 0.001 1 300 300 cm " + draw(141.7) + at(10, 40, "Test 5 cm x 5 cm"))
	}
	f.Fuzz(func(t *testing.T, content string) {
		in := inspect(t, squarePage("", content))
		for _, s := range in.Squares {
			b := s.Bounds
			onPage := b.Left >= -1 && b.Bottom >= -1 && b.Right <= 2001 && b.Top <= 2001
			if !onPage || !(s.Width >= 8 && s.Height >= 8 && s.Width <= 300 && s.Height <= 300) ||
				!(s.Nominal > 0) || s.Scale != s.Side/s.Nominal || s.Side != (s.Width+s.Height)/2 {
				t.Errorf("%+v", s)
			}
		}
	})
}

// TestManyShapes: pages of more than is looked at end, with what was seen.
func TestManyShapes(t *testing.T) {
	var squares, lines, texts strings.Builder
	for i := range 30_000 {
		fmt.Fprintf(&squares, "%d %d 144 144 re S ", i%150, i/150)
		fmt.Fprintf(&lines, "300 300 m %d %d l S ", 300+i%100, 300+i/100)
		fmt.Fprintf(&texts, "BT /F 10 Tf %d %d Td (Cut 2 in) Tj ET ", i%150*10, i/150*9)
	}
	for name, content := range map[string]string{"squares": squares.String(), "lines": lines.String(), "texts": "10 10 144 144 re S " + texts.String()} {
		if in := inspect(t, squarePage("", content)); len(in.Squares) > 1 {
			t.Errorf("%s: %d squares", name, len(in.Squares))
		}
	}
}
