package content

import (
	"math/rand/v2"
	"strings"
	"testing"
)

// TestSkipPath: what is skipped is what Next would have given, all of it path
// construction, and Next goes on behind it.
func TestSkipPath(t *testing.T) {
	for _, c := range []struct {
		name, in string
		skipped  string
	}{
		{"curves", " 1 2 m\n3 4 5 6 7 8 c S", "1 2 m\n3 4 5 6 7 8 c"},
		{"all operators", "1 m 2 l 3 c 4 v 5 y h 6 re n", "1 m 2 l 3 c 4 v 5 y h 6 re"},
		{"numbers of odd forms", "-.5 +3 6-3 1.2.3 l f", "-.5 +3 6-3 1.2.3 l"},
		{"the operands of what follows stay", "1 2 l 3 w", "1 2 l"},
		{"an operator that begins alike", "1 2 m 3 cm", "1 2 m"},
		{"an unknown word", "1 2 m 3 ret", "1 2 m"},
		{"a word of one letter", "1 2 m 3 r", "1 2 m"},
		{"other operands", "1 m (x) l", "1 m"},
		{"a comment", "1 m % c\n2 l", "1 m"},
		{"a delimiter behind", "1 m 2 l/N gs", "1 m"},
		{"the end behind", "1 m 2 l", "1 m"},
		{"nothing", "", ""},
		{"no path", "q Q", ""},
	} {
		s := NewScanner([]byte(c.in))
		start, end := s.SkipPath()
		if got := c.in[start:end]; got != c.skipped {
			t.Errorf("%s: %q is skipped, not %q", c.name, got, c.skipped)
		}
		compareSkipped(t, c.in)
	}
}

// TestSkipPainted: what clips is not passed over.
func TestSkipPainted(t *testing.T) {
	for _, c := range []struct{ in, next string }{
		{"1 2 m 3 4 l S q", "S"},
		{"1 2 m 3 4 l\n f* q", "f*"},
		{"1 2 m 3 4 l n", "n"},
		{"S", "S"},
		{"1 2 m 3 4 l W n", "1 2 m"},
		{"1 2 m 3 4 l", "1 2 m"},
		{"1 2 m 3 4 l % c\nS", "S"},
		{"1 2 m 3 4 l 5 w", "1 2 m"},
	} {
		s := NewScanner([]byte(c.in))
		skipped := s.SkipPainted()
		var op Operation
		if s.Next(&op); string(op.Raw()) != c.next || skipped != (op.Op.Class() == ClassPaint) {
			t.Errorf("%q: %v, and %q is next, not %q", c.in, skipped, op.Raw(), c.next)
		}
	}
}

// TestSkipPathRandom does the same for random streams.
func TestSkipPathRandom(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	words := strings.Fields("1 -2 .5 m l c v y h re S n W w (x) /N [1] % r e cm 1.2.3 5l <</A 1>> BI ID EI")
	for range 2000 {
		var b strings.Builder
		for range r.IntN(30) {
			b.WriteString(words[r.IntN(len(words))])
			b.WriteString([]string{" ", "\n", "", "\r"}[r.IntN(4)])
		}
		compareSkipped(t, b.String())
	}
}

// compareSkipped compares the operations of a stream with those of Next and
// SkipPath in turn, the skipped ones read from their span.
func compareSkipped(t *testing.T, in string) {
	t.Helper()
	var want, got []string
	var op Operation
	for s := NewScanner([]byte(in)); s.Next(&op); {
		want = append(want, string(op.Raw()))
	}
	for s := NewScanner([]byte(in)); s.Next(&op); {
		got = append(got, string(op.Raw()))
		start, end := s.SkipPath()
		for part := NewScanner([]byte(in)[start:end]); part.Next(&op); {
			if got = append(got, string(op.Raw())); op.Op.Class() != ClassPath {
				t.Errorf("%q: %q is skipped", in, op.Raw())
			}
		}
	}
	if strings.Join(want, "|") != strings.Join(got, "|") {
		t.Errorf("%q: %q, not %q", in, got, want)
	}
}

// TestSkipPathAllocates nothing.
func TestSkipPathAllocates(t *testing.T) {
	data := benchmarkStream(1000)
	if n := testing.AllocsPerRun(10, func() {
		s := Scanner{data: data}
		s.SkipPath()
	}); n > 0 {
		t.Errorf("%v allocations", n)
	}
}
