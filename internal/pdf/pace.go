package pdf

import (
	"context"
	"hash"
	"iter"
	"math/bits"
	"slices"
)

// lookEvery is how many bytes are worked on between two looks at a context: some
// milliseconds, whatever is done with them.
const lookEvery = 1 << 20

// objectsAtOnce is how many objects, whatever stands in others included, are worked
// on between two looks.
const objectsAtOnce = 4096

// A pace says when work on bytes is to look at its context.
type pace struct {
	ctx  context.Context
	done int // since the last look
}

// ended counts n bytes that have been worked on. It reports whether the context has
// ended, where it is time to look.
func (p *pace) ended(n int) bool {
	if p.done += n; p.done < lookEvery {
		return false
	}
	p.done = 0
	return p.ctx.Err() != nil
}

// pieces gives data in pieces, to its end or that of ctx.
func pieces(ctx context.Context, data []byte) iter.Seq[[]byte] {
	return func(yield func([]byte) bool) {
		for piece := range slices.Chunk(data, lookEvery) {
			if ctx.Err() != nil || !yield(piece) {
				return
			}
		}
	}
}

// Hash hashes data. The error is the context's.
func Hash(ctx context.Context, sum hash.Hash, data []byte) error {
	for piece := range pieces(ctx, data) {
		sum.Write(piece)
	}
	return ctx.Err()
}

// Ascending lists numbers of objects in order. There is a bit for each that there may
// be: unlike sorting, that leaves room to look at the context, whose error it gives.
func Ascending[T any](ctx context.Context, objects map[Ref]T) ([]Ref, error) {
	const word = 64
	var set []uint64
	seen := 0
	for r := range objects {
		if seen++; seen%objectsAtOnce == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if at := int(r / word); at >= len(set) {
			set = slices.Grow(set, at+1-len(set))[:at+1]
		}
		set[r/word] |= 1 << (r % word)
	}
	list := make([]Ref, 0, len(objects))
	for i, w := range set {
		for ; w != 0; w &= w - 1 {
			list = append(list, Ref(i*word+bits.TrailingZeros64(w)))
		}
	}
	return list, nil
}
