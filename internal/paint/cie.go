package paint

import (
	"math"

	"github.com/lucasb-eyer/go-colorful"
	"github.com/sizeply/sizeply/internal/pdf"
)

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

// rgb goes through XYZ. The white of the space becomes that of sRGB: each of X,
// Y and Z is scaled.
func (s *cie) rgb(v []float64) (c [3]float64, ok bool) {
	var xyz [3]float64
	switch s.kind {
	case "CalGray": // X = Xw A^G and so on
		a := math.Pow(unit(v[0]), s.gamma[0])
		xyz = [3]float64{float64(s.white[0] * a), float64(s.white[1] * a), float64(s.white[2] * a)}
	case "Lab":
		x, y, z := colorful.LabToXyzWhiteRef(v[0]/100, within(v[1], s.bounds[:2])/100, within(v[2], s.bounds[2:])/100, s.white)
		xyz = [3]float64{x, y, z}
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
