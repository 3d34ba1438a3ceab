package ahead

import (
	"runtime"
	"sync/atomic"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/pdf"
)

// objects are streams by their numbers.
type objects map[pdf.Ref]pdf.Object

func (o objects) Object(r pdf.Ref) pdf.Object { return o[r] }

// pages are that many pages with contents of some bytes each.
func pages(count, bytes int) (objects, []pdf.Page) {
	src, list := objects{}, []pdf.Page{}
	raw := make([]byte, bytes)
	for i := range count {
		src[pdf.Ref(i+1)] = &pdf.Stream{Raw: raw}
		list = append(list, pdf.Page{Number: i + 1, Dict: pdf.Dict{"Contents": pdf.Ref(i + 1)}})
	}
	return src, list
}

// TestPages: results come in the order of the pages, whichever is ready first; no
// more pages are worked on than there are cores, nor than the bytes allow.
func TestPages(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(4))
	for _, c := range []struct {
		name               string
		count, bytes, most int
	}{
		{"no page", 0, 10, 0},
		{"one", 1, 10, 1},
		{"more than cores", 50, 10, 8}, // the pages taken, while work goes on with them, and the next
		{"two fit", 20, maxBytes/8 - 1, 2},
		{"none fits", 5, maxBytes, 1},
	} {
		src, list := pages(c.count, c.bytes)
		var now, most, done atomic.Int64
		p := New(src, list, func(p pdf.Page, give func(int)) {
			for n := now.Add(1); ; {
				if old := most.Load(); old >= n || most.CompareAndSwap(old, n) {
					break
				}
			}
			time.Sleep(time.Duration(p.Number*7%5) * 100 * time.Microsecond)
			give(p.Number)
			runtime.Gosched() // work goes on behind the result
			now.Add(-1)
			done.Add(1)
		})
		for i := range c.count {
			if got := p.Next(); got != i+1 {
				t.Errorf("%s: page %d comes in place of page %d", c.name, got, i+1)
			}
		}
		p.Wait()
		if done.Load() != int64(c.count) {
			t.Errorf("%s: %d of %d pages are done", c.name, done.Load(), c.count)
		}
		if most.Load() > int64(c.most) {
			t.Errorf("%s: %d pages at a time, not %d", c.name, most.Load(), c.most)
		}
	}
}

// TestWait waits for what was begun, and begins nothing more.
func TestWait(t *testing.T) {
	src, list := pages(100, 10)
	var begun, done atomic.Int64
	p := New(src, list, func(pdf.Page, func(int)) { // nobody takes the result
		begun.Add(1)
		time.Sleep(time.Millisecond)
		done.Add(1)
	})
	p.fill()
	p.Wait()
	if begun.Load() != done.Load() || done.Load() == 0 || done.Load() == 100 {
		t.Errorf("%d pages begun, %d done", begun.Load(), done.Load())
	}
}
