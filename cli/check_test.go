package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/demo"
	"github.com/sizeply/sizeply/layers/pattern/check"
	"github.com/sizeply/sizeply/sizes"
)

// tenFaults makes ten faults in the sheet of a release.
func tenFaults(r *release) {
	sheet := r.files[0]
	sheet.outside = "0 0 5 5 re f"                     // content-outside
	sheet.private = true                               // private-data
	sheet.layer("Size 8").off = true                   // layer-off
	sheet.layer("Size 16").locked = true               // layer-locked
	sheet.layer("Size 12").pages[1] = ""               // page-missing
	sheet.layer("Size 14").pages[0] = outline(4, 0, 9) // layer-extent
	sheet.layer("Grainline").pages = [2]string{}       // layer-empty
	sheet.add("Size 10 copy", outline(2, 0, 0), "")    // name-alike
	sheet.add("Doodle", wording("x", 3), "")           // layer-unknown
	sheet.layers[0], sheet.layers[3] = sheet.layers[3], sheet.layers[0]
	sheet.layers[1], sheet.layers[2], sheet.layers[3] = sheet.layers[3], sheet.layers[1], sheet.layers[2] // layer-order
}

// theTen are the findings of tenFaults.
var theTen = []string{
	"page-missing Size 12", "layer-unknown Doodle", "layer-empty Grainline", "layer-off Size 8", "layer-locked Size 16",
	"layer-order Size 12", "layer-extent Size 14", "name-alike Size 10 copy", "content-outside ", "private-data ",
}

// TestTenFaults: ten faults in one file are ten findings, in the order of the
// rules.
func TestTenFaults(t *testing.T) {
	for _, withChart := range []bool{true, false} {
		r := goodRelease()
		tenFaults(r)
		found, _ := checkedFindings(t, r.write(t, withChart)...)
		if diff := cmp.Diff(theTen, ids(found)); diff != "" {
			t.Errorf("chart %v:\n%s", withChart, diff)
		}
	}
}

// ids are those of findings, with their layers.
func ids(found []check.Finding) []string {
	var list []string
	for _, f := range found {
		list = append(list, f.ID+" "+f.Layer)
	}
	return list
}

// TestFailOn: the status is 1 where what is left, after what the chart accepts, is
// of the level or worse.
func TestFailOn(t *testing.T) {
	for _, c := range []struct {
		accepted  []string // ids
		note      bool     // there is one
		want      map[string]int
		remaining int
	}{
		{nil, false, map[string]int{"error": 1, "warning": 1, "note": 1, "none": 0}, 10},
		{[]string{"page-missing"}, false, map[string]int{"error": 0, "warning": 1, "note": 1, "none": 0}, 9},
		{accepting(theTen), false, map[string]int{"error": 0, "warning": 0, "note": 0, "none": 0}, 0},
		{accepting(theTen), true, map[string]int{"error": 0, "warning": 0, "note": 1, "none": 0}, 1},
	} {
		r := goodRelease()
		tenFaults(r)
		for _, id := range c.accepted {
			r.chart.Accepted = append(r.chart.Accepted, sizes.Acceptance{Finding: id, File: "sheet.pdf", Reason: "meant so: " + id})
		}
		if c.note {
			r.chart.Accepted = append(r.chart.Accepted, sizes.Acceptance{Finding: "name-form", Reason: "mended since"})
		}
		args := append([]string{"check"}, r.write(t, true)...)
		for level, want := range c.want {
			if out, errOut, status := outputs(append(args, "--fail-on", level)...); status != want {
				t.Errorf("%d accepted, --fail-on %s: status %d, want %d\n%s%s", len(c.accepted), level, status, want, out, errOut)
			}
		}
		found, accepted := checkedFindings(t, args[1:]...)
		if len(found) != c.remaining || len(accepted) != len(c.accepted) {
			t.Errorf("%d accepted: %d findings, %d accepted", len(c.accepted), len(found), len(accepted))
		}
		for _, f := range accepted {
			if f.Accepted != "meant so: "+f.ID {
				t.Errorf("%s is accepted since %q", f.ID, f.Accepted)
			}
		}
	}
}

