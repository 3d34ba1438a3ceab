package optional

import "context"

// once is something that is worked out of a document when it is first asked for,
// and remembered. Where a context ends the work, the next who asks begins anew.
type once[T any] struct {
	turn  chan struct{} // holds one while somebody works
	value *T
}

func newOnce[T any]() *once[T] { return &once[T]{turn: make(chan struct{}, 1)} }

// get gives the value, or the error of the context. Work gives no other error.
func (o *once[T]) get(ctx context.Context, work func(context.Context) (T, error)) (value T, err error) {
	select {
	case o.turn <- struct{}{}:
	case <-ctx.Done():
		return value, ctx.Err()
	}
	defer func() { <-o.turn }()
	if o.value != nil {
		return *o.value, nil
	}
	if value, err = work(ctx); err == nil {
		o.value = &value
	}
	return value, err
}
