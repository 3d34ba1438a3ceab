package sizes

import (
	"fmt"
	"slices"
	"strings"
)

// A Match holds one answer for each name, in the order of the names.
type Match struct {
	Answers []Answer `json:"answers"`

	chart *Chart
	index *labelIndex
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
	Other    string   `json:"other,omitempty"`  // for KindOther, the size that it says
	May      []string `json:"may,omitempty"`    // for KindUnknown: labels of the sizes that it may be all the same
	Words    []string `json:"words,omitempty"`  // what nothing accounts for, where that is why it only may be
	Lacks    bool     `json:"-"`                // it speaks of what may be sizes, and of none of the chart alone
}

// A Claim is one of several answers that a rule gives for a name.
type Claim struct {
	Sizes []string `json:"sizes"` // labels
	By    string   `json:"by"`    // the entry or the part of the name that says so
}

// A Kind says what a name is to a chart. The zero Kind is not valid. Like all
// kinds here it is written in JSON as its String.
type Kind int

const (
	KindSize      Kind = iota + 1 // serves one or more sizes
	KindKeep                      // every print needs it
	KindDrop                      // no print needs it
	KindUnknown                   // the chart says nothing about it
	KindAmbiguous                 // the chart says two things about it
	KindOther                     // plainly says a size that the chart does not have
)

var kindWords = []string{"size", "keep", "drop", "unknown", "ambiguous", "other size"}

// String returns "size", "keep", "drop", "unknown", "ambiguous" or "other size".
func (k Kind) String() string { return word(int(k), kindWords) }

// MarshalText writes the word that String gives, for JSON; a Kind that is not valid is
// an error.
func (k Kind) MarshalText() ([]byte, error) { return wordText(int(k), kindWords) }

// UnmarshalText reads what MarshalText writes; any other word is an error.
func (k *Kind) UnmarshalText(text []byte) error { return unword((*int)(k), text, kindWords) }

// A Rule is the rule of [Chart.Match] that gave an answer. The zero Rule is not valid.
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
func (r Rule) String() string { return word(int(r), ruleWords) }

// MarshalText writes the word that String gives, for JSON; a Rule that is not valid is
// an error.
func (r Rule) MarshalText() ([]byte, error) { return wordText(int(r), ruleWords) }

// UnmarshalText reads what MarshalText writes; any other word is an error.
func (r *Rule) UnmarshalText(text []byte) error { return unword((*int)(r), text, ruleWords) }

// Match answers for each name what it is to the chart. Names are compared without regard to case,
// width, invisible characters, white space, dashes of one or another length and the padding of
// numbers. The rules, of which the first that answers wins:
//
//  1. The `layers` of a size have the name as an entry: that size. A name that
//     several sizes have as an entry serves them all.
//  2. The `layers` of a size have a glob that fits: that size. Where globs of several sizes fit,
//     the same glob serves them all and different ones are Ambiguous.
//  3. `drop` has the name or a glob that fits: Drop.
//  4. `keep` has the name or a glob that fits: Keep.
//  5. The name says which size it is: by the chart's `names` with a label in it, or by a label in
//     its usual spellings. These are: bare ("8", "XXL", "green"), with a size word or a sizing
//     system ("Sz. 08", "Gr. 38", "T38", "EU 38", "38 EU"), as a span or list ("10-14", "10 to 14",
//     "10/12", "10, 12 & 14"), or marked by a size word inside a longer name
//     ("Tollmere_front_sz08_cut"). A span serves every size of the chart between its ends, a list
//     just those named. An age is one size in all its spellings: "0-3m" is "0-3 months" and
//     "2 years" is "2yrs" or "Age 2"; a number by itself is none, and "3 m" is not size 3. A range
//     of ages is a span where both of its ends are sizes of the chart. A toddler's 2T is
//     "Toddler 2", and "T2" where the chart has no 2; "2-4T" begins at 2T. Plus sizes such as 2X
//     are never 2XL. One that names a size that is not in the chart is none of its sizes. Two names of a size
//     in one ("US 8 / EU 38", "8 (M)") must lead to one size, else they are Ambiguous; a part that
//     is not in the chart is passed over. A marked size is none where it is a length, the size of
//     another thing, petite, tall, long, plus or of a cup where the chart has the plain size alone
//     ("Size 8 tall", "Plus size 16"), open to one side ("up to size 14"), or followed by a word
//     that is not known and another number of the chart ("Gr. 36 sowie 40"), since the word may be
//     an "and" or a "to". Every other word of the name must be known to say nothing of the size: a
//     piece, a garment, a kind of line, a count, a version, a colour, a word of the chart's Name, or
//     one that all names have which say sizes. Else the name is Unknown, with the sizes that it
//     May be and the Words: "Size 14 full-length". Names that say one size for different people, or in
//     different versions, are in doubt as well. A colour is its label in any language.
//     A name that marks no size, such as "Front 12" or "Sleeve_XL", says the one that stands in it
//     where other names of the file agree with it but for that, and what takes turns there are
//     sizes in a row: "Front 10", "Front 12", "Front 14", or one row for each of several pieces.
//     What counts, as in "Page 1" and "Page 2", is none.
//  6. The name plainly says a size that the chart does not have, beyond or between its sizes: Other.
//     That takes a mark, as in "Size 34", or other bare names that lead to it in the steps of the
//     chart, as "34" and "36" do to 38. One that may have to do with a size of the chart, as
//     "34-46" and "M" may with 38, is none.
//  7. Unknown.
//
// Rule 5 holds for sizes with `layers` too. A glob is held against a name with and without the
// padding of its numbers. An entry that spells out a name with signs of a glob in it, such as
// "8 [converted]", finds that name by rule 1. An entry that is no valid glob finds only the name it
// spells out; Check refuses it. Names of more than 4 kB are Unknown.
func (c *Chart) Match(names []string) *Match {
	m := c.matcher()
	match := &Match{Answers: make([]Answer, len(names)), chart: c, index: m.index}
	for i, r := range m.readAll(names) {
		match.Answers[i] = m.answer(r)
		match.Answers[i].Position, match.Answers[i].Name = i, names[i]
	}
	return match
}

