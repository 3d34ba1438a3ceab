package sizes

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// Want says which sizes a print shall have: by their labels or for a body.
type Want struct {
	Labels  []string // labels, lists or spans, each as Resolve takes it
	Body    Body     // instead of Labels: the sizes that Chart.Fit finds
	Between Between  // for Body
	Below   int      // neighbours below each wanted size
	Above   int      // neighbours above each wanted size
}

// A Pick says what becomes of each name: the positions of Positions, Unknown
// and Dropped are disjoint and together all there are.
type Pick struct {
	Sizes []PickedSize // in chart order
	Fit   *Fit         // of the body that was asked for; nil for labels
	Notes []Note

	kept, unknown, dropped, positions []int
}

// A PickedSize is a size of the print.
type PickedSize struct {
	Label     string `json:"label"`
	Role      Role   `json:"role"`
	Positions []int  `json:"positions"` // of its names, ascending, at least one; none where Chart.Pick picked
}

// A Note is something worth knowing that did not stop the pick.
type Note struct {
	Kind NoteKind `json:"kind"`
	Text string   `json:"text"` // one line
}

// Pick chooses the wanted sizes and their neighbours. Each wanted size is
// widened by Below and Above in chart order; what is picked may have gaps. For a
// body, the sizes between those it falls in are picked too, so that one can
// grade from the one to the other. At the ends of the chart there are fewer
// neighbours, which a note says, and so does one for a neighbour or a size
// between without a layer, which is left out.
//
// Errors, in this order: a want with neither labels nor a body, with both, or
// with negative numbers; an *UnknownSizeError or *AmbiguousSizeError for a
// label, what Chart.Fit says of the body; an *AmbiguousError for names; a
// *NoMatchError when no name serves any size; a *MissingLayerError when none
// serves a wanted size.
func (m *Match) Pick(w Want) (*Pick, error) {
	if m.index == nil { // a Match that Chart.Match did not make
		return nil, fmt.Errorf("the match has no chart: %w", &UnknownSizeError{Want: strings.Join(w.Labels, ",")})
	}
	p, roles, wanted, err := m.chart.wish(m.index, w)
	if err != nil {
		return nil, err
	}
	if err := m.Err(); err != nil {
		return nil, err
	}
	layers := m.layers()
	if err := m.missing(wanted, layers); err != nil {
		return nil, err
	}
	p.choose(m.labels, roles, layers)
	p.sort(m.Answers)
	p.noteShared(m)
	return p, nil
}

// Pick chooses sizes of the chart as Match.Pick does, without names: the pick
// has no positions. It serves to ask a chart before there is a file.
func (c *Chart) Pick(w Want) (*Pick, error) {
	p, roles, _, err := c.wish(newLabelIndex(c.Labels()), w)
	if err != nil {
		return nil, err
	}
	for i, role := range roles {
		if role != 0 {
			p.Sizes = append(p.Sizes, PickedSize{Label: c.Sizes[i].Label, Role: role, Positions: []int{}})
		}
	}
	return p, nil
}

// Positions returns the positions of the names that stay and are on: those of
// the picked sizes and those of keep, ascending.
func (p *Pick) Positions() []int { return slices.Clone(p.positions) }

// Kept returns the positions of keep, ascending. They are among Positions.
func (p *Pick) Kept() []int { return slices.Clone(p.kept) }

// Unknown returns the positions of names that the chart does not know,
// ascending. They stay in their default state.
func (p *Pick) Unknown() []int { return slices.Clone(p.unknown) }

// Dropped returns the positions of the names that go: those of other sizes
// and those of drop, ascending.
func (p *Pick) Dropped() []int { return slices.Clone(p.dropped) }

// MarshalJSON writes sizes, fit (where there is one), positions, kept, unknown,
// dropped and notes.
func (p *Pick) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Sizes     []PickedSize `json:"sizes"`
		Fit       *Fit         `json:"fit,omitempty"`
		Positions []int        `json:"positions"`
		Kept      []int        `json:"kept"`
		Unknown   []int        `json:"unknown"`
		Dropped   []int        `json:"dropped"`
		Notes     []Note       `json:"notes"`
	}{orEmpty(p.Sizes), p.Fit, orEmpty(p.positions), orEmpty(p.kept), orEmpty(p.unknown), orEmpty(p.dropped), orEmpty(p.Notes)})
}

// orEmpty makes JSON write [] for nothing.
func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}

func (p *Pick) note(kind NoteKind, format string, args ...any) {
	p.Notes = append(p.Notes, Note{Kind: kind, Text: fmt.Sprintf(format, args...)})
}

// choose lists the sizes that have a role and a layer.
func (p *Pick) choose(labels []string, roles []Role, layers [][]int) {
	for i, role := range roles {
		switch {
		case role == 0:
		case len(layers[i]) == 0:
			p.note(NoteMissingNeighbour, "%s %q has no layer in the file", missingWord(role), labels[i])
		default:
			p.Sizes = append(p.Sizes, PickedSize{Label: labels[i], Role: role, Positions: slices.Clone(layers[i])})
		}
	}
}

func missingWord(role Role) string {
	if role == RoleBetween {
		return "the size between"
	}
	return "the neighbour"
}

// sort says of each answer whether it stays.
func (p *Pick) sort(answers []Answer) {
	for _, a := range answers {
		switch {
		case a.Kind == KindKeep:
			p.kept = append(p.kept, a.Position)
			p.positions = append(p.positions, a.Position)
		case a.Kind == KindSize && slices.ContainsFunc(a.Sizes, p.has):
			p.positions = append(p.positions, a.Position)
		case a.Kind == KindUnknown:
			p.unknown = append(p.unknown, a.Position)
		default:
			p.dropped = append(p.dropped, a.Position)
		}
	}
}

func (p *Pick) has(label string) bool {
	return slices.ContainsFunc(p.Sizes, func(s PickedSize) bool { return s.Label == label })
}

// noteShared notes the layers that draw other sizes too.
func (p *Pick) noteShared(m *Match) {
	for _, a := range m.Answers {
		if !slices.ContainsFunc(a.Sizes, p.has) {
			continue
		}
		others := slices.DeleteFunc(slices.Clone(a.Sizes), p.has)
		if len(others) > 0 {
			p.note(NoteSharedLayer, "layer %q draws %s as well", a.Name, sizeWords(others))
		}
	}
}
