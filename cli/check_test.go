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

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/sizes/consistency"
)

// pattern is a small file in words, which Build makes a PDF of.
type pattern struct {
	names   []string
	content []string // of each layer
	outside string   // in no layer
	second  []string // a second page, where there is one
	order   []int    // of the list of layers
	entries string   // more of the default configuration
	usage   string   // of the last layer
	private bool
	hidden  bool // the last layer is in no list
}

// goodPattern is one with which nothing is wrong: nested squares that grade by
// 5 points.
func goodPattern() *pattern {
	p := &pattern{}
	for i, size := range []string{"6", "8", "10", "12", "14", "16"} {
		p.names = append(p.names, "Size "+size)
		p.content = append(p.content, square(i))
		p.second = append(p.second, square(i))
	}
	p.names, p.content, p.second = append(p.names, "Text"), append(p.content, wording("front", 50)+inch), append(p.second, "")
	return p
}

// inch is a test square.
const inch = " 14 14 72 72 re S BT /F 6 Tf 44 30 Td (1 in) Tj ET"

// square is the outline of a size.
func square(i int) string { return fmt.Sprintf("10 10 %d %d re S", 30+5*i, 40+4*i) }

func wording(text string, x int) string {
	return fmt.Sprintf("BT /F 8 Tf %d 60 Td (%s) Tj ET", x, text)
}

// build writes the file.
func (p *pattern) build() []byte {
	d := testpdf.Doc{Groups: p.names, Pages: []testpdf.Page{{Content: p.page(p.content) + p.outside}, {Content: p.page(p.second)}}}
	var all, order []string
	for i := range p.names {
		all = append(all, fmt.Sprintf("%d 0 R", testpdf.GroupObject+i))
	}
	for i := range all {
		if p.order != nil {
			i = p.order[i]
		}
		order = append(order, all[i])
	}
	if p.hidden {
		all, order = all[:len(all)-1], order[:len(order)-1]
	}
	d.OCProperties = fmt.Sprintf("<</OCGs [%s] /D <</Order [%s] %s>>>>", strings.Join(all, " "), strings.Join(order, " "), p.entries)
	if p.usage != "" {
		last := len(p.names) - 1
		d.Objects = append(d.Objects, testpdf.Obj(testpdf.GroupObject+last, fmt.Sprintf("<</Type /OCG /Name (%s) /Usage %s>>", p.names[last], p.usage)))
	}
	if p.private {
		d.Objects = append(d.Objects, testpdf.Stream(50, "", "the whole drawing"))
		d.Catalog = "/PieceInfo <</Drawer <</LastModified (D:20260101000000Z) /Private 50 0 R>>>>"
	}
	return testpdf.Build(d)
}

// page is the content of a page, each part in its layer.
func (p *pattern) page(parts []string) string {
	var b strings.Builder
	for i, part := range parts {
		if part != "" {
			fmt.Fprintf(&b, "/OC /G%d BDC %s EMC\n", i, part)
		}
	}
	out := b.String()
	for i := len(p.names) - 1; i >= 0; i-- {
		out = strings.ReplaceAll(out, fmt.Sprintf("/G%d ", i), "/"+strings.NewReplacer(" ", "#20", "(", "#28", ")", "#29").Replace(p.names[i])+" ")
	}
	return out
}

