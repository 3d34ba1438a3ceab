package sizes

import "fmt"

// A Kind says what a name is to a chart. The zero Kind is not valid.
type Kind int

// The kinds of answer.
const (
	KindSize      Kind = iota + 1 // serves one or more sizes
	KindKeep                      // every print needs it
	KindDrop                      // no print needs it
	KindUnknown                   // the chart says nothing about it
	KindAmbiguous                 // the chart says two things about it
)

// String returns the word for a kind: "size", "keep", "drop", "unknown",
// "ambiguous".
func (k Kind) String() string { return word(int(k), kindWords()) }

// MarshalText writes the word for a kind.
func (k Kind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads the word for a kind.
func (k *Kind) UnmarshalText(text []byte) error { return unword((*int)(k), text, kindWords()) }

func kindWords() []string { return []string{"size", "keep", "drop", "unknown", "ambiguous"} }

// A Rule is the rule of Chart.Match that gave an answer. The zero Rule is not
// valid.
type Rule int

// The rules, in the order in which they are asked.
const (
	RuleLayers Rule = iota + 1 // the layers of a size
	RuleDrop                   // the chart's drop
	RuleKeep                   // the chart's keep
	RuleLabel                  // a label in its usual spellings
	RuleNone                   // no rule answered
)

// String returns the word for a rule: "layers", "drop", "keep", "label",
// "none".
func (r Rule) String() string { return word(int(r), ruleWords()) }

// MarshalText writes the word for a rule.
func (r Rule) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads the word for a rule.
func (r *Rule) UnmarshalText(text []byte) error { return unword((*int)(r), text, ruleWords()) }

func ruleWords() []string { return []string{"layers", "drop", "keep", "label", "none"} }

// A Role says why a size was picked. The zero Role is not valid.
type Role int

// The roles of a size.
const (
	RoleWanted  Role = iota + 1 // asked for
	RoleBelow                   // a neighbour below a wanted size
	RoleAbove                   // a neighbour above a wanted size
	RoleBetween                 // a neighbour above one wanted size and below another
)

// String returns the word for a role: "wanted", "below", "above", "between".
func (r Role) String() string { return word(int(r), roleWords()) }

// MarshalText writes the word for a role.
func (r Role) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads the word for a role.
func (r *Role) UnmarshalText(text []byte) error { return unword((*int)(r), text, roleWords()) }

func roleWords() []string { return []string{"wanted", "below", "above", "between"} }

// A NoteKind says what a note is about. The zero NoteKind is not valid.
type NoteKind int

// The kinds of note.
const (
	NoteChartEnd         NoteKind = iota + 1 // the chart has fewer neighbours than asked for
	NoteMissingNeighbour                     // a neighbour, or a size between two of a body, has no layer in the file
	NoteSharedLayer                          // a layer that stays draws sizes that were not picked
	NoteBeyondChart                          // a measurement is smaller or larger than all sizes of the chart
)

// String returns the word for a kind of note: "chart end", "missing
// neighbour", "shared layer", "beyond chart".
func (k NoteKind) String() string { return word(int(k), noteWords()) }

// MarshalText writes the word for a kind of note.
func (k NoteKind) MarshalText() ([]byte, error) { return []byte(k.String()), nil }

// UnmarshalText reads the word for a kind of note.
func (k *NoteKind) UnmarshalText(text []byte) error { return unword((*int)(k), text, noteWords()) }

func noteWords() []string {
	return []string{"chart end", "missing neighbour", "shared layer", "beyond chart"}
}

// word names the value n, counted from 1.
func word(n int, words []string) string {
	if n < 1 || n > len(words) {
		return fmt.Sprintf("invalid(%d)", n)
	}
	return words[n-1]
}

// unword is the reverse of word.
func unword(n *int, text []byte, words []string) error {
	for i, w := range words {
		if w == string(text) {
			*n = i + 1
			return nil
		}
	}
	return fmt.Errorf("%q is not one of %s", text, quoteAll(words))
}
