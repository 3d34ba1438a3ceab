package paint

import (
	"math"
	"strconv"

	"github.com/sizeply/sizeply/internal/pdf"
)

// A function is a PDF function (7.10). ok is false where it gives nothing.
type function func(in []float64) (out []float64, ok bool)

// Limits. Calculator functions have no loops, so a program ends.
const (
	maxFunctions = 500      // of a colour space
	maxNesting   = 8        // functions within each other
	maxSamples   = 4 << 20  // decoded bytes of a sampled function
	maxInputs    = 10       // of one: it looks at two to their power of samples
	maxProgram   = 64 << 10 // bytes of a calculator function
	maxStack     = 100      // 7.10.5.1
	maxBraces    = 32       // blocks within each other
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

// An instruction is a number, an operator, or a block in braces.
type instruction struct {
	number float64
	word   string
	block  []instruction
}

// calculator reads a function of type 4 (7.10.5).
func (p *Painter) calculator(st *pdf.Stream) function {
	if st == nil {
		return nil
	}
	data, _ := pdf.Decode(p.src, st, maxProgram)
	words := programWords(data)
	if len(words) == 0 || words[0] != "{" {
		return nil
	}
	block, _, ok := parseBlock(words[1:], 0)
	if !ok {
		return nil
	}
	return func(in []float64) ([]float64, bool) {
		m := &stack{values: append([]float64{}, in...)}
		m.run(block)
		return m.values, !m.failed
	}
}

// programWords cuts a program into words and braces.
func programWords(data []byte) []string {
	var words []string
	start := -1
	end := func(i int) {
		if start >= 0 {
			words = append(words, string(data[start:i]))
		}
		start = -1
	}
	for i := 0; i < len(data); i++ {
		switch c := data[i]; {
		case c == '{' || c == '}':
			end(i)
			words = append(words, string(c))
		case c <= ' ':
			end(i)
		case c == '%':
			end(i)
			for i < len(data) && data[i] != '\n' && data[i] != '\r' {
				i++
			}
		case start < 0:
			start = i
		}
	}
	end(len(data))
	return words
}

// parseBlock reads up to the closing brace and gives what follows it.
func parseBlock(words []string, depth int) (block []instruction, rest []string, ok bool) {
	if depth > maxBraces {
		return nil, nil, false
	}
	for len(words) > 0 {
		w := words[0]
		words = words[1:]
		switch w {
		case "}":
			return block, words, true
		case "{":
			inner, after, ok := parseBlock(words, depth+1)
			if !ok {
				return nil, nil, false
			}
			block, words = append(block, instruction{block: inner, word: "{"}), after
		default:
			v, err := strconv.ParseFloat(w, 64)
			if err == nil && !math.IsInf(v, 0) && !math.IsNaN(v) {
				w = ""
			}
			block = append(block, instruction{number: v, word: w})
		}
	}
	return nil, nil, false
}

// stack is a calculator at work. Truth values are 0 and 1.
type stack struct {
	values []float64
	failed bool
}

func (m *stack) push(v float64) {
	if m.failed = m.failed || len(m.values) >= maxStack || math.IsNaN(v) || math.IsInf(v, 0); !m.failed {
		m.values = append(m.values, v)
	}
}

func (m *stack) pop() float64 {
	n := len(m.values)
	if m.failed = m.failed || n == 0; m.failed {
		return 0
	}
	v := m.values[n-1]
	m.values = m.values[:n-1]
	return v
}

// run executes a block. A block in it waits for if or ifelse.
func (m *stack) run(block []instruction) {
	for i, in := range block {
		switch {
		case m.failed:
			return
		case in.word == "":
			m.push(in.number)
		case in.word == "{":
		case in.word == "if":
			if m.failed = i < 1 || block[i-1].word != "{"; !m.failed && m.pop() != 0 {
				m.run(block[i-1].block)
			}
		case in.word == "ifelse":
			if m.failed = i < 2 || block[i-1].word != "{" || block[i-2].word != "{"; m.failed {
				return
			}
			if m.pop() != 0 {
				m.run(block[i-2].block)
			} else {
				m.run(block[i-1].block)
			}
		default:
			m.operate(in.word)
		}
	}
}

// operate executes an operator of Table 42.
func (m *stack) operate(word string) {
	if f, ok := unary[word]; ok {
		m.push(f(m.pop()))
		return
	}
	if f, ok := binary[word]; ok {
		b := m.pop()
		m.push(f(m.pop(), b))
		return
	}
	switch word {
	case "pop":
		m.pop()
	case "exch":
		b, a := m.pop(), m.pop()
		m.push(b)
		m.push(a)
	case "dup":
		v := m.pop()
		m.push(v)
		m.push(v)
	case "true":
		m.push(1)
	case "false":
		m.push(0)
	case "copy":
		if n := m.count(); !m.failed {
			for _, v := range append([]float64{}, m.values[len(m.values)-n:]...) {
				m.push(v)
			}
		}
	case "index":
		if n := m.pop(); n < 0 || int(n) >= len(m.values) {
			m.failed = true
		} else {
			m.push(m.values[len(m.values)-1-int(n)])
		}
	case "roll":
		m.roll()
	default:
		m.failed = true
	}
}

// count takes a number of values that are on the stack.
func (m *stack) count() int {
	n := m.pop()
	if m.failed = m.failed || n < 0 || n > float64(len(m.values)); m.failed {
		return 0
	}
	return int(n)
}

// roll moves the top n values round by j.
func (m *stack) roll() {
	j := m.pop()
	n := m.count()
	if m.failed || n == 0 || math.Abs(j) > 1e9 {
		return
	}
	top := m.values[len(m.values)-n:]
	was := append([]float64{}, top...)
	for i, v := range was {
		top[((i+int(j))%n+n)%n] = v
	}
}

func truth(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

var unary = map[string]func(float64) float64{
	"abs": math.Abs, "neg": func(v float64) float64 { return -v }, "ceiling": math.Ceil, "floor": math.Floor,
	"round": func(v float64) float64 { return math.Floor(v + 0.5) }, "truncate": math.Trunc, "cvi": math.Trunc,
	"cvr": func(v float64) float64 { return v }, "sqrt": math.Sqrt, "ln": math.Log, "log": math.Log10,
	"sin": func(v float64) float64 { return math.Sin(v * math.Pi / 180) },
	"cos": func(v float64) float64 { return math.Cos(v * math.Pi / 180) },
	"not": func(v float64) float64 {
		if v == 0 || v == 1 {
			return 1 - v
		}
		return float64(^int64(v))
	},
}

var binary = map[string]func(a, b float64) float64{
	"add": func(a, b float64) float64 { return a + b }, "sub": func(a, b float64) float64 { return a - b },
	"mul": func(a, b float64) float64 { return a * b }, "div": func(a, b float64) float64 { return a / b },
	"idiv": func(a, b float64) float64 { return math.Trunc(a / b) }, "mod": math.Mod, "exp": math.Pow,
	"atan": func(a, b float64) float64 { return math.Mod(math.Atan2(a, b)*180/math.Pi+360, 360) },
	"eq":   func(a, b float64) float64 { return truth(a == b) },
	"ne":   func(a, b float64) float64 { return truth(a != b) },
	"gt":   func(a, b float64) float64 { return truth(a > b) },
	"ge":   func(a, b float64) float64 { return truth(a >= b) },
	"lt":   func(a, b float64) float64 { return truth(a < b) },
	"le":   func(a, b float64) float64 { return truth(a <= b) },
	"and":  func(a, b float64) float64 { return float64(int64(a) & int64(b)) },
	"or":   func(a, b float64) float64 { return float64(int64(a) | int64(b)) },
	"xor":  func(a, b float64) float64 { return float64(int64(a) ^ int64(b)) },
	"bitshift": func(a, b float64) float64 {
		if b < 0 {
			return float64(int64(a) >> min(uint64(-b), 63))
		}
		return float64(int64(a) << min(uint64(b), 63))
	},
}
