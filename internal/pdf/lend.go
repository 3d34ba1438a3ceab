package pdf

import (
	"math/bits"
	"sync"
	"sync/atomic"
)

// leastLent is the size from which on memory for content is used again: below, the
// garbage collector is as good.
const leastLent = 1 << 20

// lent is memory that was given back, by how much it is: see step. The garbage collector
// takes what nobody asks for.
var lent [8 * 64]sync.Pool

// Poisoned, for tests, overwrites all memory that is given back, so that what still uses
// it is seen.
var Poisoned bool

// Lend gives an empty slice with room for so many bytes.
func Lend(size int) []byte {
	if size < leastLent {
		return make([]byte, 0, size)
	}
	at, size := step(size)
	if b, _ := lent[at].Get().(*[]byte); b != nil {
		return (*b)[:0]
	}
	return make([]byte, 0, size)
}

// step is the first of the sizes that are lent which is no smaller, and its place among
// them: eight to each doubling.
func step(size int) (at, room int) {
	octave := bits.Len(uint(size-1)) - 4
	parts := (size + 1<<octave - 1) >> octave // 9 to 16 of them
	return 8*octave + parts - 9, parts << octave
}

// GiveBack takes memory of which nobody uses anything any more.
func GiveBack(b []byte) {
	if Poisoned {
		for i := range b {
			b[i] = 'X'
		}
	}
	if at, room := step(max(cap(b), leastLent)); room == cap(b) { // else it was not lent
		lent[at].Put(&b)
	}
}

// SameStart reports whether two slices begin with the same byte of memory.
func SameStart(a, b []byte) bool { return len(a) > 0 && len(b) > 0 && &a[0] == &b[0] }

// Shared is memory with several users, which is given back when none is left.
type Shared struct {
	memory []byte
	users  atomic.Int32
}

// Share gives memory to so many users.
func Share(memory []byte, users int) *Shared {
	s := &Shared{memory: memory}
	s.users.Store(int32(users))
	return s
}

// Done says that a user needs the memory no more. Nothing, nil, has no users.
func (s *Shared) Done() {
	if s != nil && s.users.Add(-1) == 0 {
		GiveBack(s.memory)
	}
}
