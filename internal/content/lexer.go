package content

import "bytes"

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

// isRegular tells whether a byte can stand inside a name or a word.
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

// eachEntry calls yield for the entries of a dictionary, with or without its
// brackets.
func eachEntry(data []byte, dict Operand, yield func(key string, value Operand) bool) {
	data = data[:dict.End]
	start := dict.Start
	if bytes.HasPrefix(data[start:], []byte("<<")) {
		start += len("<<") // what closes it is passed over below
	}
	var key Operand
	eachOperand(data, start, func(e Operand) bool {
		if key.Kind == NameObject {
			more := yield(decodeName(data[key.Start:key.End]), e)
			key = Operand{}
			return more
		}
		key = e
		return true
	})
}
