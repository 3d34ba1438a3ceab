package content

import "math"

// charClass says what a byte begins (ISO 32000-1, 7.2.2, Tables 1 and 2).
type charClass uint8

const (
	regular charClass = iota
	white
	numeric // 0-9 + - . : a number, where a token begins
	slash
	paren   // (
	angle   // <
	bracket // [
	percent
	closing // ) > ] { } : nothing begins with them
)

var classes = classify()

func classify() (t [256]charClass) {
	set := func(chars string, c charClass) {
		for i := range len(chars) {
			t[chars[i]] = c
		}
	}
	set("\x00\t\n\f\r ", white)
	set("0123456789+-.", numeric)
	set("/", slash)
	set("(", paren)
	set("<", angle)
	set("[", bracket)
	set("%", percent)
	set(")>]{}", closing)
	return t
}

// isRegular reports whether a byte can stand inside a name or a word.
func isRegular(b byte) bool {
	c := classes[b]
	return c == regular || c == numeric
}

// maxTypedDepth is how deep brackets may nest for square and angle ones to be
// told apart (one bit each). Deeper ones are only counted, so that depth costs
// neither memory nor stack.
const maxTypedDepth = 64

// lexOperand finds the operand that begins at data[i], which is neither white
// space nor a comment. Any word is a Keyword. The kind is zero for bytes that
// begin nothing; ok is false where the data ends before the operand does.
func lexOperand(data []byte, i int) (kind Kind, end int, ok bool) {
	switch classes[data[i]] {
	case numeric:
		return Number, numberEnd(data, i), true
	case slash:
		return NameObject, wordEnd(data, i+1), true
	case paren:
		end, ok = literalEnd(data, i)
		return String, end, ok
	case angle:
		if i+1 < len(data) && data[i+1] == '<' {
			end, ok = compositeEnd(data, i)
			return Dict, end, ok
		}
		end, ok = hexEnd(data, i)
		return String, end, ok
	case bracket:
		end, ok = compositeEnd(data, i)
		return Array, end, ok
	case regular:
		return Keyword, wordEnd(data, i), true
	}
	return 0, i + 1, true
}

// wordEnd returns the end of the run of regular characters from i on.
func wordEnd(data []byte, i int) int {
	for i < len(data) && isRegular(data[i]) {
		i++
	}
	return i
}

// literalEnd returns the end of the string whose parenthesis is at i: its
// parentheses balance, and a reverse solidus takes the next byte's meaning
// (7.3.4.2).
func literalEnd(data []byte, i int) (end int, ok bool) {
	depth := 0
	for ; i < len(data); i++ {
		switch data[i] {
		case '\\':
			i++
		case '(':
			depth++
		case ')':
			if depth--; depth == 0 {
				return i + 1, true
			}
		}
	}
	return len(data), false
}

// hexEnd returns the end of the hexadecimal string whose bracket is at i
// (7.3.4.3). What is no digit is passed over, as MuPDF, PDFium and pdf.js do.
func hexEnd(data []byte, i int) (end int, ok bool) {
	for ; i < len(data); i++ {
		if data[i] == '>' {
			return i + 1, true
		}
	}
	return len(data), false
}

// compositeEnd returns the end of the array or dictionary that begins at i. A
// closing bracket without its opening one is passed over, and a missing one
// swallows all that follows, as in Poppler and pdf.js.
func compositeEnd(data []byte, i int) (end int, ok bool) {
	var n nesting
	for i < len(data) {
		switch classes[data[i]] {
		case percent:
			i = commentEnd(data, i)
		case paren:
			i, _ = literalEnd(data, i)
		case bracket:
			n.push(false)
			i++
		case angle:
			if i+1 < len(data) && data[i+1] == '<' {
				n.push(true)
				i += 2
			} else {
				i, _ = hexEnd(data, i)
			}
		case closing:
			i = n.close(data, i)
			if n.depth == 0 {
				return i, true
			}
		default:
			i++
		}
	}
	return len(data), false
}

// nesting is a stack of open brackets: a bit is set for a dictionary.
type nesting struct {
	dicts uint64
	depth int
}

func (n *nesting) push(dict bool) {
	if n.depth < maxTypedDepth {
		n.dicts &^= 1 << n.depth
		if dict {
			n.dicts |= 1 << n.depth
		}
	}
	n.depth++
}

