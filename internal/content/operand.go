package content

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

// String returns the kind in lower case.
func (k Kind) String() string {
	names := [...]string{"none", "number", "name", "string", "array", "dictionary", "keyword"}
	if int(k) < len(names) {
		return names[k]
	}
	return "none"
}

// Operand is one operand as a span of the stream, brackets and the slash of a
// name included. An array or a dictionary is one operand.
type Operand struct {
	Kind       Kind
	Start, End int
}