// accepting are the ids of findings.
func accepting(found []string) []string {
	var list []string
	for _, f := range found {
		id, _, _ := strings.Cut(f, " ")
		list = append(list, id)
	}
	return list
}

// TestCheckSet leaves layers out of one file of three, or of all.
func TestCheckSet(t *testing.T) {
	without := func(name string) func(*testPattern) { return func(p *testPattern) { p.remove(name) } }
	same := func(*testPattern) {}
	for _, c := range []struct {
		why                  string
		first, second, third func(*testPattern)
		want                 []string
	}{
		{"nothing", same, same, same, nil},
		{"a size in one", same, without("Size 10"), same, []string{"a4.pdf layer-missing Size 10"}},
		{"a size in another", without("Size 16"), same, same, []string{"sheet.pdf layer-missing Size 16"}},
		{"a size in two", same, without("Size 16"), without("Size 16"), []string{"a4.pdf layer-missing Size 16", "letter.pdf layer-missing Size 16"}},
		{"a size in all", without("Size 16"), without("Size 16"), without("Size 16"), []string{"sheet.pdf size-missing Size 16"}},
		{"the text in one", same, same, without("Text"), []string{"letter.pdf layer-missing Text"}},
	} {
		r := goodRelease()
		letter := *goodRelease().files[1]
		letter.name = "letter.pdf"
		r.files = append(r.files, &letter)
		c.first(r.files[0])
		c.second(r.files[1])
		c.third(r.files[2])
		found, _ := checkedFindings(t, r.write(t, true)...)
		var got []string
		for _, f := range found {
			got = append(got, fmt.Sprint(f.File, " ", f.ID, " ", f.Layer))
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s:\n%s", c.why, diff)
		}
	}
}

// TestCheckDemo: nothing is to be mended in the demo pattern as a sheet, in pages of
// A4 and of Letter, by its chart and by the files alone.
func TestCheckDemo(t *testing.T) {
	chart, err := os.ReadFile(filepath.Join("..", "testdata", "charts", "tollmere.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	c, err := sizes.Read(bytes.NewReader(chart), "tollmere.yaml")
	if err != nil {
		t.Fatal(err)
	}
	bodies, err := demo.Bodies(c)
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	if err := os.WriteFile("chart.yaml", chart, 0o666); err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, f := range append(demo.Files()[:2], demo.Letter()) {
		var b bytes.Buffer
		if err := f.Write(&b, bodies); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(f.Name, b.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
		names = append(names, f.Name)
	}
	for _, args := range [][]string{names, append(slices.Clone(names), "--chart", "chart.yaml")} {
		if found, _ := checkedFindings(t, args...); len(found) > 0 {
			t.Errorf("%v:\n%s", args, listed(found))
		}
	}
}

// TestCheckText: what the command says at a width of 80 columns has every
// finding whole, keeps to the width but for words that are longer, and has no
// control characters, on a terminal or not.
func TestCheckText(t *testing.T) {
	r := goodRelease()
	tenFaults(r)
	args := r.write(t, true)
	found, _ := checkedFindings(t, args...)
	out, _, _ := outputs(append([]string{"check"}, args...)...)
	for _, line := range strings.Split(out, "\n") {
		if len([]rune(line)) > checkWidth || strings.TrimRight(line, " ") != line || strings.ContainsAny(line, "\x1b\t\r") {
			t.Errorf("%q", line)
		}
	}
	words := strings.Join(strings.Fields(out), " ")
	for _, f := range found {
		for _, part := range []string{strings.ToUpper(f.Severity.String()) + " " + f.ID + ", " + f.File, f.Text, f.Do, f.Rename} {
			if !strings.Contains(words, part) {
				t.Errorf("%s: %q is not there\n%s", f.ID, part, out)
			}
		}
	}
	if !slices.ContainsFunc(found, func(f check.Finding) bool { return f.Severity == check.Error }) {
		t.Error("no error among the findings")
	}
}
