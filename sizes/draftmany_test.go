package sizes

import (
	"fmt"
	"testing"
	"time"
)

// TestDraftMany: a file may have as many layers as it likes; a draft takes each
// name once, not each with each.
func TestDraftMany(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	const many = 50_000
	for _, form := range []string{"%d", "Size %d", "%d years"} {
		names := make([]string, many)
		for i := range names {
			names[i] = fmt.Sprintf(form, i)
			if form == "%d years" && i%2 > 0 {
				names[i] = fmt.Sprint(i)
			}
		}
		start := time.Now()
		done := make(chan *Drafted, 1)
		go func() { done <- Draft(names) }()
		select {
		case d := <-done:
			t.Logf("%s: %v", form, time.Since(start))
			if len(d.Chart.Sizes) > maxSizes {
				t.Errorf("%s: %d sizes", form, len(d.Chart.Sizes))
			}
		case <-time.After(30 * time.Second): // it takes one or two
			t.Fatalf("%s: %d names take more than half a minute", form, many)
		}
	}
}
