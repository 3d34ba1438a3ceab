package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers/pattern/check"
	"github.com/sizeply/sizeply/sizes"
)

// A release is a small invented pattern, as a designer would sell it: its files
// and the chart that they are held against.
type release struct {
	files []*testPattern
	chart *sizes.Chart
}

// A testPattern is a file of two pages in words, which build makes a PDF of.
type testPattern struct {
	name    string
	layers  []*patternLayer
	outside string // on the first page, in no layer
	flat    bool   // everything is in no layer
	private bool   // a drawing program left its own data
}

// A patternLayer is a layer with what it draws on each page.
type patternLayer struct {
	name                           string
	pages                          [2]string
	off, locked, unlisted, noPrint bool
}

// releaseSizes are the sizes of a release: nested squares that grade by 5 points
// in width and 4 in height, each with a line of its own.
var releaseSizes = []struct {
	label, colour string
	dash          []float64 // mm
}{
	{"6", "#400000", []float64{}},
	{"8", "#0b5fa5", []float64{1, 1}},
	{"10", "#1e7d32", []float64{3, 1}},
	{"12", "#8e24aa", []float64{6, 2}},
	{"14", "#d35400", []float64{1, 3}},
	{"16", "#00838f", []float64{3, 3}},
}

// inch is a test square, filled, so that it is no line, with its label.
const inch = " q .9 g 150 20 72 72 re f Q BT /F 6 Tf 160 50 Td (test square 1 in) Tj ET "

// goodRelease is one with which nothing is wrong: a sheet and pages that have
// the same layers, of six sizes and of what every print needs.
func goodRelease() *release {
	r := &release{chart: &sizes.Chart{Names: "Size {label}", Keep: []string{"Text", "Grainline"}}}
	for _, name := range []string{"sheet.pdf", "a4.pdf"} {
		p := &testPattern{name: name}
		for i, s := range releaseSizes {
			p.add("Size "+s.label, outline(i, 0, 0), outline(i, 0, 0))
		}
		p.add("Text", wording("front", 50)+inch, wording("back", 50))
		p.add("Grainline", "q .9 g 48 20 1 40 re f Q", "q .9 g 48 20 1 40 re f Q")
		r.files = append(r.files, p)
	}
	for _, s := range releaseSizes {
		r.chart.Sizes = append(r.chart.Sizes, sizes.Size{Label: s.label, Line: &sizes.Line{Colour: s.colour, Dash: s.dash}})
	}
	return r
}

// outline is what a size draws, wider and higher than it should be by some
// points.
func outline(i int, wider, higher float64) string {
	s := releaseSizes[i]
	return drawn(s.colour, s.dash, fmt.Sprintf("10 10 %v %v re", 30+5*float64(i)+wider, 40+4*float64(i)+higher))
}

// drawn strokes a path in a colour (#rrggbb) and a dash (mm).
func drawn(colour string, dash []float64, path string) string {
	var r, g, b int
	fmt.Sscanf(colour, "#%02x%02x%02x", &r, &g, &b)
	var d []string
	for _, mm := range dash {
		d = append(d, fmt.Sprintf("%.3f", mm*72/25.4))
	}
	return fmt.Sprintf("q %.4f %.4f %.4f RG [%s] 0 d %s S Q", float64(r)/255, float64(g)/255, float64(b)/255, strings.Join(d, " "), path)
}

func wording(text string, x int) string {
	return fmt.Sprintf("BT /F 8 Tf %d 120 Td (%s) Tj ET", x, text)
}

func (p *testPattern) add(name, first, second string) *patternLayer {
	p.layers = append(p.layers, &patternLayer{name: name, pages: [2]string{first, second}})
	return p.layers[len(p.layers)-1]
}

// layer is that of a name.
func (p *testPattern) layer(name string) *patternLayer { return p.layers[p.index(name)] }

func (p *testPattern) index(name string) int {
	return slices.IndexFunc(p.layers, func(l *patternLayer) bool { return l.name == name })
}

func (p *testPattern) remove(names ...string) {
	p.layers = slices.DeleteFunc(p.layers, func(l *patternLayer) bool { return slices.Contains(names, l.name) })
}

const paper = "/MediaBox [0 0 300 200]"

