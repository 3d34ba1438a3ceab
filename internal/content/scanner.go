package content

// maxOperands bounds the operands kept for an operation. Operators take at
// most 33 (SCN with 32 colorants, ISO 32000-1, Table C.1, and a pattern).
const maxOperands = 128

// Scanner steps through the operations of a content stream. It allocates
// nothing for each operation and never fails: bytes that are no token are
// passed over, and Damaged tells of them.
type Scanner struct {
	// ColourComponents, if set, gives the number of components of a colour
	// space that an inline image calls by its resource name; false if it is
	// unknown. It helps to measure image data.
	ColourComponents func(name string) (int, bool)

	data     []byte
	pos      int
	operands [maxOperands]Operand

	damage      []Damage
	damageCount int
	measure     measurer
}

// NewScanner begins at the start of data, which it never changes.
func NewScanner(data []byte) *Scanner {
	s := &Scanner{}
	s.Reset(data)
	return s
}

// Reset begins anew with other data.
func (s *Scanner) Reset(data []byte) {
	s.data, s.pos, s.damage, s.damageCount = data, 0, nil, 0
	s.measure = measurer{budget: measureBudget}
}

// Next reads the next operation; false at the end. Operands without an
// operator at the end of the stream are no operation.
func (s *Scanner) Next(op *Operation) bool {
	data, i, n, start := s.data, s.pos, 0, -1
	for i < len(data) {
		var kind Kind
		var end int
		switch classes[data[i]] {
		case white:
			i++
			continue
		case percent:
			i = commentEnd(data, i)
			continue
		case numeric:
			kind, end = Number, numberEnd(data, i)
		case regular:
			end = wordEnd(data, i)
			word := data[i:end]
			code := Lookup(word)
			if code != OpUnknown || !isLiteral(word) {
				if start < 0 {
					start = i
				}
				s.finish(op, code, s.operands[:n], start, i, end)
				return true
			}
			kind = Keyword
		default:
			kind, end = s.lex(i)
		}
		if kind != 0 {
			if start < 0 {
				start = i
			}
			if n == maxOperands {
				n = s.dropOperands()
			}
			s.operands[n] = Operand{kind, i, end}
			n++
		}
		i = end
	}
	s.pos = i
	if n > 0 {
		s.report(LeftOver, start, len(data))
	}
	return false
}

// finish fills op with the operator at data[word:end] and what comes before.
func (s *Scanner) finish(op *Operation, code Op, operands []Operand, start, word, end int) {
	first := 0
	if kinds := operators[code].operands; kinds != "*" {
		first = max(0, len(operands)-len(kinds))
	}
	op.Op, op.Start, op.End = code, start, end
	op.Operands, op.first = operands, first
	op.data, op.word = s.data, word
	op.Inline = InlineImage{}
	if code == OpInlineImage {
		op.Inline, op.End = s.inlineImage(word, end)
	}
	if len(operands) > 0 && operands[0].Start != start {
		s.report(TooManyOperands, start, op.End)
	}
	s.pos = op.End
}

// lex reads what is neither a number nor a word and reports what is wrong
// with it.
func (s *Scanner) lex(i int) (kind Kind, end int) {
	kind, end, ok := lexOperand(s.data, i)
	switch {
	case kind == 0:
		s.report(StrayBytes, i, end)
	case !ok:
		s.report(UnclosedOperand, i, end)
	}
	return kind, end
}

// dropOperands makes room by dropping the older half.
func (s *Scanner) dropOperands() int {
	return copy(s.operands[:], s.operands[maxOperands/2:])
}

// isLiteral tells whether a word is an operand (7.3.2, 7.3.9).
func isLiteral(word []byte) bool {
	switch string(word) {
	case "true", "false", "null":
		return true
	}
	return false
}