// TestCheckFiles makes a PDF file with one fault, or several, and wants just
// those found.
func TestCheckFiles(t *testing.T) {
	group := func(i int) string { return fmt.Sprintf("[%d 0 R]", testpdf.GroupObject+i) }
	for _, c := range []struct {
		why    string
		change func(p *pattern)
		want   []string // ids with layers
	}{
		{"nothing", func(*pattern) {}, nil},
		{"a name of another form", func(p *pattern) { p.names[2] = "Gr. 10" }, []string{"name-form Gr. 10"}},
		{"a copy", func(p *pattern) {
			p.names, p.content, p.second = append(p.names, "Size 10 copy"), append(p.content, square(2)), append(p.second, "")
		}, []string{"name-alike Size 10 copy"}},
		{"nobody knows what", func(p *pattern) {
			p.names, p.content, p.second = append(p.names, "Doodle"), append(p.content, square(0)), append(p.second, "")
		}, []string{"layer-unknown Doodle"}},
		{"two sizes in one name", func(p *pattern) {
			p.names, p.content, p.second = append(p.names, "Size 8 (12)"), append(p.content, square(0)), append(p.second, "")
		}, []string{"layer-ambiguous Size 8 (12)"}},
		{"no size", func(p *pattern) {
			copy(p.names, []string{"Front", "Back", "Sleeve", "Collar", "Cuff", "Pocket"})
		}, []string{"no-sizes "}},
		{"an empty layer", func(p *pattern) {
			p.names, p.content, p.second = append(p.names, "Notches"), append(p.content, ""), append(p.second, "")
		}, []string{"layer-empty Notches"}},
		{"off", func(p *pattern) { p.entries = "/OFF " + group(1) }, []string{"layer-off Size 8"}},
		{"locked", func(p *pattern) { p.entries = "/Locked " + group(1) }, []string{"layer-locked Size 8"}},
		{"not printed", func(p *pattern) {
			p.usage = "<</Print <</PrintState /OFF>>>>"
			p.entries = "/AS [<</Event /Print /Category [/Print] /OCGs " + group(6) + ">>]"
		}, []string{"layer-not-printed Text"}},
		{"out of order", func(p *pattern) { p.order = []int{0, 2, 3, 4, 1, 5, 6} }, []string{"layer-order Size 8"}},
		{"in no layer", func(p *pattern) { p.outside = "0 0 5 5 re f" }, []string{"content-outside "}},
		{"missing on a page", func(p *pattern) { p.second[3] = "" }, []string{"page-missing Size 12"}},
		{"too large", func(p *pattern) { p.content[3] = "10 10 80 49 re S" }, []string{"layer-extent Size 12"}},
		{"private data", func(p *pattern) { p.private = true }, []string{"private-data "}},
		{"in no list", func(p *pattern) { p.hidden = true }, []string{"layer-unlisted Text"}},
		{"names that sound alike", func(p *pattern) {
			p.names, p.content, p.second = append(p.names, "Notches", "N\xf3tches"), append(p.content, square(0), square(0)), append(p.second, "", "")
		}, []string{"name-unclear Notches"}},
		{"a text on all sizes", func(p *pattern) {
			for i := range 6 {
				p.content[i] += " " + wording("TOLLMERE", 12)
			}
		}, []string{"text-repeated Size 6"}},
		{"ten at once", func(p *pattern) {
			p.entries = "/OFF " + group(1) + " /Locked " + group(5)
			p.order = []int{0, 2, 3, 4, 1, 5, 6, 7, 8}
			p.outside = "0 0 5 5 re f"
			p.second[3] = ""
			p.content[4] = "10 10 80 56 re S"
			p.content[6] = ""
			p.private = true
			p.names = append(p.names, "Size 10 copy", "Doodle")
			p.content, p.second = append(p.content, square(2), square(0)+inch), append(p.second, "", "")
		}, []string{
			"layer-unknown Doodle", "page-missing Size 12", "layer-empty Text", "layer-off Size 8", "layer-locked Size 16",
			"layer-order Size 8", "layer-extent Size 14", "name-alike Size 10 copy", "content-outside ", "private-data ",
		}},
	} {
		t.Chdir(t.TempDir())
		p := goodPattern()
		c.change(p)
		if err := os.WriteFile("skirt.pdf", p.build(), 0o666); err != nil {
			t.Fatal(err)
		}
		got := checkedIDs(t, "skirt.pdf")
		slices.Sort(got)
		slices.Sort(c.want)
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s:\n%s", c.why, diff)
		}
	}
}

// TestCheckSet leaves layers out of one file of two, or of both.
func TestCheckSet(t *testing.T) {
	chart := `{names: "Size {label}", keep: [Text], sizes: [{label: 6}, {label: 8}, {label: 10}, {label: 12}, {label: 14}, {label: 16}]}`
	without := func(i int) func(*pattern) {
		return func(p *pattern) {
			p.names, p.content, p.second = slices.Delete(p.names, i, i+1), slices.Delete(p.content, i, i+1), slices.Delete(p.second, i, i+1)
		}
	}
	same := func(*pattern) {}
	for _, c := range []struct {
		why           string
		first, second func(*pattern)
		want          []string
	}{
		{"nothing", same, same, nil},
		{"a size in one", same, without(2), []string{"layer-missing Size 10"}},
		{"a size in the other", without(5), same, []string{"layer-missing Size 16"}},
		{"a size in both", without(5), without(5), []string{"size-missing Size 16"}},
		{"the text in one", same, without(6), []string{"layer-missing Text"}},
		{"a slip of the pen", same, func(p *pattern) { p.names[6] = "Txet" }, []string{"layer-unknown Txet"}},
		{"a space more", same, func(p *pattern) { p.names[2] = "Size  10" }, []string{"name-alike Size  10"}},
	} {
		t.Chdir(t.TempDir())
		files := map[string][]byte{"chart.yaml": []byte(chart)}
		for name, change := range map[string]func(*pattern){"sheet.pdf": c.first, "a4.pdf": c.second} {
			p := goodPattern()
			change(p)
			files[name] = p.build()
		}
		for name, data := range files {
			if err := os.WriteFile(name, data, 0o666); err != nil {
				t.Fatal(err)
			}
		}
		if diff := cmp.Diff(c.want, checkedIDs(t, "sheet.pdf", "a4.pdf", "--chart", "chart.yaml")); diff != "" {
			t.Errorf("%s:\n%s", c.why, diff)
		}
	}
}

// checkedIDs runs the check and returns the ids of the findings, with layers.
func checkedIDs(t *testing.T, args ...string) []string {
	t.Helper()
	var out, errOut bytes.Buffer
	Run(context.Background(), append([]string{"sizeply", "check", "--json"}, args...), strings.NewReader(""), &out, &errOut)
	var res struct{ Findings []consistency.Finding }
	if err := json.Unmarshal(out.Bytes(), &res); err != nil {
		t.Fatalf("%v\n%s", err, &errOut)
	}
	var ids []string
	for _, f := range res.Findings {
		ids = append(ids, f.ID+" "+f.Layer)
	}
	return ids
}
