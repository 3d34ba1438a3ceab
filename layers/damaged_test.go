package layers

import (
	"bytes"
	"context"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers/failure"
)

// TestDamaged cuts files short and flips bytes in them. Each ends in an output
// that Check accepts or in one sentence; none panics or takes long.
func TestDamaged(t *testing.T) {
	t.Parallel()
	names := []string{"../testdata/tollmere-skirt.pdf"}
	encrypted, err := filepath.Glob("../cli/testdata/encrypted/*.pdf")
	if err != nil {
		t.Fatal(err)
	}
	names = append(names, encrypted...)
	if dir := os.Getenv("SIZEPLY_CORPUS"); dir != "" {
		names = append(names, pdfFiles(t, dir)...)
	} else {
		t.Log("SIZEPLY_CORPUS names no folder: only the project's own files are damaged")
	}
	cuts, flips := 3, 10
	if long() {
		cuts, flips = 50, 2000
	}
	count := map[string]int{}
	for i, name := range names {
		file, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if len(file) > 2<<20 {
			continue // what is large takes the same paths
		}
		r := rand.New(rand.NewPCG(uint64(i), 0xDA3A6E))
		for range cuts {
			count[survive(t, name, file[:r.IntN(len(file))])]++
		}
		for range flips {
			bad := slices.Clone(file)
			for range 1 + r.IntN(8) {
				bad[r.IntN(len(bad))] ^= byte(1 + r.IntN(255))
			}
			count[survive(t, name, bad)]++
		}
	}
	t.Logf("%d isolated, %d refused when isolating, %d not opened, of %d files", count["isolated"], count["refused"], count["not opened"], len(names))
	if count["isolated"] == 0 || count["not opened"] == 0 {
		t.Error("the damage is always or never harmless")
	}
}

// survive tells how a damaged file ended.
func survive(t *testing.T, name string, file []byte) string {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute) // a bound against hanging
	defer cancel()
	doc, err := Open(ctx, bytes.NewReader(file), &OpenOptions{Password: "owner"})
	if err != nil {
		return ended(t, name, "not opened", err)
	}
	if _, err := doc.Inspect(ctx); err != nil {
		return ended(t, name, "refused", err)
	}
	var out bytes.Buffer
	report, err := doc.Isolate(ctx, &out, Selection{NoLayers: true}, nil)
	if err != nil {
		return ended(t, name, "refused", err)
	}
	if err := report.Check(ctx, bytes.NewReader(out.Bytes())); err != nil {
		t.Errorf("%s: what was written does not hold: %v", name, err)
	}
	return "isolated"
}

// ended fails where an error is no sentence for people, or the time ran out.
func ended(t *testing.T, name, how string, err error) string {
	t.Helper()
	var format *failure.FormatError
	if errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("%s: it took more than a minute", name)
	}
	if bytes.ContainsAny([]byte(err.Error()), "\n\x00") || len(err.Error()) > 1000 && !errors.As(err, &format) {
		t.Errorf("%s: this is no sentence: %q", name, err)
	}
	return how
}

// TestUnreadWhereNothingIsRemoved: a copy that keeps all layers holds nothing that
// cannot be read, unless its operators alone are damaged, which is said.
func TestUnreadWhereNothingIsRemoved(t *testing.T) {
	for _, c := range []struct {
		name    string
		content testpdf.Object
		refused bool
		left    string // with AcceptDamage
	}{
		{"sound", testpdf.Stream(testpdf.ContentObject, "", "1 w"), false, "1 w"},
		{"damaged data", testpdf.Stream(testpdf.ContentObject, "/Filter /ASCIIHexDecode", "3120772031 zz>"), true, "1 w "},
		{"unknown operator", testpdf.Stream(testpdf.ContentObject, "", "1 w zork"), false, "1 w zork"},
	} {
		file := testpdf.Build(testpdf.Doc{Groups: []string{"A"}, Objects: []testpdf.Object{c.content}})
		for _, accept := range []bool{false, true} {
			var out bytes.Buffer
			report, err := open(t, file).Isolate(t.Context(), &out, Selection{Layers: []int{0}}, &IsolateOptions{AcceptDamage: accept})
			var unreadable *failure.UnreadableError
			switch refused := c.refused && !accept; {
			case refused != errors.As(err, &unreadable):
				t.Errorf("%s: %v", c.name, err)
			case refused:
			case err != nil:
				t.Errorf("%s: %v", c.name, err)
			default:
				if got := pageContent(t, out.Bytes(), 0); strings.TrimSpace(got) != strings.TrimSpace(c.left) {
					t.Errorf("%s: the page has %q, want %q", c.name, got, c.left)
				}
				if warned := len(report.Warnings) == 1 && report.Warnings[0].Page == 1; warned != (c.name != "sound") {
					t.Errorf("%s: warnings %v", c.name, report.Warnings)
				}
				if err := report.Check(t.Context(), bytes.NewReader(out.Bytes())); err != nil {
					t.Errorf("%s: %v", c.name, err)
				}
			}
		}
	}
}
