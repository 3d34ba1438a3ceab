package optional

import (
	"context"
	"errors"
	"sync"
	"testing"
)

// TestOnce: the work is done once, however many ask at the same time; work that was
// cancelled is done again, and who waits for it may be cancelled too.
func TestOnce(t *testing.T) {
	o, begun, release := newOnce[int](), make(chan bool), make(chan bool)
	cancelled, cancel := context.WithCancel(context.Background())
	go func() {
		<-begun
		cancel()
	}()
	_, err := o.get(cancelled, func(ctx context.Context) (int, error) {
		close(begun)
		<-ctx.Done()
		return 1, ctx.Err()
	})
	if !errors.Is(err, context.Canceled) {
		t.Fatalf("cancelled: %v", err)
	}
	times := 0
	work := func(context.Context) (int, error) {
		times++
		<-release
		return 2, nil
	}
	var all sync.WaitGroup
	for range 3 {
		all.Go(func() {
			if v, err := o.get(context.Background(), work); v != 2 || err != nil {
				t.Errorf("got %d, %v", v, err)
			}
		})
	}
	for len(o.turn) == 0 { // until somebody works
	}
	if _, err := o.get(cancelled, work); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled while somebody works: %v", err)
	}
	close(release)
	all.Wait()
	if times != 1 {
		t.Errorf("the work was done %d times", times)
	}
}
