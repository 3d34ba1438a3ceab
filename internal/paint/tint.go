package paint

import (
	"fmt"
	"strings"

	"github.com/sizeply/sizeply/internal/pdf"
)

// maxColorants bounds the components of a DeviceN space (Annex C, Table C.1).
const maxColorants = 32

// maxTable bounds the lookup table of an Indexed space: 256 colours.
const maxTable = 256 * maxColorants

// indexed reads an Indexed space (8.6.6.3).
func (p *Painter) indexed(a pdf.Array, depth int) space {
	if len(a) < 4 {
		return nil
	}
	s := &indexed{base: p.read(a[1], depth+1), high: pdf.AsInt(p.src, a[2], 0)}
	if s.base == nil || s.high < 0 || s.high > 255 {
		return nil
	}
	if text, ok := pdf.AsString(p.src, a[3]); ok {
		s.table = []byte(text)
	} else if st := pdf.AsStream(p.src, a[3]); st != nil {
		s.table, _ = pdf.Decode(p.src, st, maxTable)
	}
	return s
}

// indexed takes colours from a table.
type indexed struct {
	base  space
	high  int
	table []byte
}

func (s *indexed) name() string       { return s.base.name() + " from a table" }
func (s *indexed) initial() []float64 { return []float64{0} }

// rgb looks an index up, which is rounded and cut to the table. A byte stands
// for the range of its component: 0 to 1 but in Lab.
func (s *indexed) rgb(v []float64) (c [3]float64, ok bool) {
	i := int(min(max(v[0]+0.5, 0), float64(s.high)))
	n := len(s.base.initial())
	if (i+1)*n > len(s.table) {
		return c, false
	}
	base := make([]float64, n)
	for k, b := range s.table[i*n : (i+1)*n] {
		base[k] = float64(b) / 255
		if lab, is := s.base.(*cie); is && lab.kind == "Lab" {
			bounds := append([]float64{0, 100}, lab.bounds[:]...)[2*k:]
			base[k] = bounds[0] + float64(base[k]*(bounds[1]-bounds[0]))
		}
	}
	return s.base.rgb(base)
}

// tinted reads a Separation or DeviceN space (8.6.6.4, 8.6.6.5).
func (p *Painter) tinted(a pdf.Array, depth int) space {
	if len(a) < 4 {
		return nil
	}
	p.functions = 0
	s := &tinted{alternate: p.read(a[2], depth+1), tint: p.function(a[3], 0)}
	if name := pdf.AsName(p.src, a[1]); name != "" {
		s.names = []string{string(name)}
	}
	for _, o := range pdf.AsArray(p.src, a[1]) {
		s.names = append(s.names, string(pdf.AsName(p.src, o)))
	}
	if len(s.names) == 0 || len(s.names) > maxColorants {
		return nil
	}
	return s
}

// tinted is a space of named colorants, shown as its tint function and
// alternate space say.
type tinted struct {
	names     []string
	alternate space
	tint      function
}

func (s *tinted) name() string { return fmt.Sprintf("spot %q", strings.Join(s.names, ", ")) }

// initial is the full tint of each colorant (Table 74).
func (s *tinted) initial() []float64 {
	v := make([]float64, len(s.names))
	for i := range v {
		v[i] = 1
	}
	return v
}

func (s *tinted) rgb(v []float64) (c [3]float64, ok bool) {
	if s.alternate == nil || s.tint == nil {
		return c, false
	}
	cut := make([]float64, len(v))
	for i := range v {
		cut[i] = unit(v[i])
	}
	out, ok := s.tint(cut)
	n := len(s.alternate.initial())
	if !ok || len(out) < n {
		return c, false
	}
	return s.alternate.rgb(out[:n])
}
