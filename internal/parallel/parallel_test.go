package parallel

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync/atomic"
	"testing"
	"time"
)

// numbers are the items 1 to n.
func numbers(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i + 1
	}
	return list
}

// TestQueue: results come in the order of the items, whichever is ready first; no
// more items are worked on than there are cores, nor than their cost allows.
func TestQueue(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(4))
	for _, c := range []struct {
		name  string
		count int
		cores int
		cost  int64
		most  int
	}{
		{"no item", 0, 0, 40, 0},
		{"one", 1, 0, 40, 1},
		{"one core", 50, 1, 40, 1},
		{"more than cores", 50, 0, 40, 8}, // those taken, while work goes on with them, and the next
		{"two fit", 20, 0, maxBytes/2 - 4, 2},
		{"none fits", 5, 0, 4 * maxBytes, 1},
	} {
		var now, most, done atomic.Int64
		q := NewQueue(numbers(c.count), c.cores, func(int) int64 { return c.cost }, func(item int, give func(int)) {
			for n := now.Add(1); ; {
				if old := most.Load(); old >= n || most.CompareAndSwap(old, n) {
					break
				}
			}
			time.Sleep(time.Duration(item*7%5) * 100 * time.Microsecond)
			give(item)
			runtime.Gosched() // work goes on behind the result
			now.Add(-1)
			done.Add(1)
		})
		for i := range c.count {
			if got := q.Next(); got != i+1 {
				t.Errorf("%s: item %d comes in place of item %d", c.name, got, i+1)
			}
		}
		q.Wait()
		if done.Load() != int64(c.count) {
			t.Errorf("%s: %d of %d items are done", c.name, done.Load(), c.count)
		}
		if most.Load() > int64(c.most) {
			t.Errorf("%s: %d items at a time, not %d", c.name, most.Load(), c.most)
		}
	}
}

// TestWait waits for what was begun, and begins nothing more.
func TestWait(t *testing.T) {
	var begun, done atomic.Int64
	q := NewQueue(numbers(100), 0, nil, func(int, func(int)) { // nobody takes the result
		begun.Add(1)
		time.Sleep(time.Millisecond)
		done.Add(1)
	})
	q.fill()
	q.Wait()
	if begun.Load() != done.Load() || done.Load() == 0 || done.Load() == 100 {
		t.Errorf("%d items begun, %d done", begun.Load(), done.Load())
	}
}

func TestMap(t *testing.T) {
	ctx := context.Background()
	square := func(n int) (int, error) { return n * n, nil }
	if got, err := Map(ctx, numbers(5), 0, nil, square); err != nil || !slices.Equal(got, []int{1, 4, 9, 16, 25}) {
		t.Errorf("squares %v, %v", got, err)
	}
	if got, err := Map(ctx, nil, 0, nil, square); err != nil || len(got) != 0 {
		t.Errorf("nothing gives %v, %v", got, err)
	}
}

// TestMapFails: the first error is that of the first item that has one, and what
// was begun has ended when Map returns.
func TestMapFails(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(4))
	var begun, done atomic.Int64
	_, err := Map(context.Background(), numbers(100), 0, nil, func(n int) (int, error) {
		defer done.Add(1)
		begun.Add(1)
		time.Sleep(time.Duration(5-min(n, 5)) * time.Millisecond)
		if n > 2 {
			return 0, fmt.Errorf("item %d", n)
		}
		return n, nil
	})
	if err == nil || err.Error() != "item 3" {
		t.Errorf("error %v, want that of item 3", err)
	}
	if begun.Load() != done.Load() || done.Load() == 100 {
		t.Errorf("%d items begun, %d done", begun.Load(), done.Load())
	}
}

// TestMapStops with its context.
func TestMapStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	var done atomic.Int64
	_, err := Map(ctx, numbers(1000), 0, nil, func(n int) (int, error) {
		if n == 3 {
			cancel()
		}
		done.Add(1)
		return n, nil
	})
	if !errors.Is(err, context.Canceled) || done.Load() == 1000 {
		t.Errorf("%v after %d items", err, done.Load())
	}
	if _, err := Map(ctx, nil, 0, nil, func(n int) (int, error) { return n, nil }); !errors.Is(err, context.Canceled) {
		t.Errorf("%v after the end of the context", err)
	}
}
