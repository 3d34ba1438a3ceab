package layers

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestNoResidue: what is drawn with something of a removed layer is refused
// where nothing of it may stay, and nothing is written.
func TestNoResidue(t *testing.T) {
	for _, c := range []struct {
		name, content string
		want          string // part of the error, "" for none
	}{
		{"nothing is shared", "/OC /A BDC P1 EMC /OC /B BDC q 0 0 9 9 re W n /F 9 Tf P2 Q EMC P3", ""},
		{"a font", "/OC /B BDC BT /F 9 Tf (A) Tj ET EMC BT (B) Tj ET", "the resource F (page 1)"},
		{"a clipping path", "/OC /B BDC 0 0 9 9 re W n EMC P1", "a clipping path (page 1)"},
		{"glyphs", "/OC /B BDC BT /F 9 Tf 7 Tr (A) Tj ET EMC P1", "text that clips (page 1)"},
		{"many", strings.Repeat("q /OC /B BDC 0 0 9 9 re W n EMC P1 Q ", 9), "and 4 more"},
	} {
		t.Run(c.name, func(t *testing.T) {
			doc := open(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: c.content}}}))
			sel, opt := Selection{Layers: []int{0}}, &IsolateOptions{NoResidue: true}
			var out bytes.Buffer
			_, err := doc.Isolate(context.Background(), &out, sel, opt)
			var refused *ResidueError
			if c.want == "" {
				if err != nil {
					t.Error(err)
				} else if err := Verify(context.Background(), bytes.NewReader(out.Bytes()), doc, sel, opt); err != nil {
					t.Error(err)
				}
				return
			}
			if !errors.As(err, &refused) || !strings.Contains(err.Error(), c.want) || out.Len() > 0 {
				t.Errorf("%d bytes written, error %v, want one with %q", out.Len(), err, c.want)
			}
			if _, err := doc.Isolate(context.Background(), &out, sel, nil); err != nil {
				t.Fatal(err)
			}
			if err := Verify(context.Background(), bytes.NewReader(out.Bytes()), doc, sel, opt); !errors.As(err, &refused) {
				t.Errorf("a result with residue is verified: %v", err)
			}
		})
	}
}
