package pdf

import (
	"crypto/sha256"
	"fmt"
)

// Hash returns a hash over all objects with their numbers, and over the raw
// data of all streams. It serves tests that a document does not change.
func (d *Document) Hash() [32]byte {
	sum := sha256.New()
	same := func(r Ref) Ref { return r }
	for _, r := range d.refs {
		o := d.objects[r]
		stream, isStream := o.(*Stream)
		if isStream {
			o = stream.Dict
		}
		s := serialiser{number: same}
		if err := s.append(o, 0); err != nil {
			panic(fmt.Sprintf("pdf: object %d was changed: %v", r, err))
		}
		fmt.Fprintf(sum, "%d %t %d:%s", r, isStream, len(s.buf), s.buf)
		if isStream {
			fmt.Fprintf(sum, "%d:%s", len(stream.Raw), stream.Raw)
		}
	}
	return [32]byte(sum.Sum(nil))
}
