package layers

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestLinesPaintAlike: where line styles go, what stays is painted with the
// very state that it had, in its order.
func TestLinesPaintAlike(t *testing.T) {
	count := uint64(12)
	if long() {
		count = 600
	}
	kept := 0
	for seed := range count {
		doc := testpdf.RandomWith(seed, testpdf.RandomOptions{Everything: seed%2 == 1})
		if seed%3 == 0 {
			doc = testpdf.Wild(seed)
		}
		t.Run(fmt.Sprintf("document %d", seed), func(t *testing.T) {
			d := open(t, doc.Bytes)
			lines, err := d.Lines(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			sel := randomSelection(seed, len(d.Layers()))
			r := rand.New(rand.NewPCG(seed, 3))
			for _, l := range lines.Styles {
				if r.IntN(3) == 0 {
					sel.Lines = append(sel.Lines, l)
				}
			}
			kept += staysInOrder(t, doc.Bytes, d, sel)
		})
	}
	if kept == 0 {
		t.Error("nothing was painted")
	}
}

// staysInOrder isolates and finds each mark of the result in the original, in
// the same order.
func staysInOrder(t *testing.T, file []byte, d *Document, sel Selection) (kept int) {
	t.Helper()
	was, now := beforeAndAfter(t, file, d, sel, &acceptDamage)
	for i := range was {
		at := 0
		for _, m := range now[i] {
			for at < len(was[i]) && !was[i][at].like(m) {
				at++
			}
			if at++; at > len(was[i]) {
				t.Errorf("page %d paints what it did not before: %v", i+1, m)
				break
			}
			kept++
		}
	}
	return kept
}