// build writes the file.
func (p *testPattern) build() []byte {
	d := testpdf.Doc{Pages: []testpdf.Page{
		{Content: p.page(0) + p.outside, Resources: p.resources(), Entries: paper},
		{Content: p.page(1), Resources: p.resources(), Entries: paper},
	}}
	var all, listed, off, locked []string
	for i, l := range p.layers {
		ref := fmt.Sprintf("%d 0 R", testpdf.GroupObject+i)
		usage := ""
		if l.noPrint {
			usage = "/Usage <</Print <</PrintState /OFF>>>>"
		}
		d.Objects = append(d.Objects, testpdf.Obj(testpdf.GroupObject+i, fmt.Sprintf("<</Type /OCG /Name %s %s>>", utf16Text(l.name), usage)))
		all = append(all, ref)
		if !l.unlisted {
			listed = append(listed, ref)
		}
		if l.off {
			off = append(off, ref)
		}
		if l.locked {
			locked = append(locked, ref)
		}
	}
	refs := strings.Join(all, " ")
	d.OCProperties = fmt.Sprintf("<</OCGs [%s] /D <</Order [%s] /OFF [%s] /Locked [%s] /AS [<</Event /Print /Category [/Print] /OCGs [%s]>>]>>>>",
		refs, strings.Join(listed, " "), strings.Join(off, " "), strings.Join(locked, " "), refs)
	if p.flat {
		d.OCProperties, d.Objects = "none", nil
	}
	if p.private {
		d.Objects = append(d.Objects, testpdf.Stream(50, "", "the whole drawing"))
		d.Catalog = "/PieceInfo <</Drawer <</LastModified (D:20260101000000Z) /Private 50 0 R>>>>"
	}
	return testpdf.Build(d)
}

// page is the content of a page, each part in its layer.
func (p *testPattern) page(at int) string {
	var b strings.Builder
	for i, l := range p.layers {
		switch part := l.pages[at]; {
		case part == "":
		case p.flat:
			fmt.Fprintln(&b, part)
		default:
			fmt.Fprintf(&b, "/OC /L%d BDC %s EMC\n", i, part)
		}
	}
	return b.String()
}

func (p *testPattern) resources() string {
	var b strings.Builder
	for i := range p.layers {
		if !p.flat {
			fmt.Fprintf(&b, "/L%d %d 0 R ", i, testpdf.GroupObject+i)
		}
	}
	return fmt.Sprintf("<</Font <</F %d 0 R>> /Properties <<%s>>>>", testpdf.FontObject, &b)
}

// utf16Text is a text string in UTF-16 (ISO 32000-1, 7.9.2.2).
func utf16Text(s string) string {
	out := "<FEFF"
	for _, u := range utf16.Encode([]rune(s)) {
		out += fmt.Sprintf("%04X", u)
	}
	return out + ">"
}

// write puts the files and the chart in a new folder, makes that the working
// directory, and returns the arguments of a check of them.
func (r *release) write(t *testing.T, withChart bool) (args []string) {
	t.Helper()
	t.Chdir(t.TempDir())
	files := map[string][]byte{}
	for _, p := range r.files {
		files[p.name] = p.build()
		args = append(args, p.name)
	}
	if withChart {
		var b bytes.Buffer
		if err := r.chart.Write(&b); err != nil {
			t.Fatal(err)
		}
		files["chart.yaml"] = b.Bytes()
		args = append(args, "--chart", "chart.yaml")
	}
	for name, data := range files {
		if err := os.WriteFile(name, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return args
}

// outputs runs the command and returns what it says.
func outputs(args ...string) (out, errOut string, status int) {
	var o, e bytes.Buffer
	status = Run(context.Background(), append([]string{"sizeply"}, args...), strings.NewReader(""), &o, &e)
	return o.String(), e.String(), status
}

// checkedFindings runs a check and reads its result.
func checkedFindings(t *testing.T, args ...string) (found, accepted []check.Finding) {
	t.Helper()
	out, errOut, _ := outputs(append([]string{"check", "--json"}, args...)...)
	var res struct{ Findings, Accepted []check.Finding }
	if err := json.Unmarshal([]byte(out), &res); err != nil {
		t.Fatalf("%v\n%s", err, errOut)
	}
	return res.Findings, res.Accepted
}

// listed writes findings in short, one a line.
func listed(found []check.Finding) string {
	var b strings.Builder
	for _, f := range found {
		fmt.Fprintf(&b, "  %s, %s, %q %v: %s %s\n", f.ID, f.File, f.Layer, f.Pages, f.Text, f.Do)
	}
	return b.String()
}
