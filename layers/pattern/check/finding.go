package check

import (
	"fmt"
	"slices"
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
	// Title says in a few words what is found, Why in a sentence why it matters.
	Title string `json:"title"`
	Why   string `json:"why"`
}

// Rules returns all rules, in the order in which the findings of a file come.
func Rules() []Rule {
	return []Rule{
		{"no-layers", Error, "a file without layers", "Nobody can print a single size from it."},
		{"no-sizes", Error, "no layer is a size", "Nobody can print a single size from it."},
		{"size-missing", Error, "a size of the chart without a layer", "Whoever wants this size gets nothing."},
		{"layer-missing", Error, "a layer that other files of the pattern have", "The print of this file lacks what the others show."},
		{"page-missing", Error, "a size that is missing on a page where smaller and larger sizes are", "The print of this size lacks a line."},
		{"layer-ambiguous", Error, "a name that says two sizes", "Nothing tells for which size to print it."},
		{"layer-unknown", Warning, "a layer that is no size and is not listed in the chart", "Nothing tells whether a print needs it."},
		{"layer-empty", Warning, "a layer that holds nothing", "Who switches it on wonders what is missing."},
		{"layer-off", Warning, "a layer that is off when the file is opened", "Who prints the file as it opens gets it without this layer."},
		{"layer-not-printed", Warning, "a layer that is seen but not printed", "It is on the screen and not on the paper."},
		{"layer-locked", Warning, "a layer that cannot be switched", "A viewer does not let it be switched off."},
		{"layer-unlisted", Warning, "a layer that viewers do not list", "Nobody can switch it."},
		{"layer-order", Warning, "a size out of order in the list of layers", "Who looks for her neighbouring sizes picks the wrong ones."},
		{"layer-extent", Warning, "a size that does not grade with the others", "Two sizes may be swapped, or a line may be on the wrong layer."},
		{"name-form", Warning, "a size name unlike the others", "People and programs look for names of one form."},
		{"name-alike", Warning, "names that differ only in how they are written", "Whoever looks for the one does not find the other."},
		{"name-repeated", Warning, "the same name twice", "Nothing tells the two apart."},
		{"name-unclear", Warning, "names that a screen reader or plain Latin letters do not tell apart", "Who hears the names, or has a program that knows plain letters alone, cannot choose."},
		{"content-outside", Warning, "content that belongs to no layer", "It cannot be switched off."},
		{"private-data", Warning, "private data of the drawing program", "It may hold the whole drawing a second time, with every size; the file is larger than it need be."},
		{"square-wrong", Error, "a test square that is not of the size it says", "Whoever trusts it prints every line at the wrong size."},
		{"scale-differs", Error, "pages that are drawn at different scales", "The pieces of one page do not fit those of another."},
		{"square-on-size", Warning, "a test square on the layer of a size", "Whoever leaves that size out has nothing to measure."},
		{"line-missing", Error, "a size of which no line is found", "Whoever wants this size gets nothing."},
		{"line-shared", Warning, "a line that two sizes share", "It cannot be left out with one of them."},
		{"line-alike", Warning, "lines of two sizes that look alike", "Nobody can follow the one on paper."},
		{"line-alike-grey", Note, "lines of two sizes that look alike without colour", "On a printer without colour nobody can follow the one."},
		{"line-unowned", Note, "lines that are no size's", "They stay in every print."},
		{"square-missing", Note, "no test square", "Nobody can tell from the paper whether it came out at its size."},
		{"text-repeated", Note, "a text that stands on every size", "It is printed several times over; it belongs on a layer for all sizes."},
		{"accepted-unused", Note, "an accepted finding that is not there any more", "The entry in the chart can go."},
	}
}

// rule returns a rule by its id and its place among the rules.
func rule(id string) (Rule, int) {
	all := Rules()
	at := slices.IndexFunc(all, func(r Rule) bool { return r.ID == id })
	return all[at], at
}
