package font

// codespace is the codespace ranges of a CMap: which sequences of bytes are
// codes (ISO 32000-1, 9.7.6.2).
type codespace []codeRange

// codeRange holds the codes of n bytes of which each lies between those of lo
// and hi.
type codeRange struct {
	n      int
	lo, hi [maxCode]byte
}

// maxCode is the length of the longest code.
const maxCode = 4

// maxRanges bounds the codespace ranges of a font, so that the time for a
// string is bounded. A CMap of the trade has six at most.
const maxRanges = 128

// next gives the length of the code that s, which is not empty, begins with.
// valid is false where none does; n is then the number of bytes to pass over.
func (c codespace) next(s []byte) (n int, valid bool) {
	for n = 1; n <= min(maxCode, len(s)); n++ {
		for i := range c {
			if c[i].n == n && c[i].prefix(s) == n {
				return n, true
			}
		}
	}
	return c.skip(s), false
}

// skip chooses the range that matches most bytes, and of these the one with
// the shortest codes (9.7.6.3).
func (c codespace) skip(s []byte) int {
	best, n := -1, 1
	for i := range c {
		switch match := c[i].prefix(s); {
		case match > best:
			best, n = match, c[i].n
		case match == best:
			n = min(n, c[i].n)
		}
	}
	return min(n, len(s))
}

// prefix counts how many bytes of s match, from the first on.
func (r *codeRange) prefix(s []byte) int {
	for i := range min(r.n, len(s)) {
		if s[i] < r.lo[i] || s[i] > r.hi[i] {
			return i
		}
	}
	return min(r.n, len(s))
}
