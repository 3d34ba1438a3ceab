package content

import "bytes"

// Kind is what an operand is.
type Kind uint8

// The kinds of operands. The zero value is none of them.
const (
	Number Kind = iota + 1
	NameObject
	String // literal or hexadecimal
	Array
	Dict
	Keyword // true, false, null, or an unknown word inside an array or dictionary
)

// Operand is one operand as a span of the stream, brackets and the slash of a
// name included. An array or a dictionary is one operand.
type Operand struct {
	Kind       Kind
	Start, End int
}

// Operation is an operator with its operands.
type Operation struct {
	Op Op
	// Start and End are the span from the first operand to the operator's
	// last byte. For an inline image End is behind EI.
	Start, End int
	// Operands are all operands found, in order. Valid until the next call
	// of Next. Of more than 128 only the last ones are here, never fewer
	// than 64.
	Operands []Operand
	// Inline tells of the parts of an inline image, else it is zero.
	Inline InlineImage

	data   []byte // contains the operation
	word   int    // where the operator begins
	first  int    // index of the operator's own first operand
	buffer []byte // decoded strings
}

// Operator returns where the operator begins, behind its operands.
func (o *Operation) Operator() int { return o.word }

// Raw returns the bytes of the whole operation. Not to be changed.
func (o *Operation) Raw() []byte { return o.data[o.Start:o.End:o.End] }

// RawOf returns the bytes of an operand or element. Not to be changed.
func (o *Operation) RawOf(e Operand) []byte { return o.data[e.Start:e.End:e.End] }

// Count returns how many operands belong to the operator: all for operators
// that take any number and for unknown ones, else at most as many as the
// operator takes.
func (o *Operation) Count() int { return len(o.Operands) - o.first }

// DropExtra takes the leading operands that do not belong to the operator out of the
// operation, which begins behind them then.
func (o *Operation) DropExtra() {
	if o.first == 0 {
		return
	}
	o.Operands, o.first, o.Start = o.Operands[o.first:], 0, o.word
	if len(o.Operands) > 0 {
		o.Start = o.Operands[0].Start
	}
}

// The following count i from the first operand that belongs to the operator:
// extra leading operands are ignored. They give ok == false where the operand
// is missing or of another kind.

// Operand returns the operand itself.
func (o *Operation) Operand(i int) (Operand, bool) {
	if i < 0 || o.first+i >= len(o.Operands) {
		return Operand{}, false
	}
	return o.Operands[o.first+i], true
}

// Float returns a number operand. It is always finite.
func (o *Operation) Float(i int) (v float64, ok bool) {
	e, _ := o.Operand(i)
	return o.FloatOf(e)
}

// Floats fills dst with the first operands; false unless all of them are
// numbers.
func (o *Operation) Floats(dst []float64) bool {
	for i := range dst {
		v, ok := o.Float(i)
		if !ok {
			return false
		}
		dst[i] = v
	}
	return true
}

// Name returns a name operand without its slash, #xx decoded.
func (o *Operation) Name(i int) (name string, ok bool) {
	e, _ := o.Operand(i)
	return o.NameOf(e)
}

// Bytes returns a string operand, decoded. The slice may be reused by the
// next call and is not to be changed.
func (o *Operation) Bytes(i int) (b []byte, ok bool) {
	e, _ := o.Operand(i)
	return o.BytesOf(e)
}

// Elements calls yield for each element of an array operand until it returns
// false.
func (o *Operation) Elements(i int, yield func(Operand) bool) {
	e, _ := o.Operand(i)
	o.ElementsOf(e, yield)
}

// Entries calls yield for each entry of a dictionary operand until it returns
// false.
func (o *Operation) Entries(i int, yield func(key string, value Operand) bool) {
	e, _ := o.Operand(i)
	o.EntriesOf(e, yield)
}

// The following read an operand, or an element or entry of one.

// FloatOf returns a number.
func (o *Operation) FloatOf(e Operand) (v float64, ok bool) {
	if e.Kind != Number {
		return 0, false
	}
	return parseNumber(o.data[e.Start:e.End]), true
}

// NameOf returns a name without its slash, #xx decoded.
func (o *Operation) NameOf(e Operand) (name string, ok bool) {
	if e.Kind != NameObject {
		return "", false
	}
	return decodeName(o.data[e.Start:e.End]), true
}

// BytesOf returns a string, decoded. The slice may be reused by the next call
// and is not to be changed.
func (o *Operation) BytesOf(e Operand) (b []byte, ok bool) {
	if e.Kind != String {
		return nil, false
	}
	b, o.buffer = decodeString(o.data[e.Start:e.End], o.buffer)
	return b, true
}

// ElementsOf calls yield for each element of an array until it returns false.
func (o *Operation) ElementsOf(e Operand, yield func(Operand) bool) {
	if e.Kind == Array {
		eachOperand(o.data[:e.End-len("]")], e.Start+len("["), yield)
	}
}

