package sizes

import (
	"fmt"
	"strings"
)

// A Drafted is a first chart, made from layer names alone.
type Drafted struct {
	// Chart has the sizes that the names tell, smallest first, the form that
	// most names have, and what every print needs under Keep. It has no sizes
	// where the names tell none; else it passes Check.
	Chart *Chart `json:"chart"`
	// Reasons say how the sizes were found and ordered, a sentence each.
	Reasons []string `json:"reasons"`
	// Doubts are what a person has to decide. Without any, the chart answers
	// for every name.
	Doubts []Doubt `json:"doubts,omitempty"`
}

// A Doubt is something that names do not tell.
type Doubt struct {
	Position int    `json:"position"`       // of the name in the names; -1 where the doubt is about the chart
	Name     string `json:"name,omitempty"` // of the layer
	Reason   string `json:"reason"`         // completes a sentence that begins with the name; about the chart it is one by itself
}

// Draft makes a first chart from the layer names of a pattern, in the order of
// its file; those of several files may follow one another. It takes these
// steps:
//
//  1. A name that says a size as Match would read it, with a chart or without,
//     gives that size: "Size 08", "EU 38", "front_sz12", "XL", "8 (M)". A number or
//     letter in a longer name that nothing marks is none. A bare number among more
//     with a size word is one, in doubt, where it goes on in their steps. Of two that a name says
//     for one size, that counts which takes more values over all names; the other
//     goes where it stands beside several, as in "8 (S)" and "10 (S)".
//  2. A span or a list of two, such as "10-14" or "XS/S", is a layer of several
//     sizes where its ends are sizes by themselves. It is one size, with that
//     label, where neither is.
//  3. Where names tell fewer than two sizes by number or letter, layers named
//     by a colour, "red" or "Size red", are sizes, in the order of the names.
//     Nothing tells that order is right, so there is a doubt.
//  4. Ages are ordered from the youngest: preemie, newborn, months, years, and
//     toddlers' sizes such as 2T among these. Numbers that go on behind them need
//     no size word; one that may be months is a doubt, as 12 is beside "12m".
//     Numbers are ordered by value, then letters from small to large. Where both
//     are there, or sizes of several kinds such as 16 and 16W, 2X and 2XL or cups,
//     the order is in doubt; so are names of one size for different people.
//  5. A label is written as most names write it. Chart.Names is the form of
//     most names.
//  6. A name that tells no size goes under Keep where it has a word for what
//     every print needs: text, grainline, notches, test square and the like.
//     A background is kept too, since a print that has too much of it is none
//     the worse. Any other name is a doubt, and so is one that the chart reads
//     in two ways.
//
// The order of the names decides nothing but the order of colours, of Keep and of
// the doubts, and which spelling of one name stands there. Names are compared as
// Match does.
func Draft(names []string) *Drafted {
	d := &drafting{names: names, out: &Drafted{Chart: &Chart{}, Reasons: []string{}}}
	d.read()
	d.order()
	d.labels()
	d.form()
	d.rest()
	return d.out
}

// drafting is a chart in the making.
type drafting struct {
	names      []string
	statements []statement
	left       []statement     // those that are no sizes after all
	goesOn     map[string]bool // names of bare numbers in one series with marked ones
	systems    map[string]bool // sizing systems that single sizes name
	steps      []*draftStep    // the sizes
	out        *Drafted
}

// A draftStep is one size with the statements that name it and no other.
type draftStep struct {
	rank  draftRank
	label string
	from  []statement
}

func (d *drafting) because(format string, args ...any) {
	d.out.Reasons = append(d.out.Reasons, fmt.Sprintf(format, args...))
}

// doubt adds a doubt about the chart.
func (d *drafting) doubt(format string, args ...any) {
	d.out.Doubts = append(d.out.Doubts, Doubt{Position: -1, Reason: fmt.Sprintf(format, args...)})
}

// labels writes the label of each size.
func (d *drafting) labels() {
	for _, s := range d.steps {
		s.label = s.written(len(d.systems) > 1)
	}
	d.doubtSeries()
	d.doubtGroups()
	seen := map[string]bool{}
	for _, s := range d.steps {
		key := fold(s.label)
		if seen[key] || key == "" || len(d.out.Chart.Sizes) == maxSizes {
			continue // what it names is a doubt then, since the chart reads it otherwise
		}
		seen[key] = true
		d.out.Chart.Sizes = append(d.out.Chart.Sizes, Size{Label: s.label})
	}
}

// draftReason is the reason of an answer for somebody who has no chart yet.
func draftReason(reason string) string {
	if reason == saysNothing {
		return "says no size, and has no word for what every print needs"
	}
	if says, ok := strings.CutSuffix(reason, notInChart); ok {
		return says + ", which no other layer names as a size"
	}
	return reason
}

// rest matches all names with the sizes found, and finds a place for those that
// are no size.
func (d *drafting) rest() {
	kept, left := map[string]bool{}, map[string]statement{}
	for _, s := range d.left {
		left[fold(s.name)] = s
	}
	for _, a := range d.out.Chart.Match(d.names).Answers {
		key := fold(a.Name)
		if a.Kind == KindSize || kept[key] {
			continue
		}
		kept[key] = true // once for each name
		if a.Kind == KindUnknown && isShared(a.Name) && checkText("", "", a.Name) == nil && len(d.out.Chart.Keep) < maxPatterns {
			d.out.Chart.Keep = append(d.out.Chart.Keep, literalGlob(a.Name))
			continue
		}
		reason := d.besideAges(left, a.Name)
		if reason == "" {
			reason = draftReason(a.Reason)
		}
		d.out.Doubts = append(d.out.Doubts, Doubt{Position: a.Position, Name: a.Name, Reason: reason})
	}
	if len(d.out.Chart.Sizes) == 0 {
		d.doubt("No layer is named after a size, by number, letter, age or colour; the chart needs its sizes written by hand.")
	}
}
