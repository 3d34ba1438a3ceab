package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestUnreadablePage: a page that cannot be read whole is refused with its number, the
// cause and what to do; --accept-damage goes on and says which page it is, as text and
// as JSON.
func TestUnreadablePage(t *testing.T) {
	dir := t.TempDir()
	input, output := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "out.pdf")
	doc := testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: "/OC /B BDC P1 EMC P2"}, {}}}
	doc.Objects = []testpdf.Object{testpdf.Obj(doc.PageObject(1),
		"<</Type /Page /Parent 2 0 R /MediaBox [0 0 100 100] /Contents 30 0 R>>"),
		testpdf.Stream(30, "/Filter /ASCIIHexDecode", "30 20 zz>")}
	if err := os.WriteFile(input, testpdf.Build(doc), 0o600); err != nil {
		t.Fatal(err)
	}
	status, text := run("isolate", input, "--layer", "A", "-o", output)
	for _, want := range []string{"page 2: its drawing cannot be read whole", "damaged ASCIIHexDecode data", "download the file again", "--accept-damage"} {
		if status != statusFail || !strings.Contains(text, want) {
			t.Errorf("status %d, want %q in %s", status, want, text)
		}
	}
	if _, err := os.Stat(output); err == nil {
		t.Error("there is a file")
	}
	status, text = run("isolate", input, "--layer", "A", "-o", output, "--accept-damage")
	if status != statusDone || !strings.Contains(text, "Warning, page 2: its drawing cannot be read whole") {
		t.Errorf("status %d: %s", status, text)
	}
	status, text = run("isolate", input, "--layer", "A", "--accept-damage", "--dry-run", "--json")
	var told struct {
		Report struct{ Warnings []struct{ Page int } }
	}
	if err := json.Unmarshal([]byte(text), &told); err != nil || status != statusDone ||
		len(told.Report.Warnings) != 1 || told.Report.Warnings[0].Page != 2 {
		t.Errorf("status %d, %v: %s", status, err, text)
	}
}
