package paint

import (
	"math"

	"github.com/sizeply/sizeply/internal/pdf"
)

// maxInputs bounds the inputs of a sampled function: between samples there are
// two to their power of them.
const maxInputs = 10

// A table is a function of type 0 (7.10.2): samples with interpolation between
// them.
type table struct {
	size                     []int
	outputs, bits            int
	domain, encode, decoding []float64
	data                     []byte
}

// sampled reads a function of type 0.
func (p *Painter) sampled(st *pdf.Stream, domain []float64) function {
	if st == nil {
		return nil
	}
	d := st.Dict
	bounds := p.list(d["Range"])
	t := &table{outputs: len(bounds) / 2, bits: pdf.AsInt(p.src, d["BitsPerSample"], 0), domain: domain}
	all := t.outputs
	for _, v := range p.list(d["Size"]) {
		if v < 1 || v > maxSamples || all*int(v) > 8*maxSamples {
			return nil
		}
		t.size = append(t.size, int(v))
		all *= int(v)
	}
	switch t.bits {
	case 1, 2, 4, 8, 12, 16, 24, 32:
	default:
		return nil
	}
	if t.outputs == 0 || len(t.size)*2 != len(domain) || len(t.size) > maxInputs {
		return nil
	}
	if t.encode = p.list(d["Encode"]); len(t.encode) != len(domain) {
		t.encode = nil
		for _, n := range t.size {
			t.encode = append(t.encode, 0, float64(n-1))
		}
	}
	if t.decoding = p.list(d["Decode"]); len(t.decoding) != len(bounds) {
		t.decoding = bounds
	}
	t.data, _ = pdf.Decode(p.src, st, maxSamples)
	if len(t.data)*8 < all*t.bits {
		return nil
	}
	return t.at
}

// at interpolates between the samples around a place.
func (t *table) at(in []float64) ([]float64, bool) {
	low, part := make([]int, len(in)), make([]float64, len(in))
	for i, x := range in {
		e := interpolate(x, t.domain[2*i], t.domain[2*i+1], t.encode[2*i], t.encode[2*i+1])
		e = min(max(e, 0), float64(t.size[i]-1))
		low[i] = min(int(e), max(0, t.size[i]-2))
		part[i] = e - float64(low[i])
	}
	sum := make([]float64, t.outputs)
	for corner := range 1 << len(in) {
		weight, index, step := 1.0, 0, 1
		for i := range in {
			k := low[i]
			if corner>>i&1 == 1 {
				weight *= part[i]
				k = min(k+1, t.size[i]-1)
			} else {
				weight *= 1 - part[i]
			}
			index += k * step
			step *= t.size[i]
		}
		if weight == 0 {
			continue
		}
		for j := range sum {
			sum[j] += float64(weight * t.sample(index*t.outputs+j))
		}
	}
	top := math.Exp2(float64(t.bits)) - 1
	for j := range sum {
		sum[j] = interpolate(sum[j], 0, top, t.decoding[2*j], t.decoding[2*j+1])
	}
	return sum, true
}

// sample reads a sample: bits in a row, the first of a byte is its highest.
func (t *table) sample(i int) float64 {
	var v uint64
	for b := i * t.bits; b < (i+1)*t.bits; b++ {
		v = v<<1 | uint64(t.data[b/8]>>(7-b%8)&1)
	}
	return float64(v)
}
