package check

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"
)

// A Finding is something that a designer should look at.
type Finding struct {
	// ID is that of a rule, such as "name-form".
	ID       string   `json:"id"`
	Severity Severity `json:"severity"`
	// File is the name of the file.
	File string `json:"file"`
	// Layer is the name of the layer as it stands in the file, Object what tells
	// it from others of that name; "" and 0 where the finding is about the file.
	Layer  string `json:"layer,omitempty"`
	Object int    `json:"object,omitempty"`
	// Pages are those it is about, ascending; none where it is about all or none.
	Pages []int `json:"pages,omitempty"`
	// Text is a sentence that says what is the matter.
	Text string `json:"text"`
	// Do is a sentence that says what to do.
	Do string `json:"do"`
	// Rename is the new name proposed for the layer, "" where none is.
	Rename string `json:"rename,omitempty"`
	// Accepted is the reason that the chart gives for accepting it.
	Accepted string `json:"accepted,omitempty"`
}

// A Severity says how much a finding matters. The zero Severity is not valid.
type Severity int

// The severities.
const (
	Note    Severity = iota + 1 // worth knowing; prints come out right
	Warning                     // a sewist or her program may be misled
	Error                       // a print lacks lines, or a size cannot be had
)

var severities = []string{"note", "warning", "error"}

// String returns the word for a severity: "note", "warning", "error".
func (s Severity) String() string {
	if s < Note || s > Error {
		return fmt.Sprintf("invalid(%d)", int(s))
	}
	return severities[s-1]
}

// MarshalText writes the word for a severity.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads the word for a severity.
func (s *Severity) UnmarshalText(text []byte) error {
	for i, w := range severities {
		if w == string(text) {
			*s = Severity(i + 1)
			return nil
		}
	}
	return fmt.Errorf("%q is not one of note, warning and error", text)
}

// A Rule is one thing that Check looks for.
type Rule struct {
	ID string `json:"id"`
	// Severity is that of its findings; an empty layer is an Error where it is all
	// that a size has.
	Severity Severity `json:"severity"`
	// Print is true where it matters to whoever prints the file as it is; what it is
	// false for, the designer alone can mend and need know.
	Print bool `json:"print"`
	// Title says in a few words what is found, Why in a sentence why it matters.
	Title string `json:"title"`
	Why   string `json:"why"`
}

// rulesTable has a row for each rule: id, severity, whom it matters to besides the
// designer ("print", else "file"), title and why.
//
//go:embed rules.tsv
var rulesTable string

// rules are those of the table.
var rules = sync.OnceValue(func() (list []Rule) {
	for line := range strings.Lines(rulesTable) {
		cells := strings.Split(strings.TrimSpace(line), "\t")
		r := Rule{ID: cells[0], Print: cells[2] == "print", Title: cells[3], Why: cells[4]}
		if err := r.Severity.UnmarshalText([]byte(cells[1])); err != nil {
			panic(err) // the table is part of the program
		}
		list = append(list, r)
	}
	return list
})

// Rules returns all rules, in the order in which the findings of a file come.
func Rules() []Rule { return slices.Clone(rules()) }

// rule returns a rule by its id and its place among the rules.
func rule(id string) (Rule, int) {
	all := rules()
	at := slices.IndexFunc(all, func(r Rule) bool { return r.ID == id })
	return all[at], at
}
