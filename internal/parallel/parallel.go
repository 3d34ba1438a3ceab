// Package parallel spreads work over cores. However many there are, results
// come in the order of the items, no more items are begun than there are cores,
// and the memory that those take is bounded. With one core all is done in the
// goroutine of the caller.
//
// [Map] serves where all results are wanted at once. A [Queue] hands them over
// one after another, while the next items are worked on, and lets the caller
// stop between two of them.
package parallel

import (
	"context"
	"runtime"
	"sync"
)

// maxBytes bounds what the items that are worked on, or whose results wait to be
// taken, cost together; a single item may cost more.
const maxBytes = 64 << 20

// Map works on every item and returns the results in the order of the items.
// Cores and cost are as for [NewQueue]. The first error, in the order of the items, ends
// the work, and so does the end of the context; nothing is running any more when
// Map returns.
func Map[In, Out any](
	ctx context.Context, items []In, cores int, cost func(In) int64, work func(In) (Out, error),
) ([]Out, error) {
	type result struct {
		out Out
		err error
	}
	q := NewQueue(items, cores, cost, func(item In, give func(result)) {
		out, err := work(item)
		give(result{out, err})
	})
	defer q.Wait()
	results := make([]Out, 0, len(items))
	for range items {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		r := q.Next()
		if r.err != nil {
			return nil, r.err
		}
		results = append(results, r.out)
	}
	return results, ctx.Err()
}

// Cores is how many cores a number asks for: zero for all that there are.
func Cores(n int) int {
	if n <= 0 {
		return runtime.GOMAXPROCS(0)
	}
	return n
}

// Both does two things, at the same time where there is more than one core.
func Both(cores int, here, beside func()) {
	var done sync.WaitGroup
	if Cores(cores) == 1 {
		beside()
	} else {
		done.Go(beside)
	}
	here()
	done.Wait()
}

// A Queue works on items a few ahead of who takes the results. It is for one
// goroutine at a time; work runs in others.
type Queue[In, Out any] struct {
	items    []In
	cores    int
	cost     func(In) int64
	work     func(In, func(Out))
	next     int         // the first item that has not been begun
	waiting  []task[Out] // begun, the result not taken
	trailing []task[Out] // the result taken, work may still be at it
	bytes    int64       // what both cost
}

// task is an item that has been begun.
type task[Out any] struct {
	bytes  int64
	result chan Out
	done   chan struct{} // closed when work has returned
}

// NewQueue makes a queue of items; nothing is begun before the first
// [Queue.Next]. Cores is how many are worked on at a time: see [Cores]. Cost is about
// how many bytes of memory the work on an item takes; nil stands for next to nothing.
// Work is called once for each item. It calls give once with the result, and may go on
// after that while the caller is at the result already.
func NewQueue[In, Out any](
	items []In, cores int, cost func(In) int64, work func(item In, give func(Out)),
) *Queue[In, Out] {
	if cost == nil {
		cost = func(In) int64 { return 0 }
	}
	return &Queue[In, Out]{items: items, cores: Cores(cores), cost: cost, work: work}
}

// Next returns the result of the item after the one before. It may be called
// once for each item.
func (q *Queue[In, Out]) Next() (out Out) {
	if q.cores == 1 {
		q.next++
		q.work(q.items[q.next-1], func(o Out) { out = o })
		return out
	}
	if q.fill(); len(q.waiting) == 0 { // an item that has no room beside others
		q.forget(0)
		q.fill()
	}
	t := q.waiting[0]
	q.waiting, q.trailing = q.waiting[1:], append(q.trailing, t)
	out = <-t.result
	q.forget(q.cores)
	q.fill() // while the caller is at this result
	return out
}

// Wait returns when no work is running any more. No further item is begun.
func (q *Queue[In, Out]) Wait() {
	q.trailing = append(q.trailing, q.waiting...)
	q.waiting, q.next = nil, len(q.items)
	q.forget(0)
}

// fill begins items as long as there are free cores and room within maxBytes;
// one in any case where nothing is running.
func (q *Queue[In, Out]) fill() {
	for q.next < len(q.items) && len(q.waiting) < q.cores {
		item := q.items[q.next]
		t := task[Out]{q.cost(item), make(chan Out, 1), make(chan struct{})}
		if len(q.waiting)+len(q.trailing) > 0 && q.bytes+t.bytes > maxBytes {
			return
		}
		q.next, q.waiting, q.bytes = q.next+1, append(q.waiting, t), q.bytes+t.bytes
		go func() {
			defer close(t.done)
			q.work(item, func(out Out) { t.result <- out })
		}()
	}
}

// forget drops the trailing items that work has returned from, and waits until
// no more than that many are left.
func (q *Queue[In, Out]) forget(most int) {
	for len(q.trailing) > 0 {
		t := q.trailing[0]
		select {
		case <-t.done:
		default:
			if len(q.trailing) <= most {
				return
			}
			<-t.done
		}
		q.trailing, q.bytes = q.trailing[1:], q.bytes-t.bytes
	}
}
