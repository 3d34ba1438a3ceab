package paint

import (
	"context"
	"math"
	"strconv"

	"github.com/sizeply/sizeply/internal/pdf"
)

// Limits of calculator functions. They have no loops, so a program ends.
const (
	maxProgram = 64 << 10 // bytes
	maxStack   = 100      // 7.10.5.1
	maxBraces  = 32       // blocks within each other
)

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
	data, _ := pdf.Decode(context.Background(), p.src, st, maxProgram)
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
