package pdf

import (
	"bytes"
	"testing"
)

// TestPacker: the streams are those of NewStream.
func TestPacker(t *testing.T) {
	p := NewPacker()
	var got []*Stream
	for n := range 40 {
		got = append(got, p.Stream(Dict{"N": Integer(n), "DecodeParms": Dict{}}, drawing(1000*n)))
	}
	p.Wait()
	for n, s := range got {
		want := NewStream(Dict{"N": Integer(n)}, drawing(1000*n))
		if !bytes.Equal(s.Raw, want.Raw) || len(s.Dict) != 2 || s.Dict["N"] != want.Dict["N"] || s.Dict["Filter"] != want.Dict["Filter"] {
			t.Errorf("stream %d differs", n)
		}
	}
}
