package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/layers/pattern/check"
	"github.com/sizeply/sizeply/sizes"
)

// TestDraftOfRelease: a chart drafted from the files of a good release finds
// nothing in them.
func TestDraftOfRelease(t *testing.T) {
	args := goodRelease().write(t, false)
	if _, errOut, status := outputs(append([]string{"draft", "-o", "chart.yaml"}, args...)...); status != 0 {
		t.Fatal(errOut)
	}
	if found, _ := checkedFindings(t, append(args, "--chart", "chart.yaml")...); len(found) > 0 {
		t.Errorf("\n%s", listed(found))
	}
}

// TestDraftOfDemo does the same with the demo pattern, as a sheet.
func TestDraftOfDemo(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "testdata", "tollmere-skirt.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	draftedFile(t, "tollmere-skirt.pdf", data)
}

// TestDraftOfCorpus drafts from every file of SIZEPLY_CORPUS that has layers.
func TestDraftOfCorpus(t *testing.T) {
	dir := os.Getenv("SIZEPLY_CORPUS")
	if dir == "" {
		t.Skip("SIZEPLY_CORPUS names no folder of files from other programs")
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.pdf"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no files in %s (%v)", dir, err)
	}
	layered, charts := 0, 0
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		was, made := draftedFile(t, filepath.Base(name), data)
		if was {
			layered++
		}
		if made {
			charts++
		}
	}
	if layered == 0 {
		t.Errorf("none of %d files has layers", len(files))
	}
	t.Logf("%d files, %d with layers, %d charts", len(files), layered, charts)
}

// draftedFile drafts from a file. Every layer is a size, or kept, or in doubt,
// and just one of these; what is in doubt stands in the chart as a comment; and
// a check of the file with its chart has nothing to say of layers that are not
// in doubt. Where no chart can be made, it is said why.
func draftedFile(t *testing.T, name string, data []byte) (layered, made bool) {
	t.Helper()
	t.Chdir(t.TempDir())
	if err := os.WriteFile("file.pdf", data, 0o666); err != nil {
		t.Fatal(err)
	}
	out, _, status := outputs("inspect", "file.pdf", "--json")
	var res struct{ Layers []layers.Layer }
	if err := json.Unmarshal([]byte(out), &res); status != 0 || err != nil || len(res.Layers) == 0 {
		return false, false // not a file of layers, which other tests are about
	}
	names := layers.Names(res.Layers)
	_, errOut, status := outputs("draft", "file.pdf", "-o", "chart.yaml")
	drafted := sizes.Draft(names)
	places(t, name, names, drafted)
	for _, d := range drafted.Doubts {
		if !strings.Contains(errOut, pattern.DoubtWords(d)) {
			t.Errorf("%s: draft does not say %q:\n%s", name, pattern.DoubtWords(d), errOut)
		}
	}
	if len(drafted.Chart.Sizes) == 0 {
		if status != 1 || len(drafted.Doubts) == 0 || !strings.Contains(errOut, "no chart can be drafted") {
			t.Errorf("%s: status %d without sizes: %s", name, status, errOut)
		}
		return true, false
	}
	chart, err := os.ReadFile("chart.yaml")
	if err != nil || status != 0 {
		t.Fatalf("%s: status %d, %v: %s", name, status, err, errOut)
	}
	for _, d := range drafted.Doubts {
		if d.Position >= 0 && !bytes.Contains(chart, []byte("\n#   \"")) || !bytes.Contains(chart, []byte("# To decide: ")) {
			t.Errorf("%s: %q is in doubt, and the chart has no comment:\n%s", name, d.Name, chart)
		}
	}
	found, _ := checkedFindings(t, "file.pdf", "--chart", "chart.yaml")
	for _, f := range found {
		if slices.Contains([]string{"no-layers", "no-sizes", "size-missing", "layer-missing"}, f.ID) ||
			slices.Contains([]string{"layer-unknown", "layer-ambiguous", "name-form"}, f.ID) && !inDoubt(drafted, f) {
			t.Errorf("%s: its own chart finds %s", name, listed([]check.Finding{f}))
		}
	}
	return true, true
}

// places wants each layer in one of sizes, keep and doubts.
func places(t *testing.T, name string, names []string, drafted *sizes.Drafted) {
	t.Helper()
	for _, a := range drafted.Chart.Match(names).Answers {
		in := 0
		for _, yes := range []bool{a.Kind == sizes.KindSize, a.Kind == sizes.KindKeep, inDoubt(drafted, check.Finding{Layer: a.Name})} {
			if yes {
				in++
			}
		}
		if in != 1 {
			t.Errorf("%s: layer %q is in %d of sizes, keep and doubts", name, a.Name, in)
		}
	}
}

// inDoubt reports whether the layer of a finding is in doubt.
func inDoubt(drafted *sizes.Drafted, f check.Finding) bool {
	return slices.ContainsFunc(drafted.Doubts, func(d sizes.Doubt) bool { return d.Position >= 0 && sizes.Key(d.Name) == sizes.Key(f.Layer) })
}
