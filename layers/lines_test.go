package layers

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// foundLines are the line styles of a page with that content and the resources of
// the line cases.
func foundLines(t *testing.T, content, entries string, objects ...testpdf.Object) []LineStyle {
	t.Helper()
	file := testpdf.Build(testpdf.Doc{
		Groups:  []string{"A", "B"},
		Pages:   []testpdf.Page{{Content: content, Resources: "<</Properties <</A 5 0 R /B 6 0 R>> " + lineResources + ">>", Entries: entries}},
		Objects: append(objects, lineObjects...),
	})
	found, err := open(t, file).Lines(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if len(found.Warnings) > 0 {
		t.Fatal(found.Warnings)
	}
	return found.Styles
}

// brief writes styles in short: kind, colour, width, dash, marks.
func brief(styles []LineStyle) string {
	var list []string
	for _, s := range styles {
		list = append(list, fmt.Sprintf("%s %s %.3f %v x%d", s.Kind, s.Colour, s.Width, s.Dash, s.Marks))
	}
	return strings.Join(list, "\n")
}

// Lengths in mm: 1 point is 0.353 (ISO 32000-1, 8.3.2.3).
func TestLines(t *testing.T) {
	for _, c := range []struct{ name, content, entries, want string }{
		{"one line", "0 0 m 9 9 l S", "", "line #000000 0.353 [] x1"},
		{"nothing", "0 0 m 9 9 l n", "", ""},
		{"no segment", "0 0 m S", "", ""},
		{"twice the same", "0 0 m 9 9 l S q 1 0 0 1 9 9 cm 0 0 m 9 9 l S Q", "", "line #000000 0.353 [] x2"},
		{"the same by way of other spaces", "1 0 0 RG 0 0 m 9 9 l S 0 1 1 0 K 0 0 m 9 9 l S /Spot CS 0 0 m 9 9 l S", "", "line #ff0000 0.353 [] x3"},
		{"the same but for rounding", ".501 G 1 w [3 1] 0 d 0 0 m 9 9 l S .5 G 1.01 w [3.02 1] 0 d 0 0 m 9 9 l S", "", "line #808080 0.353 [1.058 0.353] x2"},
		{"not the same", ".5 G 0 0 m 9 9 l S .45 G 0 0 m 9 9 l S", "", "line #808080 0.353 [] x1\nline #737373 0.353 [] x1"},
		{"widths", "1 w 0 0 m 9 9 l S 1.2 w 0 0 m 9 9 l S", "", "line #000000 0.353 [] x1\nline #000000 0.423 [] x1"},
		{"phases are one style", "[3 1] 0 d 0 0 m 9 9 l S [3 1] 2 d 0 0 m 9 9 l S", "", "line #000000 0.353 [1.058 0.353] x2"},
		{"caps are not", "0 0 m 9 9 l S 1 J 0 0 m 9 9 l S", "", "line #000000 0.353 [] x1\nline #000000 0.353 [] x1"},
		{"UserUnit", "2 w [3 1] 0 d 0 0 m 9 9 l S", "/UserUnit 10", "line #000000 7.056 [10.583 3.528] x1"},
		{"fill and stroke", "1 0 0 rg 0 0 9 9 re B", "", "line #000000 0.353 [] x1\nfill #ff0000 0.000 [] x1"},
		{"thin fill", "0 0 90 1 re f", "", "thin fill #000000 0.349 [] x1"},
		{"thin fill by the even-odd rule", "0 0 90 90 re 1 1 88 88 re f*", "", "thin fill #000000 0.353 [] x1"},
		{"text", "BT /F 9 Tf (x) Tj 2 Tr 1 0 0 RG (y) Tj 3 Tr (z) Tj ET", "", "text #000000 0.000 [] x2\ntext #ff0000 0.000 [] x1"},
		{"a form under two colours", "1 0 0 RG /Line Do 0 0 1 RG 3 0 0 3 0 0 cm /Line Do", "", "line #ff0000 0.353 [] x1\nline #0000ff 1.058 [] x1"},
		{"a form's matrix", "/Turned Do", "", "line #000000 0.706 [1.411 1.411] x1"},
		{"a form within a form", "0 1 0 RG /Nested Do", "", "line #00ff00 0.353 [] x1"},
		{"pattern", "/Pattern CS /P SCN 0 0 m 9 9 l S", "", "line  0.353 [] x1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if diff := cmp.Diff(c.want, brief(foundLines(t, c.content, c.entries))); diff != "" {
				t.Errorf("styles (-want +got):\n%s", diff)
			}
		})
	}
}

// All fields of one style.
func TestLineStyle(t *testing.T) {
	got := foundLines(t, "/OC /A BDC q 1 0 0 RG [3 1] 2 d 1 J 10 20 m 30 20 l S Q EMC 1 J /Icc CS 1 0 0 SC [3 1] 0 d 10 30 m 20 30 l S", "")
	want := LineStyle{
		Kind: StrokedLine, Colour: "#ff0000", Name: "red", Written: []string{"RGB 1 0 0", "RGB by profile 1 0 0"}, Opacity: 1,
		Width: 0.353, Cap: "round", Dash: []float64{1.058, 0.353}, Phase: 0.706, PhaseVaries: true,
		Marks: 2, Length: 30 * 25.4 / 72 / 1000, Uses: []LineUse{{Page: 1, Marks: 2, Bounds: rect(10, 20, 30, 30)}}, Layers: []int{0, 5},
		LayerLengths: []float64{10 * 25.4 / 72 / 1000, 20 * 25.4 / 72 / 1000},
	}
	if diff := cmp.Diff([]LineStyle{want}, got, near, cmpopts.IgnoreUnexported(LineStyle{})); diff != "" {
		t.Errorf("style (-want +got):\n%s", diff)
	}
}