// Err returns an *[AmbiguousError] when there are names that fit two sizes which
// have nothing to do with each other, else nil.
func (m *Match) Err() error {
	ambiguous := func(a Answer) bool { return a.Kind == KindAmbiguous }
	if !slices.ContainsFunc(m.Answers, ambiguous) {
		return nil
	}
	return &AmbiguousError{slices.DeleteFunc(slices.Clone(m.Answers), func(a Answer) bool { return !ambiguous(a) })}
}

// Doubt returns a *[DoubtError] when there are names that may be one of some sizes, by their labels,
// but for words that nothing accounts for, else nil. A print of these sizes may lack what such
// names stand for.
func (m *Match) Doubt(labels []string) error {
	e := &DoubtError{}
	for _, a := range m.Answers {
		wanted := func(may string) bool { return slices.Contains(labels, may) }
		if len(a.Words) > 0 && slices.ContainsFunc(a.May, wanted) {
			e.Answers = append(e.Answers, a)
		}
	}
	if len(e.Answers) == 0 {
		return nil
	}
	return e
}

// A DoubtError lists the names that may be a wanted size, each with the words that make it doubtful.
type DoubtError struct {
	Answers []Answer // each of KindUnknown, with May and Words
}

func (e *DoubtError) Error() string {
	more := ""
	if others := each(e.Answers[1:], func(a Answer) string { return a.Name }); len(others) > 0 {
		more = fmt.Sprintf(" (and so for %s)", quoteSome(others))
	}
	a := e.Answers[0]
	return fmt.Sprintf("layer %s %s Put it in the chart under the layers of %s, under keep or under drop%s",
		quote(a.Name), a.Reason, sizeWords(a.May), more)
}

// Is reports whether target is [ErrBadRequest].
func (*DoubtError) Is(target error) bool { return target == ErrBadRequest }

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
	return fmt.Sprintf("layer %s %s%s; name it in the layers of the size it belongs to, or under keep or drop",
		quote(a.Name), a.Reason, more)
}

// Is reports whether target is [ErrBadRequest].
func (*AmbiguousError) Is(target error) bool { return target == ErrBadRequest }

// A matcher is a chart made ready to answer for names.
type matcher struct {
	index      *labelIndex
	exact      map[string][]int // fold of an entry of layers to its sizes
	globs      []sizeGlob
	formed     map[string][]int // fold of the chart's form of names to its sizes
	drop, keep []pattern
}

// sizeGlob is a glob and the sizes that have it.
type sizeGlob struct {
	pattern
	sizes []int
}