// close takes the closing character at i and returns where to go on.
func (n *nesting) close(data []byte, i int) int {
	switch {
	case data[i] == ']':
		n.pop(false)
		return i + 1
	case data[i] == '>' && i+1 < len(data) && data[i+1] == '>':
		n.pop(true)
		return i + 2
	}
	return i + 1
}

func (n *nesting) pop(dict bool) {
	top := n.depth - 1
	if top >= maxTypedDepth || n.dicts>>top&1 == 1 == dict {
		n.depth = top
	}
}

// commentEnd returns where the line of the comment at i ends.
func commentEnd(data []byte, i int) int {
	for i < len(data) && data[i] != '\n' && data[i] != '\r' {
		i++
	}
	return i
}

// skipSpace passes over white space and comments.
func skipSpace(data []byte, i int) int {
	for i < len(data) {
		switch classes[data[i]] {
		case white:
			i++
		case percent:
			i = commentEnd(data, i)
		default:
			return i
		}
	}
	return i
}

// eachOperand calls yield for the operands from i to the end of data until it
// returns false.
func eachOperand(data []byte, i int, yield func(Operand) bool) {
	for i = skipSpace(data, i); i < len(data); i = skipSpace(data, i) {
		kind, end, _ := lexOperand(data, i)
		if kind != 0 && !yield(Operand{kind, i, end}) {
			return
		}
		i = end
	}
}

// maxReal is the largest real number that ISO 32000-1, Table C.1 gives. Larger
// ones are cut to it, so that a number is always finite.
const maxReal = 3.403e38

// numberEnd returns the end of the number that begins at i with a digit, a
// sign or a point.
//
// The standard knows digits with one sign before and one point in them
// (7.3.3). What else is found in files is read as most engines read it (Poppler,
// MuPDF and PDFium by their sources, pdf.js and PDFBox from memory):
//
//   - A second minus sign at the start is ignored, "--5" is -5: MuPDF, pdf.js,
//     PDFBox (Poppler reads 0 and -5, PDFium 0).
//   - A minus sign further on is ignored too, "6-3" is 63: pdf.js and PDFBox
//     after Adobe Reader, Poppler after the point (PDFium reads 6, MuPDF
//     nothing).
//   - A second point begins another number, "1.2.3" is 1.2 and .3: Poppler,
//     pdf.js, PDFBox (PDFium reads 1.2 alone, MuPDF nothing).
//   - A letter ends the number, "5w" is 5 and the operator w: Poppler, pdf.js,
//     PDFBox (PDFium and MuPDF read an unknown word). So there are no
//     exponents.
//   - A sign or a point without a digit is 0: Poppler, MuPDF, pdf.js, PDFium.
func numberEnd(data []byte, i int) int {
	point := data[i] == '.'
	for i++; i < len(data); i++ {
		switch c := data[i]; {
		case c-'0' <= 9, c == '-':
		case c == '.' && !point:
			point = true
		default:
			return i
		}
	}
	return i
}

// parseNumber returns the value of what numberEnd found. It is correctly
// rounded for up to 15 digits, more than any coordinate has.
func parseNumber(token []byte) float64 {
	var digits uint64
	exponent, point := 0, false
	for _, c := range token {
		d := c - '0'
		switch {
		case d <= 9 && digits < 1e18:
			digits = digits*10 + uint64(d)
			if point {
				exponent--
			}
		case c == '.':
			point = true
		case d <= 9 && !point:
			exponent++
		}
	}
	v := scaleNumber(float64(digits), exponent)
	if token[0] == '-' && v != 0 {
		return -v
	}
	return v
}

// scaleNumber returns v*10^exponent, at most maxReal.
func scaleNumber(v float64, exponent int) float64 {
	if 0 <= -exponent && -exponent < len(powersOfTen) {
		return min(v/powersOfTen[-exponent], maxReal)
	}
	switch {
	case v == 0 || exponent < -math.MaxInt16:
		return 0
	case exponent < -308:
		return v / math.Pow10(308) / math.Pow10(-308-exponent)
	case exponent < 0:
		return v / math.Pow10(-exponent)
	case exponent > 38:
		return maxReal
	}
	return min(v*math.Pow10(exponent), maxReal)
}

// powersOfTen are those that a float64 holds exactly.
var powersOfTen = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}
