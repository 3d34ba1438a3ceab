package paint

import (
	"context"
	"math"

	"github.com/sizeply/sizeply/internal/pdf"
)

// A function is a PDF function (7.10). ok is false where it gives nothing.
type function func(in []float64) (out []float64, ok bool)

// Limits of functions.
const (
	maxFunctions = 500     // of a colour space
	maxNesting   = 8       // functions within each other
	maxSamples   = 4 << 20 // decoded bytes of a sampled function
	maxInputs    = 10      // of one: it looks at two to their power of samples
)

// function reads a function; nil where it is none that is known.
func (p *Painter) function(o pdf.Object, depth int) function {
	o = pdf.Resolve(p.src, o)
	d, _ := o.(pdf.Dict)
	st, _ := o.(*pdf.Stream)
	if st != nil {
		d = st.Dict
	}
	domain := p.list(d["Domain"])
	p.functions++
	if p.functions > maxFunctions || depth > maxNesting || d == nil || len(domain) < 2 || len(domain)%2 != 0 {
		return nil
	}
	var f function
	switch pdf.AsInt(p.src, d["FunctionType"], -1) {
	case 0:
		f = p.sampled(st, domain)
	case 2:
		f = p.exponential(d)
	case 3:
		f = p.stitched(d, domain, depth)
	case 4:
		f = p.calculator(st)
	}
	if f == nil {
		return nil
	}
	return clipped(f, domain, p.list(d["Range"]))
}

// list reads an array of numbers; nil where it is none.
func (p *Painter) list(o pdf.Object) []float64 {
	var list []float64
	for _, v := range pdf.AsArray(p.src, o) {
		n, ok := pdf.AsNumber(p.src, v)
		if !ok || math.IsNaN(n) || math.IsInf(n, 0) {
			return nil
		}
		list = append(list, n)
	}
	return list
}

// clipped cuts what goes into a function and what comes out (Table 38).
func clipped(f function, domain, bounds []float64) function {
	return func(in []float64) ([]float64, bool) {
		if len(in)*2 != len(domain) {
			return nil, false
		}
		out, ok := f(cut(in, domain))
		if !ok || len(bounds) == 0 {
			return out, ok
		}
		if len(out)*2 < len(bounds) {
			return nil, false
		}
		return cut(out[:len(bounds)/2], bounds), true
	}
}

// cut gives the values cut to their bounds.
func cut(v, bounds []float64) []float64 {
	out := make([]float64, len(v))
	for i := range v {
		out[i] = within(v[i], bounds[2*i:2*i+2])
	}
	return out
}

// exponential is a function of type 2 (7.10.3): C0 + x^N (C1 - C0).
func (p *Painter) exponential(d pdf.Dict) function {
	c0, c1 := p.list(d["C0"]), p.list(d["C1"])
	if c0 == nil {
		c0 = []float64{0}
	}
	if c1 == nil {
		c1 = []float64{1}
	}
	n, ok := pdf.AsNumber(p.src, d["N"])
	if !ok || len(c0) != len(c1) {
		return nil
	}
	return func(in []float64) ([]float64, bool) {
		x := math.Pow(in[0], n)
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return nil, false
		}
		out := make([]float64, len(c0))
		for i := range out {
			out[i] = c0[i] + float64(x*(c1[i]-c0[i]))
		}
		return out, true
	}
}

// stitched is a function of type 3 (7.10.4): one of several by the input.
func (p *Painter) stitched(d pdf.Dict, domain []float64, depth int) function {
	bounds, encode := p.list(d["Bounds"]), p.list(d["Encode"])
	parts := pdf.AsArray(p.src, d["Functions"])
	if len(parts) == 0 || len(parts) > 256 || len(bounds) != len(parts)-1 || len(encode) < 2*len(parts) {
		return nil
	}
	list := make([]function, len(parts))
	for i, o := range parts {
		if list[i] = p.function(o, depth+1); list[i] == nil {
			return nil
		}
	}
	edges := append(append([]float64{domain[0]}, bounds...), domain[1])
	return func(in []float64) ([]float64, bool) {
		i := 0
		for i < len(bounds) && in[0] >= bounds[i] {
			i++
		}
		return list[i]([]float64{interpolate(in[0], edges[i], edges[i+1], encode[2*i], encode[2*i+1])})
	}
}

// interpolate maps x from one range to another (7.10.2); a range of no width
// gives the start of the other.
func interpolate(x, xmin, xmax, ymin, ymax float64) float64 {
	if xmin == xmax {
		return ymin
	}
	return ymin + float64((x-xmin)*(ymax-ymin))/(xmax-xmin)
}

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
	t.data, _ = pdf.Decode(context.Background(), p.src, st, maxSamples)
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
