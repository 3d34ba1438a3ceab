package sizes

import (
	"fmt"
	"slices"
)

// A Kind says what a name is to a chart. The zero Kind is not valid. Like all
// kinds here it is written in JSON as its String.
type Kind int

// The kinds of answer.
const (
	KindSize      Kind = iota + 1 // serves one or more sizes
	KindKeep                      // every print needs it
	KindDrop                      // no print needs it
	KindUnknown                   // the chart says nothing about it
	KindAmbiguous                 // the chart says two things about it
)

var kindWords = []string{"size", "keep", "drop", "unknown", "ambiguous"}

// String returns "size", "keep", "drop", "unknown" or "ambiguous".
func (k Kind) String() string                   { return word(int(k), kindWords) }
func (k Kind) MarshalText() ([]byte, error)     { return []byte(k.String()), nil }
func (k *Kind) UnmarshalText(text []byte) error { return unword((*int)(k), text, kindWords) }

// A Rule is the rule of [Chart.Match] that gave an answer. The zero Rule is not
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

var ruleWords = []string{"layers", "drop", "keep", "label", "none"}

// String returns "layers", "drop", "keep", "label" or "none".
func (r Rule) String() string                   { return word(int(r), ruleWords) }
func (r Rule) MarshalText() ([]byte, error)     { return []byte(r.String()), nil }
func (r *Rule) UnmarshalText(text []byte) error { return unword((*int)(r), text, ruleWords) }

// A Role says why a size was picked. The zero Role is not valid.
type Role int

// The roles of a size.
const (
	RoleWanted  Role = iota + 1 // asked for
	RoleBelow                   // a neighbour below a wanted size
	RoleAbove                   // a neighbour above a wanted size
	RoleBetween                 // a neighbour above one wanted size and below another
)

var roleWords = []string{"wanted", "below", "above", "between"}

// String returns "wanted", "below", "above" or "between".
func (r Role) String() string                   { return word(int(r), roleWords) }
func (r Role) MarshalText() ([]byte, error)     { return []byte(r.String()), nil }
func (r *Role) UnmarshalText(text []byte) error { return unword((*int)(r), text, roleWords) }

// A NoteKind says what a note is about. The zero NoteKind is not valid.
type NoteKind int

// The kinds of note.
const (
	NoteChartEnd         NoteKind = iota + 1 // the chart has fewer neighbours than asked for
	NoteMissingNeighbour                     // a neighbour, or a size between two of a body, has no layer in the file
	NoteSharedLayer                          // a layer that is kept draws sizes that were not picked
	NoteBeyondChart                          // a measurement is smaller or larger than all sizes of the chart
)

var noteWords = []string{"chart end", "missing neighbour", "shared layer", "beyond chart"}

// String returns "chart end", "missing neighbour", "shared layer" or "beyond
// chart".
func (k NoteKind) String() string                   { return word(int(k), noteWords) }
func (k NoteKind) MarshalText() ([]byte, error)     { return []byte(k.String()), nil }
func (k *NoteKind) UnmarshalText(text []byte) error { return unword((*int)(k), text, noteWords) }

// word names the value n, counted from 1.
func word(n int, words []string) string {
	if n < 1 || n > len(words) {
		return fmt.Sprintf("invalid(%d)", n)
	}
	return words[n-1]
}

// unword is the reverse of word.
func unword(n *int, text []byte, words []string) error {
	i := slices.Index(words, string(text))
	if i < 0 {
		return fmt.Errorf("%q is not one of %s", text, quoteAll(words))
	}
	*n = i + 1
	return nil
}
