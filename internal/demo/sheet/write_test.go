package sheet

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/demo/artwork"
	"github.com/sizeply/sizeply/internal/demo/draft"
)

func drawing(t *testing.T) artwork.Drawing {
	t.Helper()
	d, err := artwork.Skirt([]draft.Body{{Label: "6", Waist: 600, Hip: 840}, {Label: "8", Waist: 630, Hip: 870}}, artwork.ByColourAndDash())
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func written(t *testing.T, d artwork.Drawing) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, d, Options{}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// page gives the page's content, found as the stream that has text in it.
func page(t *testing.T, file []byte) string {
	t.Helper()
	for _, m := range regexp.MustCompile(`(?s)/FlateDecode/Length \d+>>\nstream\n(.*?)\nendstream`).FindAllSubmatch(file, -1) {
		r, err := zlib.NewReader(bytes.NewReader(m[1]))
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(data, []byte(" Tj\n")) {
			return string(data)
		}
	}
	t.Fatal("no page content")
	return ""
}

// Sides in points: 50 mm and 2 in at 72 points to the inch (ISO 32000-1,
// 8.3.2.3), to the three decimals that the file has.
func TestTestSquares(t *testing.T) {
	content := page(t, written(t, drawing(t)))
	for _, want := range []string{" 141.732 141.732 re S\n", " 144 144 re S\n"} {
		if n := strings.Count(content, want); n != 1 {
			t.Errorf("%d squares with %q, want 1", n, want)
		}
	}
}

func TestContentIsBalanced(t *testing.T) {
	content := page(t, written(t, drawing(t)))
	words := map[string]int{}
	for _, w := range strings.Fields(content) {
		words[w]++
	}
	for _, pair := range [][2]string{{"BDC", "EMC"}, {"q", "Q"}, {"BT", "ET"}} {
		if words[pair[0]] == 0 || words[pair[0]] != words[pair[1]] {
			t.Errorf("%d %s, %d %s", words[pair[0]], pair[0], words[pair[1]], pair[1])
		}
	}
	if words["Do"] < 20 {
		t.Errorf("symbols are used %d times", words["Do"])
	}
	if words["W"] == 0 {
		t.Error("nothing is clipped")
	}
}

// One text object holds labels of several layers.
func TestTextOfSeveralLayers(t *testing.T) {
	content := page(t, written(t, drawing(t)))
	want := regexp.MustCompile(`(?s)BT /F1 [^B]*/OC /L2 BDC\n[^B]*\(Sizes\) Tj\nEMC\n/OC /L0 BDC\n[^B]*\(  6\) Tj\nEMC\n/OC /L1 BDC\n[^B]*\(  8\) Tj\nEMC\nET`)
	if n := len(want.FindAllString(content, -1)); n != 5 {
		t.Errorf("%d text objects with a label for each size, want one for each of 5 pieces", n)
	}
}

func TestLayerTree(t *testing.T) {
	file := string(written(t, drawing(t)))
	groups := regexp.MustCompile(`(\d+) 0 obj\n<</Type/OCG/Name\(([^)]*)\)>>`).FindAllStringSubmatch(file, -1)
	order := "/Order[[(Sizes)"
	for i, g := range groups {
		order += " " + g[1] + " 0 R"
		if i == 1 {
			order += "]"
		}
	}
	if !strings.Contains(file, order+"]") {
		t.Errorf("no %s] in the file", order)
	}
	if len(groups) != 7 || groups[1][2] != "Size 8" {
		t.Errorf("groups: %q", groups)
	}
}

// The cross-reference table names the place of each object (ISO 32000-1,
// 7.5.4).
func TestCrossReferences(t *testing.T) {
	file := written(t, drawing(t))
	var start int
	if _, err := fmt.Sscanf(string(file[bytes.LastIndex(file, []byte("startxref\n")):]), "startxref\n%d", &start); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(string(file[start:]), "\n")
	var first, count int
	if _, err := fmt.Sscanf(lines[0]+" "+lines[1], "xref %d %d", &first, &count); err != nil {
		t.Fatal(err)
	}
	for n := 1; n < count; n++ {
		var at int
		if _, err := fmt.Sscanf(lines[2+n], "%010d 00000 n ", &at); err != nil {
			t.Fatal(err)
		}
		if want := fmt.Sprintf("%d 0 obj\n", n); !bytes.HasPrefix(file[at:], []byte(want)) {
			t.Errorf("object %d: at %d stands %.20q", n, at, file[at:])
		}
	}
}

func TestWriteAgain(t *testing.T) {
	if !bytes.Equal(written(t, drawing(t)), written(t, drawing(t))) {
		t.Error("the same drawing gave two files")
	}
}

func TestWithoutLayers(t *testing.T) {
	d := drawing(t).WithoutLayers()
	file := written(t, d)
	for _, word := range []string{"/OC", "/Properties"} {
		if bytes.Contains(file, []byte(word)) || strings.Contains(page(t, file), word) {
			t.Errorf("%s in a file without layers", word)
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	label := func(layer, text string) artwork.Shape {
		return artwork.Text{Size: 5, Runs: []artwork.Run{{Layer: layer, Text: text}}}
	}
	for _, tc := range []struct {
		name string
		mark artwork.Mark
		want string
	}{
		{"mark in an unknown layer", artwork.Mark{Layer: "Size 99", Shape: label("", "x")}, `"Size 99"`},
		{"run in an unknown layer", artwork.Mark{Shape: label("Size 99", "x")}, `"Size 99"`},
		{"text without code", artwork.Mark{Shape: label("", "Ω")}, "WinAnsiEncoding"},
		{"text without glyph", artwork.Mark{Shape: label("", "漢")}, "no glyph"},
		{"unknown symbol", artwork.Mark{Shape: artwork.Stamp{Symbol: "Star"}}, `"Star"`},
		{"no shape", artwork.Mark{}, "kind"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			err := Write(io.Discard, artwork.Drawing{Width: 100, Height: 100, Marks: []artwork.Mark{tc.mark}}, Options{})
			if err == nil || !strings.Contains(err.Error(), tc.want) {
				t.Errorf("error %v, want one about %s", err, tc.want)
			}
		})
	}
}

func TestDecimal(t *testing.T) {
	for _, tc := range []struct {
		value float64
		want  string
	}{{0, "0"}, {-0.0004, "0"}, {0.0005, "0.001"}, {1e7, "10000000"}, {-12.5, "-12.5"}, {141.73228, "141.732"}} {
		if got := decimal(tc.value); got != tc.want {
			t.Errorf("%g is written %s, want %s", tc.value, got, tc.want)
		}
	}
}

// qpdf reads the file as an outside witness.
func TestQpdf(t *testing.T) {
	if _, err := exec.LookPath("qpdf"); err != nil {
		if os.Getenv("SIZEPLY_REQUIRE_TOOLS") == "1" {
			t.Fatal("qpdf is not installed, and SIZEPLY_REQUIRE_TOOLS is 1")
		}
		t.Skip("qpdf is not installed")
	}
	path := filepath.Join(t.TempDir(), "skirt.pdf")
	if err := os.WriteFile(path, written(t, drawing(t)), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("qpdf", "--check", path).CombinedOutput(); err != nil {
		t.Errorf("qpdf --check: %v\n%s", err, out)
	}
}
