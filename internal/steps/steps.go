// Package steps tells whoever asks for it, by the context of a call, which step the
// call is at.
package steps

import "context"

// A Trace is called when a step begins, with its size in bytes where that is known,
// else 0. What it returns is called when the step ends, with the size of what came of
// it, or 0, and with the error it ended by.
type Trace func(step string, size int64) (end func(size int64, err error))

type key struct{}

// With gives a context whose calls tell trace of their steps.
func With(ctx context.Context, trace Trace) context.Context {
	return context.WithValue(ctx, key{}, trace)
}

// Begin tells of a step, and gives what is to be called at its end. It costs a look
// at the context where nobody asked.
func Begin(ctx context.Context, step string, size int64) (end func(size int64, err error)) {
	if trace, _ := ctx.Value(key{}).(Trace); trace != nil {
		if end := trace(step, size); end != nil {
			return end
		}
	}
	return func(int64, error) {}
}
