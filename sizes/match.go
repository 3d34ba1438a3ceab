package sizes

import (
	"fmt"
	"strings"
)

// A Match holds one answer for each name, in the order of the names.
type Match struct {
	Answers []Answer `json:"answers"`

	chart   *Chart
	labels  []string // of the chart
	index   *labelIndex
	expects string // what a layer of the chart may be called
}

// An Answer says what a name is to the chart, and why.
type Answer struct {
	Position int      `json:"position"` // in the names that were matched
	Name     string   `json:"name"`
	Kind     Kind     `json:"kind"`
	Rule     Rule     `json:"rule"`             // which rule answered
	Sizes    []string `json:"sizes,omitempty"`  // labels, in chart order; for KindSize at least one
	Reason   string   `json:"reason"`           // completes a sentence that begins with the name
	Claims   []Claim  `json:"claims,omitempty"` // for KindAmbiguous, two or more
}

// A Claim is one of several answers that a rule gives for a name.
type Claim struct {
	Sizes []string `json:"sizes"` // labels
	By    string   `json:"by"`    // the entry or the part of the name that says so
}

// Match answers for each name what it is to the chart. Names are compared
// without regard to case, width, invisible characters, white space, dashes of
// one or another length and the padding of numbers. The rules, of which the
// first that answers wins:
//
//  1. The `layers` of a size have the name as an entry: that size. A name that
//     several sizes have as an entry serves them all.
//  2. The `layers` of a size have a glob that fits: that size. Where globs of
//     several sizes fit, the same glob serves them all and different ones are
//     Ambiguous.
//  3. `drop` has the name or a glob that fits: Drop.
//  4. `keep` has the name or a glob that fits: Keep.
//  5. The name says which size it is: by the chart's `names` with a label in
//     it, or by a label in its usual spellings. These are: bare ("8", "XXL",
//     "green"), with a size word or a sizing system ("Sz. 08", "Gr. 38", "T38",
//     "EU 38", "38 EU"), as a span or list ("10-14", "10 to 14", "10/12", "10,
//     12 & 14"), or marked by a size word inside a longer name
//     ("Tollmere_front_sz08_cut"). A span serves every size of the chart
//     between its ends, a list just those named. An age is one size in all its
//     spellings: "0-3m" is "0-3 months" and "2 years" is "2yrs" or "Age 2"; a
//     number by itself is none, and "3 m" is not size 3. A range of ages is a span
//     where both of its ends are sizes of the chart. A toddler's 2T is "Toddler
//     2", and "T2" where the chart has no 2; "2-4T" begins at 2T. Plus sizes such
//     as 2X are never 2XL. One that names a size that is
//     not in the chart is Unknown. Two names of a size in one ("US 8 / EU 38", "8
//     (M)") must lead to one size, else they are Ambiguous; a part that is not in
//     the chart is passed over. A marked size is none where it is a length, the
//     size of another thing, petite, tall, long, plus or of a cup where the chart
//     has the plain size alone ("Size 8 tall", "Plus size 16"), open to one side
//     ("up to size 14"), or followed by a word that is not known and another number
//     of the chart ("Gr. 36 sowie 40"), since the word may be an "and" or a "to".
//  6. Unknown.
//
// Rule 5 holds for sizes with `layers` too. A glob is held against a name with
// and without the padding of its numbers. An entry that spells out a name with
// signs of a glob in it, such as "8 [converted]", finds that name by rule 1.
// An entry that is no valid glob finds only the name it spells out; Check
// refuses it. Names of more than 4 kB are Unknown.
func (c *Chart) Match(names []string) *Match {
	m := c.matcher()
	match := &Match{
		Answers: make([]Answer, len(names)),
		chart:   c,
		labels:  m.index.labels,
		index:   m.index,
		expects: c.expects(),
	}
	for i, name := range names {
		answer := m.answer(name)
		answer.Position, answer.Name = i, name
		match.Answers[i] = answer
	}
	return match
}

// expects gives an example of a layer name that the chart knows.
func (c *Chart) expects() string {
	if len(c.Sizes) == 0 {
		return ""
	}
	first := c.Sizes[0]
	switch {
	case len(first.Layers) > 0:
		return first.Layers[0]
	case strings.Contains(c.Names, labelField):
		return strings.ReplaceAll(c.Names, labelField, first.Label)
	}
	return first.Label
}

// An AmbiguousError lists the names that a chart answers in two ways.
type AmbiguousError struct {
	Answers []Answer // each of KindAmbiguous
}

func (e *AmbiguousError) Error() string {
	a := e.Answers[0]
	more := ""
	if n := len(e.Answers) - 1; n > 0 {
		more = fmt.Sprintf(" (and %s more)", count(n, "name"))
	}
	return fmt.Sprintf("layer %q %s%s; name it in the layers of the size it belongs to, or under keep or drop", a.Name, a.Reason, more)
}

// Err returns an *AmbiguousError when there are names that fit two sizes which
// have nothing to do with each other, else nil.
func (m *Match) Err() error {
	var bad []Answer
	for _, a := range m.Answers {
		if a.Kind == KindAmbiguous {
			bad = append(bad, a)
		}
	}
	if len(bad) == 0 {
		return nil
	}
	return &AmbiguousError{Answers: bad}
}
