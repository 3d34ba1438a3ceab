package font

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Codes by ISO 32000-1, 9.7.6.2; what to pass over where none matches by
// 9.7.6.3. A negative length stands for bytes that are no code.
func TestCodespace(t *testing.T) {
	const mixed = "00-80 8140-9FFC A0-DF E040-FCFC" // of 90ms-RKSJ-H
	for _, c := range []struct {
		name, space, s string
		want           []int
	}{
		{"two bytes", "0000-FFFF", "abcd", []int{2, 2}},
		{"odd number of bytes", "0000-FFFF", "abc", []int{2, -1}},
		{"mixed", mixed, "A\x81\x40\xa0\xfc\xfc\x80", []int{1, 2, 1, 2, 1}},
		{"each byte has its own range", mixed, "\x9f\x3f", []int{-2}},
		{"second byte out of range: length of the partial match", mixed, "\x81\x20A", []int{-2, 1}},
		{"first byte in no range: the shortest", mixed, "\xfd\x40", []int{-1, 1}},
		{"first byte in no range, all of two bytes", "2121-7E7E", "\x20\x21\x21\x21", []int{-2, 2}},
		{"longest partial match", "00-7F 8140-FEFE 81308130-FE39FE39", "\x81\x30\x81\x20\x81\x30\x81\x30", []int{-4, 4}},
		{"partial matches of one length: the shortest", "00-7F 8140-FEFE 81308130-FE39FE39", "\x81\x20\x20\x20", []int{-2, 1, 1}},
		{"surrogates", "0000-D7FF E000-FFFF D800DC00-DBFFDFFF", "\x00\x41\xd8\x40\xdc\x0b\xe0\x00", []int{2, 4, 2}},
		{"lone surrogate", "0000-D7FF E000-FFFF D800DC00-DBFFDFFF", "\xd8\x40\x00\x41", []int{-4}},
	} {
		t.Run(c.name, func(t *testing.T) {
			space := space(c.space)
			var got []int
			for s := []byte(c.s); len(s) > 0; {
				n, valid := space.next(s)
				s = s[n:]
				if !valid {
					n = -n
				}
				got = append(got, n)
			}
			if d := cmp.Diff(c.want, got); d != "" {
				t.Error(d)
			}
		})
	}
}