// The drawn length is within 0.1 % of the analytic one: of lines, of circles, 2πr,
// and of ellipses, by the series π(a+b) Σ C(½,n)² hⁿ, h = ((a-b)/(a+b))² (Ivory;
// from memory, see the tests of internal/paint).
func TestLineLength(t *testing.T) {
	const k = 0.5522847498307936 // a quarter circle as a curve (common practice, no source)
	oval := func(a, b float64) string {
		return fmt.Sprintf("%[1]f 0 m %[1]f %[4]f %[3]f %[2]f 0 %[2]f c -%[3]f %[2]f -%[1]f %[4]f -%[1]f 0 c "+
			"-%[1]f -%[4]f -%[3]f -%[2]f 0 -%[2]f c %[3]f -%[2]f %[1]f -%[4]f %[1]f 0 c h S", a, b, a*k, b*k)
	}
	series := func(a, b float64) float64 {
		h, sum, c, power := math.Pow((a-b)/(a+b), 2), 0.0, 1.0, 1.0
		for n := range 60 {
			sum, c, power = sum+c*c*power, c*(0.5-float64(n))/float64(n+1), power*h
		}
		return math.Pi * (a + b) * sum
	}
	shapes := []struct {
		name, content string
		points        float64
	}{
		{"line", "10 10 m 40 50 l S", 50},
		{"circle", oval(40, 40), 2 * math.Pi * 40},
		{"ellipse", oval(40, 15), series(40, 15)},
	}
	for _, s := range shapes {
		for _, c := range []struct {
			name, before, entries string
			scale                 float64
		}{
			{"as it is", "", "", 1},
			{"turned", ".8660254 .5 -.5 .8660254 50 50 cm", "", 1},
			{"scaled", "2.5 0 0 2.5 0 0 cm", "", 2.5},
			{"turned and scaled by two matrices", "0 3 -3 0 9 9 cm .8660254 .5 -.5 .8660254 0 0 cm", "", 3},
			{"UserUnit", "", "/UserUnit 7", 7},
			{"turned page", "", "/Rotate 90", 1},
			{"dashed", "[3 1] 0 d", "", 1},
		} {
			t.Run(s.name+" "+c.name, func(t *testing.T) {
				got := foundLines(t, c.before+" "+s.content, c.entries)[0].Length
				want := s.points * c.scale * 25.4 / 72 / 1000
				if math.Abs(got-want) > 0.001*want {
					t.Errorf("%v m, want %v within 0.1 %%", got, want)
				}
			})
		}
	}
}

// Rows of separate pieces stand for dashes: 17 points are 6 mm.
func TestDashPieces(t *testing.T) {
	row := func(n int, piece, step float64, each string) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "%g 20 m %g 20 l %s ", step*float64(i), step*float64(i)+piece, each)
		}
		return b.String()
	}
	for _, c := range []struct {
		name, content string
		want          *DashPieces
	}{
		{"paths", row(20, 17, 22.67, "S"), &DashPieces{Dash: 6, Gap: 2, Count: 19}},
		{"one path", row(20, 17, 22.67, "") + "S", &DashPieces{Dash: 6, Gap: 2, Count: 19}},
		{"two rows", row(10, 17, 22.67, "S") + "0 50 m 17 50 l S 22.67 50 m 39.67 50 l S", &DashPieces{Dash: 6, Gap: 2, Count: 10}},
		{"too few", row(5, 17, 22.67, "S"), nil},
		{"without gaps", row(20, 17, 17, "S"), nil},
		{"long lines", row(20, 90, 95, "S"), nil},
		{"far apart", row(20, 17, 90, "S"), nil},
		{"dashed already", "[3 1] 0 d " + row(20, 17, 22.67, "S"), nil},
		{"most of the style is something else", row(10, 17, 22.67, "S") + strings.Repeat("0 0 m 90 9 l 9 9 l S ", 20), nil},
		{"steps", strings.Repeat("0 0 m 9 0 l S 9 9 m 9 18 l S ", 20), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			if diff := cmp.Diff(c.want, foundLines(t, c.content, "")[0].Pieces); diff != "" {
				t.Errorf("pieces (-want +got):\n%s", diff)
			}
		})
	}
}

// More styles than can be told apart end the search, and that is told.
func TestLinesWithoutEnd(t *testing.T) {
	var b strings.Builder
	for i := range 20_010 {
		fmt.Fprintf(&b, "%d w 0 0 m 9 9 l S ", i)
	}
	found, err := open(t, testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{Content: b.String()}, {Content: b.String()}}})).Lines(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	if !found.Incomplete || len(found.Warnings) != 1 || !strings.Contains(found.Warnings[0].Text, "more styles") {
		t.Errorf("incomplete: %t, warnings %v", found.Incomplete, found.Warnings)
	}
}
