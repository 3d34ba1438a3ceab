package content

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

// Keyword returns the operator as it stands in the stream, "BI" for an inline
// image. Not to be changed.
func (o *Operation) Keyword() []byte {
	end := o.End
	if o.Op == OpInlineImage {
		end = o.word + len("BI")
	}
	return o.data[o.word:end:end]
}

// Raw returns the bytes of the whole operation. Not to be changed.
func (o *Operation) Raw() []byte { return o.data[o.Start:o.End:o.End] }

// RawOf returns the bytes of an operand or element. Not to be changed.
func (o *Operation) RawOf(e Operand) []byte { return o.data[e.Start:e.End:e.End] }

// Count returns how many operands belong to the operator: all for operators
// that take any number and for unknown ones, else at most as many as the
// operator takes.
func (o *Operation) Count() int { return len(o.Operands) - o.first }

// Complete tells whether all operands of the operator are there and of the
// kinds that it takes.
func (o *Operation) Complete() bool {
	kinds, variable := o.Op.signature()
	if variable {
		return true
	}
	if o.Count() != len(kinds) {
		return false
	}
	for i := range len(kinds) {
		if !fits(kinds[i], o.Operands[o.first+i].Kind) {
			return false
		}
	}
	return true
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
	if e.Kind == Dict {
		eachEntry(o.data, e, yield)
	}
}