func (c *Chart) matcher() *matcher {
	m := &matcher{
		index:  c.index(),
		exact:  map[string][]int{},
		formed: map[string][]int{},
		drop:   patterns(c.Drop),
		keep:   patterns(c.Keep),
	}
	globs := map[string]int{} // exact form of a glob to its place in m.globs
	for i, size := range c.Sizes {
		if strings.Contains(c.Names, labelField) {
			name := fold(strings.ReplaceAll(c.Names, labelField, size.Label))
			m.formed[name] = append(m.formed[name], i)
		}
		for _, p := range patterns(size.Layers) {
			m.exact[p.exact] = appendNew(m.exact[p.exact], i)
			if p.glob.items == nil {
				continue
			}
			at, ok := globs[p.exact]
			if !ok {
				at = len(m.globs)
				globs[p.exact] = at
				m.globs = append(m.globs, sizeGlob{pattern: p})
			}
			m.globs[at].sizes = appendNew(m.globs[at].sizes, i)
		}
	}
	return m
}

func patterns(entries []string) []pattern {
	return each(entries, func(text string) pattern { p, _ := newPattern(text); return p })
}

// answer words what is read from a name.
func (m *matcher) answer(r reading) Answer {
	a := Answer{Kind: r.kind, Rule: r.rule, Reason: r.reason.String(), Claims: r.claims, Words: r.words}
	a.Lacks = slices.Contains(sizesUnread, r.reason.kind)
	if len(r.may) > 0 {
		a.May = m.index.names(r.may)
	}
	switch r.kind {
	case KindSize:
		a.Sizes = m.index.names(r.sizes)
	case KindOther:
		a.Other = r.other
	}
	return a
}

// readAll reads the names of one file, and settles what they say of each other.
func (m *matcher) readAll(names []string) []reading {
	readings := each(names, m.read)
	m.readSlots(names, readings)
	m.settle(readings)
	m.part(readings)
	m.versions(names, readings)
	m.others(names, readings)
	for i, r := range readings {
		if r.reason.kind == reasonDoubt {
			readings[i].words = asWritten(names[i], r.words)
			readings[i].reason.other = quoteAll(readings[i].words)
		}
	}
	return readings
}

// read asks the rules of [Chart.Match] in their order.
func (m *matcher) read(name string) reading {
	if len(name) > maxTextBytes {
		return unknown(reasonTooLong)
	}
	f := newFolded(name)
	if f.text == "" {
		return unknown(reasonEmpty)
	}
	if found := m.exact[f.text]; len(found) > 0 {
		return m.size(RuleLayers, reasonNamed, found)
	}
	if r := m.byGlob(f); r.kind != 0 {
		return r
	}
	if r := listed(m.drop, f, KindDrop, RuleDrop); r.kind != 0 {
		return r
	}
	if r := listed(m.keep, f, KindKeep, RuleKeep); r.kind != 0 {
		return r
	}
	if found := m.formed[f.text]; len(found) == 1 {
		return m.size(RuleLabel, reasonForm, found)
	}
	r := m.index.readName(f.text)
	if r.rule == 0 {
		r.rule = RuleLabel
	}
	return r
}

func (m *matcher) size(rule Rule, kind reasonKind, found []int) reading {
	why := reason{kind: kind, sizes: m.index.names(found)}
	return reading{kind: KindSize, rule: rule, sizes: found, reason: why}
}

// byGlob holds a name against the globs of all sizes.
func (m *matcher) byGlob(f folded) reading {
	var hits []sizeGlob
	var all []int
	for _, g := range m.globs {
		if g.matches(f) {
			hits = append(hits, g)
			all = append(all, g.sizes...)
		}
	}
	if len(hits) == 0 {
		return reading{}
	}
	slices.Sort(all)
	all = slices.Compact(all)
	r := reading{kind: KindAmbiguous, rule: RuleLayers, reason: reason{kind: reasonGlob}}
	for _, g := range hits {
		part := reason{text: g.text, sizes: m.index.names(g.sizes)}
		if len(g.sizes) == len(all) { // it speaks for the others too
			why := reason{kind: reasonGlob, parts: []reason{part}}
			return reading{kind: KindSize, rule: RuleLayers, sizes: g.sizes, reason: why}
		}
		r.claims = append(r.claims, Claim{Sizes: part.sizes, By: g.text})
		r.reason.parts = append(r.reason.parts, part)
	}
	return r
}

// listed holds a name against drop or keep.
func listed(list []pattern, f folded, kind Kind, rule Rule) reading {
	for _, p := range list {
		if p.exact == f.text {
			return reading{kind: kind, rule: rule, reason: reason{kind: reasonListed, text: rule.String()}}
		}
	}
	for _, p := range list {
		if p.matches(f) {
			why := reason{kind: reasonListedGlob, text: p.text, other: rule.String()}
			return reading{kind: kind, rule: rule, reason: why}
		}
	}
	return reading{}
}
