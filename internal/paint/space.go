package paint

import (
	"context"
	"fmt"
	"math"
	"strings"

	"github.com/lucasb-eyer/go-colorful"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// A space is a colour space (8.6).
type space interface {
	// initial is the colour after CS or cs (Table 74).
	initial() []float64
	// rgb converts a colour of as many components as initial has to sRGB, 0
	// to 1. ok is false where it cannot be told.
	rgb(v []float64) (c [3]float64, ok bool)
	// name says what it is, for people.
	name() string
}

// maxSpaces bounds the spaces that a Painter remembers, maxNested spaces within
// each other.
const (
	maxSpaces = 10_000
	maxNested = 4
)

// intern gives a space a name that means the same in every content stream; the
// device spaces and Pattern keep theirs.
func (p *Painter) intern(o pdf.Object) string {
	id := fmt.Sprintf("%T %v", o, o)
	if name, ok := p.names[id]; ok {
		return name
	}
	if name := string(pdf.AsName(p.src, o)); deviceSpace(name) != nil || name == "Pattern" {
		p.names[id] = name
		return name
	}
	if len(p.spaces) >= maxSpaces {
		return "?"
	}
	name := fmt.Sprintf("#%d", len(p.spaces))
	p.spaces = append(p.spaces, p.read(o, 0))
	p.names[id] = name
	return name
}

// space finds a space by the name that intern gave; nil where it is unknown.
func (p *Painter) space(name string) space {
	if s := deviceSpace(name); s != nil {
		return s
	}
	var i int
	if n, err := fmt.Sscanf(name, "#%d", &i); n == 1 && err == nil && i >= 0 && i < len(p.spaces) {
		return p.spaces[i]
	}
	return nil
}

// deviceSpace gives a device space by its name.
func deviceSpace(name string) space {
	switch name {
	case "DeviceGray", "G":
		return device{1, "grey"}
	case "DeviceRGB", "RGB":
		return device{3, "RGB"}
	case "DeviceCMYK", "CMYK":
		return device{4, "CMYK"}
	}
	return nil
}

// read reads a colour space; nil where it is none that is known.
func (p *Painter) read(o pdf.Object, depth int) space {
	if s := deviceSpace(string(pdf.AsName(p.src, o))); s != nil {
		return s
	}
	a := pdf.AsArray(p.src, o)
	if len(a) == 0 || depth > maxNested {
		return nil
	}
	kind := pdf.AsName(p.src, a[0])
	if len(a) == 1 {
		return deviceSpace(string(kind))
	}
	switch kind {
	case "CalGray", "CalRGB", "Lab":
		return p.cie(kind, pdf.AsDict(p.src, a[1]))
	case "ICCBased":
		return p.profile(a[1], depth)
	case "Indexed", "I":
		return p.indexed(a, depth)
	case "Separation", "DeviceN":
		return p.tinted(a, depth)
	}
	return nil
}

// device is a device space; components that are missing or out of range are cut
// (8.6.4).
type device struct {
	n     int
	words string
}

func (d device) name() string { return d.words }

func (d device) initial() []float64 {
	v := make([]float64, d.n)
	if d.n == 4 {
		v[3] = 1
	}
	return v
}

// rgb converts as 10.3.2 and 10.3.5 do: red is 1 - min(1, cyan + black).
func (d device) rgb(v []float64) (c [3]float64, ok bool) {
	switch d.n {
	case 1:
		return [3]float64{v[0], v[0], v[0]}, true
	case 3:
		return [3]float64{v[0], v[1], v[2]}, true
	}
	for i := range c {
		c[i] = 1 - min(1, max(0, v[i])+max(0, v[3]))
	}
	return c, true
}

// profile is an ICCBased space (8.6.5.5): its alternate where that is read, else
// the device space of as many components.
func (p *Painter) profile(o pdf.Object, depth int) space {
	st := pdf.AsStream(p.src, o)
	if st == nil {
		return nil
	}
	n := pdf.AsInt(p.src, st.Dict["N"], 0)
	if alt := p.read(st.Dict["Alternate"], depth+1); alt != nil && len(alt.initial()) == n {
		return iccBased{alt}
	}
	switch n {
	case 1, 3, 4:
		return iccBased{device{n, map[int]string{1: "grey", 3: "RGB", 4: "CMYK"}[n]}}
	}
	return nil
}

// iccBased is a space that stands for a profile.
type iccBased struct{ space }

func (s iccBased) name() string { return s.space.name() + " by profile" }

// initial is 0 in each component, unless the range forbids it (Table 74).
func (s iccBased) initial() []float64 { return make([]float64, len(s.space.initial())) }

// components gives a colour's components in its space: as many as it has, or the
// initial colour where only the space was set.
func components(s space, c *content.Colour) ([]float64, bool) {
	if c.N == 0 {
		return s.initial(), true
	}
	v := c.Components()
	if len(v) < len(s.initial()) {
		return nil, false
	}
	return v[:len(s.initial())], true
}

// cie is a CIE-based space given by numbers (8.6.5.2 to 8.6.5.4).
type cie struct {
	kind   pdf.Name
	white  [3]float64
	gamma  [3]float64
	matrix [9]float64
	bounds [4]float64 // of a* and b*
}

// cie reads the dictionary of a CalGray, CalRGB or Lab space (Tables 63 to 65).
func (p *Painter) cie(kind pdf.Name, d pdf.Dict) space {
	s := &cie{
		kind: kind, white: [3]float64{1, 1, 1}, gamma: [3]float64{1, 1, 1},
		matrix: [9]float64{0: 1, 4: 1, 8: 1}, bounds: [4]float64{-100, 100, -100, 100},
	}
	p.numbers(d["WhitePoint"], s.white[:])
	p.numbers(d["Gamma"], s.gamma[:])
	p.numbers(d["Matrix"], s.matrix[:])
	p.numbers(d["Range"], s.bounds[:])
	if g, ok := pdf.AsNumber(p.src, d["Gamma"]); ok {
		s.gamma[0] = g
	}
	return s
}

// numbers fills dst from an array of as many numbers; other values leave it.
func (p *Painter) numbers(o pdf.Object, dst []float64) {
	a := pdf.AsArray(p.src, o)
	if len(a) < len(dst) {
		return
	}
	for i := range dst {
		if v, ok := pdf.AsNumber(p.src, a[i]); ok {
			dst[i] = v
		}
	}
}

func (s *cie) name() string {
	return map[pdf.Name]string{"CalGray": "calibrated grey", "CalRGB": "calibrated RGB", "Lab": "Lab"}[s.kind]
}

// initial is black: 0 in each component, within the range (Table 74).
func (s *cie) initial() []float64 {
	switch s.kind {
	case "CalGray":
		return []float64{0}
	case "Lab":
		return []float64{0, min(max(0, s.bounds[0]), s.bounds[1]), min(max(0, s.bounds[2]), s.bounds[3])}
	}
	return []float64{0, 0, 0}
}

// rgb converts by way of XYZ. The white of the space becomes that of sRGB: each of X,
// Y and Z is scaled.
func (s *cie) rgb(v []float64) (c [3]float64, ok bool) {
	var xyz [3]float64
	switch s.kind {
	case "CalGray": // X = Xw A^G and so on
		a := math.Pow(unit(v[0]), s.gamma[0])
		xyz = [3]float64{float64(s.white[0] * a), float64(s.white[1] * a), float64(s.white[2] * a)}
	case "Lab":
		a, b := within(v[1], s.bounds[:2]), within(v[2], s.bounds[2:])
		xyz[0], xyz[1], xyz[2] = colorful.LabToXyzWhiteRef(v[0]/100, a/100, b/100, s.white)
	default: // X = Xa A^Gr + Xb B^Gg + Xc C^Gb
		for i := range 3 {
			a := math.Pow(unit(v[i]), s.gamma[i])
			for k := range xyz {
				xyz[k] += float64(s.matrix[3*i+k] * a)
			}
		}
	}
	for k := range xyz {
		if s.white[k] <= 0 {
			return c, false
		}
		xyz[k] = xyz[k] / s.white[k] * colorful.D65[k]
	}
	rgb := colorful.Xyz(xyz[0], xyz[1], xyz[2])
	return [3]float64{rgb.R, rgb.G, rgb.B}, true
}

func within(v float64, bounds []float64) float64 { return min(max(v, bounds[0]), bounds[1]) }

// unit cuts a number to 0 to 1.
func unit(v float64) float64 { return min(max(v, 0), 1) }

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
		s.table, _ = pdf.Decode(context.Background(), p.src, st, maxTable)
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