// EntriesOf calls yield for each entry of a dictionary until it returns false.
// What stands where a key should be and is no name is passed over. The keys
// are as written: those of an inline image may be abbreviated (ISO 32000-1,
// Table 93).
func (o *Operation) EntriesOf(e Operand, yield func(key string, value Operand) bool) {
	if e.Kind != Dict {
		return
	}
	data, start := o.data[:e.End], e.Start
	if bytes.HasPrefix(data[start:], []byte("<<")) { // not around an inline image's
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

// EachString goes through what a show operator shows: its strings and, for TJ,
// the numbers between them in thousandths of text space (9.4.3). A slice is
// valid during the call.
func (o *Operation) EachString(show func([]byte), adjust func(float64)) {
	switch o.Op {
	case OpShowText, OpNextLineShow:
		if s, ok := o.Bytes(0); ok {
			show(s)
		}
	case OpNextLineShowSpaced:
		if s, ok := o.Bytes(2); ok {
			show(s)
		}
	case OpShowSpaced:
		o.Elements(0, func(e Operand) bool {
			if n, ok := o.FloatOf(e); ok {
				adjust(n)
			} else if s, ok := o.BytesOf(e); ok {
				show(s)
			}
			return true
		})
	}
}

// decodeName returns the name in a token that begins with a solidus. #xx
// stands for a byte (ISO 32000-1, 7.3.5); a number sign without two digits
// stands for itself, as in MuPDF and pdf.js.
func decodeName(token []byte) string {
	token = token[1:]
	if bytes.IndexByte(token, '#') < 0 {
		return string(token)
	}
	name := make([]byte, 0, len(token))
	for i := 0; i < len(token); i++ {
		c := token[i]
		if c == '#' && i+2 < len(token) && hexDigit(token[i+1]) >= 0 && hexDigit(token[i+2]) >= 0 {
			c = byte(hexDigit(token[i+1])<<4 | hexDigit(token[i+2]))
			i += 2
		}
		name = append(name, c)
	}
	return string(name)
}

// decodeString returns the bytes of a string token, brackets included. They
// are the token's own where nothing needs decoding, else they are in the
// buffer, which is returned for the next time.
func decodeString(token, buffer []byte) (decoded, reuse []byte) {
	end := len(token)
	if last := token[end-1]; end > 1 && (last == ')' || last == '>') { // missing at the end of a broken stream
		end--
	}
	inner := token[1:end:end]
	if token[0] == '<' {
		buffer = appendHex(buffer[:0], inner)
		return buffer, buffer
	}
	if bytes.IndexByte(inner, '\\') < 0 && bytes.IndexByte(inner, '\r') < 0 {
		return inner, buffer
	}
	buffer = appendLiteral(buffer[:0], inner)
	return buffer, buffer
}

// appendHex decodes pairs of hexadecimal digits; a missing last one is 0
// (7.3.4.3).
func appendHex(dst, src []byte) []byte {
	high := -1
	for _, c := range src {
		d := hexDigit(c)
		switch {
		case d < 0:
		case high < 0:
			high = d
		default:
			dst = append(dst, byte(high<<4|d))
			high = -1
		}
	}
	if high >= 0 {
		dst = append(dst, byte(high<<4))
	}
	return dst
}

func hexDigit(c byte) int {
	switch {
	case c-'0' <= 9:
		return int(c - '0')
	case c|0x20 >= 'a' && c|0x20 <= 'f':
		return int(c|0x20-'a') + 10
	}
	return -1
}

// appendLiteral decodes escapes (7.3.4.2, Table 3). An end of line, whichever
// it is, is one line feed.
func appendLiteral(dst, src []byte) []byte {
	for i := 0; i < len(src); i++ {
		switch c := src[i]; {
		case c == '\\' && i+1 < len(src):
			dst, i = appendEscape(dst, src, i+1)
		case c == '\r':
			dst = append(dst, '\n')
			i = lineEnd(src, i)
		default:
			dst = append(dst, c)
		}
	}
	return dst
}

// appendEscape decodes what follows a reverse solidus at src[i] and returns
// the index of its last byte.
func appendEscape(dst, src []byte, i int) ([]byte, int) {
	const letters, meant = "nrtbf", "\n\r\t\b\f"
	c := src[i]
	if n := bytes.IndexByte([]byte(letters), c); n >= 0 {
		return append(dst, meant[n]), i
	}
	switch {
	case c-'0' <= 7:
		code, last := 0, i // one to three octal digits; overflow is ignored
		for ; last < i+3 && last < len(src) && src[last]-'0' <= 7; last++ {
			code = code<<3 | int(src[last]-'0')
		}
		return append(dst, byte(code)), last - 1
	case c == '\n' || c == '\r':
		return dst, lineEnd(src, i)
	}
	return append(dst, c), i
}

// lineEnd returns the index of the last byte of the end of line at i.
func lineEnd(src []byte, i int) int {
	if src[i] == '\r' && i+1 < len(src) && src[i+1] == '\n' {
		return i + 1
	}
	return i
}
