package sizes

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/fault"
)

// Want says which sizes a print shall have: by their labels or for a body.
type Want struct {
	Labels  []string // labels, lists or spans, each as [Chart.Resolve] takes it
	Body    Body     // instead of Labels: the sizes that [Chart.Fit] finds
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
	// Others are the sizes that names say plainly and the chart does not have, smallest
	// first. Their names are dropped.
	Others []OtherSize

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
	// About holds the names of the layers that the note is about, none where it is about sizes.
	About []string `json:"about,omitempty"`
}

// A Role says why a size was picked. The zero Role is not valid.
type Role int

const (
	RoleWanted  Role = iota + 1 // asked for
	RoleBelow                   // a neighbour below a wanted size
	RoleAbove                   // a neighbour above a wanted size
	RoleBetween                 // a neighbour above one wanted size and below another
)

var roleWords = []string{"wanted", "below", "above", "between"}

// String returns "wanted", "below", "above" or "between".
func (r Role) String() string { return word(int(r), roleWords) }

// MarshalText writes the word that String gives, for JSON; a Role that is not valid is
// an error.
func (r Role) MarshalText() ([]byte, error) { return wordText(int(r), roleWords) }

// UnmarshalText reads what MarshalText writes; any other word is an error.
func (r *Role) UnmarshalText(text []byte) error { return unword((*int)(r), text, roleWords) }

// A NoteKind says what a note is about. The zero NoteKind is not valid.
type NoteKind int

const (
	NoteChartEnd         NoteKind = iota + 1 // the chart has fewer neighbours than asked for
	NoteMissingNeighbour                     // a neighbour, or a size between two of a body, has no layer in the file
	NoteSharedLayer                          // a layer that is kept draws sizes that were not picked
	NoteDoubt                                // a layer that may be another size, but for a word of it, is left out
	NoteVariant                              // a layer is left out since a word makes another size of a picked one
	NoteBeyondChart                          // a measurement is smaller or larger than all sizes of the chart
)

var noteWords = []string{"chart end", "missing neighbour", "shared layer", "doubt", "variant", "beyond chart"}

// String returns "chart end", "missing neighbour", "shared layer", "doubt", "variant" or "beyond chart".
func (k NoteKind) String() string { return word(int(k), noteWords) }

// MarshalText writes the word that String gives, for JSON; a NoteKind that is not valid is
// an error.
func (k NoteKind) MarshalText() ([]byte, error) { return wordText(int(k), noteWords) }

// UnmarshalText reads what MarshalText writes; any other word is an error.
func (k *NoteKind) UnmarshalText(text []byte) error { return unword((*int)(k), text, noteWords) }

// Pick chooses the wanted sizes and their neighbours. Each wanted size is widened by Below and
// Above in chart order; what is picked may have gaps. For a body, the sizes between those it falls
// in are picked too, so that one can grade from the one to the other. At the ends of the chart
// there are fewer neighbours, which a note says, and so does one for a neighbour or a size between
// without a layer, which is left out.
//
// Errors, in this order: a want with neither labels nor a body, with both, or with negative
// numbers; an *[UnknownSizeError] or *[AmbiguousSizeError] for a label, what [Chart.Fit] says of
// the body; an *[AmbiguousError] for names; a *[DoubtError] where a name may be a size of the print,
// but for a word of it; a *[NoMatchError] when no name serves any size; a *[MissingLayerError] when
// none serves a wanted size.
func (m *Match) Pick(w Want) (*Pick, error) {
	if m.index == nil { // a Match that Chart.Match did not make
		return nil, fault.Errorf(fault.ErrBadRequest,
			"the match has no chart: %w", &UnknownSizeError{Want: strings.Join(w.Labels, ",")})
	}
	p, roles, wanted, err := m.chart.wish(m.index, w)
	if err != nil {
		return nil, err
	}
	if err := m.Err(); err != nil {
		return nil, err
	}
	if err := m.Doubt(m.index.names(rolesAt(roles))); err != nil {
		return nil, err
	}
	layers := m.layers()
	if err := m.missing(wanted, layers); err != nil {
		return nil, err
	}
	for i, label := range m.index.labels {
		switch {
		case roles[i] == 0:
		case len(layers[i]) > 0:
			p.Sizes = append(p.Sizes, PickedSize{Label: label, Role: roles[i], Positions: layers[i]})
		case roles[i] == RoleBetween:
			p.note(NoteMissingNeighbour, "the size between %s has no layer in the file", quote(label))
		default:
			p.note(NoteMissingNeighbour, "the neighbour %s has no layer in the file", quote(label))
		}
	}
	p.sort(m.Answers)
	p.Others = m.Others()
	return p, nil
}

// Pick chooses sizes of the chart as [Match.Pick] does, without names: the pick
// has no positions. It serves to ask a chart before there is a file.
func (c *Chart) Pick(w Want) (*Pick, error) {
	p, roles, _, err := c.wish(c.index(), w)
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

// Positions returns the positions of the names that are kept and switched on:
// those of the picked sizes and those of keep, ascending.
func (p *Pick) Positions() []int { return slices.Clone(p.positions) }

// Kept returns the positions of keep, ascending. They are among Positions.
func (p *Pick) Kept() []int { return slices.Clone(p.kept) }

// Unknown returns the positions of names that the chart does not know,
// ascending. They are kept in their default state.
func (p *Pick) Unknown() []int { return slices.Clone(p.unknown) }

// Dropped returns the positions of the names that are removed: those of sizes that were
// not picked, of the chart or not, and those of drop, ascending.
func (p *Pick) Dropped() []int { return slices.Clone(p.dropped) }

// pickJSON is a Pick in JSON.
type pickJSON struct {
	Sizes     []PickedSize `json:"sizes"`
	Fit       *Fit         `json:"fit,omitempty"`
	Positions []int        `json:"positions"`
	Kept      []int        `json:"kept"`
	Unknown   []int        `json:"unknown"`
	Dropped   []int        `json:"dropped"`
	Others    []OtherSize  `json:"others,omitempty"`
	Notes     []Note       `json:"notes"`
}

// MarshalJSON writes sizes, fit (where there is one), positions, kept, unknown,
// dropped, others (where there are any) and notes.
func (p *Pick) MarshalJSON() ([]byte, error) {
	return json.Marshal(pickJSON{
		orEmpty(p.Sizes), p.Fit,
		orEmpty(p.positions), orEmpty(p.kept), orEmpty(p.unknown), orEmpty(p.dropped),
		p.Others, orEmpty(p.Notes),
	})
}

// UnmarshalJSON reads what MarshalJSON writes. The positions are those in the
// names that were matched: they mean nothing for the names of another file.
func (p *Pick) UnmarshalJSON(data []byte) error {
	var read pickJSON
	if err := json.Unmarshal(data, &read); err != nil {
		return err
	}
	*p = Pick{
		Sizes: read.Sizes, Fit: read.Fit, Notes: read.Notes, Others: read.Others,
		kept: read.Kept, unknown: read.Unknown, dropped: read.Dropped, positions: read.Positions,
	}
	return nil
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

// noteLayer is note about one layer.
func (p *Pick) noteLayer(kind NoteKind, name, format string, args ...any) {
	p.note(kind, "layer %s %s", quote(name), fmt.Sprintf(format, args...))
	p.Notes[len(p.Notes)-1].About = []string{name}
}

// wish turns what is wanted into a role for each size of the chart, 0 for none,
// with the positions of the wanted sizes and a pick that has the notes so far.
func (c *Chart) wish(index *labelIndex, w Want) (p *Pick, roles []Role, wanted []int, err error) {
	switch {
	case len(w.Labels) == 0 && len(w.Body) == 0:
		err = ErrNothingWanted
	case len(w.Labels) > 0 && len(w.Body) > 0:
		err = fault.New(fault.ErrBadRequest, "labels and body measurements are given; choose by one of the two")
	case w.Below < 0 || w.Above < 0:
		err = fault.Errorf(fault.ErrBadRequest,
			"%d below and %d above: the number of neighbours cannot be negative", w.Below, w.Above)
	}
	if err != nil {
		return nil, nil, nil, err
	}
	p = &Pick{}
	for _, text := range w.Labels {
		labels, err := index.resolve(text)
		if err != nil {
			return nil, nil, nil, err
		}
		wanted = append(wanted, index.at(labels)...)
	}
	if len(w.Body) > 0 {
		if p.Fit, err = c.Fit(w.Body, w.Between); err != nil {
			return nil, nil, nil, err
		}
		wanted = index.at(p.Fit.Sizes)
		p.noteBeyond()
	}
	slices.Sort(wanted)
	wanted = slices.Compact(wanted)
	return p, p.roles(index.labels, wanted, w), wanted, nil
}

// roles gives each size of the chart its role, and notes where the chart ends.
func (p *Pick) roles(labels []string, wanted []int, w Want) []Role {
	roles := make([]Role, len(labels))
	noteEnd := func(label string, have, asked int, side string) {
		if have < asked {
			p.note(NoteChartEnd, "the chart has %s %s size %s, %d asked for", count(have, "size"), side,
				quote(label), asked)
		}
	}
	for _, i := range wanted {
		from, to := window(i, w.Below, w.Above, len(roles))
		for j := from; j < i; j++ {
			roles[j] = roles[j].and(RoleBelow)
		}
		roles[i] = RoleWanted
		for j := i + 1; j < to; j++ {
			roles[j] = roles[j].and(RoleAbove)
		}
		noteEnd(labels[i], i-from, w.Below, "below")
		noteEnd(labels[i], to-1-i, w.Above, "above")
	}
	if p.Fit != nil {
		for j := wanted[0]; j < wanted[len(wanted)-1]; j++ {
			roles[j] = roles[j].and(RoleBetween)
		}
	}
	return roles
}

// rolesAt are the positions of the sizes that have a role.
func rolesAt(roles []Role) (at []int) {
	for i, role := range roles {
		if role != 0 {
			at = append(at, i)
		}
	}
	return at
}

// and joins the roles that a size has for two wanted sizes.
func (r Role) and(s Role) Role {
	switch {
	case r == 0 || s == RoleWanted:
		return s
	case r == s || r == RoleWanted:
		return r
	}
	return RoleBetween
}

// noteBeyond notes the measurements that are beyond the chart.
func (p *Pick) noteBeyond() {
	const far = 200 // mm beyond the chart raise doubts
	for _, m := range p.Fit.Measurements {
		if !m.Beyond {
			continue
		}
		end, doubt := "largest", ""
		if m.Below == "" {
			end = "smallest"
		}
		if over := m.Over.Unit.Millimetres(m.Over.Value); over > far || over < -far {
			doubt = "; is its unit right?"
		}
		p.note(NoteBeyondChart, "%s %s is beyond the chart: %s, the %s there is%s", m.Name, m.Body, m.Off(), end, doubt)
	}
}

// layers returns the positions of the names that serve each size.
func (m *Match) layers() [][]int {
	out := make([][]int, len(m.index.labels))
	at := map[string]int{}
	for i, label := range m.index.labels {
		at[label] = i
	}
	for _, a := range m.Answers {
		for _, label := range a.Sizes {
			if i, ok := at[label]; ok {
				out[i] = append(out[i], a.Position)
			}
		}
	}
	return out
}

// missing gives the error for wanted sizes without a layer.
func (m *Match) missing(wanted []int, layers [][]int) error {
	var have, lack []string
	for i, label := range m.index.labels {
		if len(layers[i]) > 0 {
			have = append(have, label)
		} else if slices.Contains(wanted, i) {
			lack = append(lack, label)
		}
	}
	if len(have) > 0 && len(lack) > 0 {
		e := &MissingLayerError{Missing: lack, Have: have}
		for _, a := range m.Answers {
			if slices.ContainsFunc(a.May, func(label string) bool { return slices.Contains(lack, label) }) {
				e.Like = append(e.Like, a.Name)
			}
		}
		return e
	}
	if len(have) > 0 {
		return nil
	}
	names := each(m.Answers, func(a Answer) string { return a.Name })
	e := &NoMatchError{Names: names, Labels: m.index.labels}
	if len(m.chart.Sizes) > 0 {
		first := m.chart.Sizes[0]
		switch {
		case len(first.Layers) > 0:
			e.Example = first.Layers[0]
		case strings.Contains(m.chart.Names, labelField):
			e.Example = strings.ReplaceAll(m.chart.Names, labelField, first.Label)
		default:
			e.Example = first.Label
		}
	}
	return e
}

// sort says of each answer whether its name is kept, and notes the layers that
// draw sizes which were not picked as well.
func (p *Pick) sort(answers []Answer) {
	picked := map[string]bool{}
	for _, s := range p.Sizes {
		picked[s.Label] = true
	}
	for _, a := range answers {
		others := slices.DeleteFunc(slices.Clone(a.Sizes), func(label string) bool { return picked[label] })
		serves := len(others) < len(a.Sizes)
		if serves && len(others) > 0 {
			p.note(NoteSharedLayer, "layer %s draws %s as well", quote(a.Name), sizeWords(others))
		}
		switch {
		case a.Kind == KindKeep:
			p.kept = append(p.kept, a.Position)
			p.positions = append(p.positions, a.Position)
		case a.Kind == KindSize && serves:
			p.positions = append(p.positions, a.Position)
		case len(a.Words) > 0:
			p.noteLayer(NoteDoubt, a.Name, "%s It is left out, as %s is: if every print needs it, list it under keep",
				a.Reason, sizeWords(a.May))
			p.dropped = append(p.dropped, a.Position)
		case a.Kind == KindUnknown:
			p.unknown = append(p.unknown, a.Position)
		default:
			if slices.ContainsFunc(a.May, func(label string) bool { return picked[label] }) {
				p.noteLayer(NoteVariant, a.Name, "is left out, since it is another size than %s: "+
					"if it belongs to that, list it under the size's layers", quoteAll(a.May))
			}
			p.dropped = append(p.dropped, a.Position)
		}
	}
}

// ErrBadRequest is what every error of this package matches, by [errors.Is], but for
// that of a reader: the chart, or what was asked of it, has to be mended.
var ErrBadRequest = fault.ErrBadRequest

// ErrNothingWanted says that a [Want] has neither labels nor a body.
var ErrNothingWanted = fault.New(fault.ErrBadRequest,
	"no size is wanted; give at least one label of the chart, or body measurements")

// A NoMatchError says that a chart and a file have nothing in common.
type NoMatchError struct {
	Names   []string // of the file
	Labels  []string // of the chart
	Example string   // a layer name that the chart would know
}

func (e *NoMatchError) Error() string {
	names := "no layers at all"
	if len(e.Names) > 0 {
		names = quoteSome(e.Names)
	}
	return fmt.Sprintf("no layer fits a size of the chart: the file has %s; "+
		"the chart expects names such as %s for its sizes %s", names, quote(e.Example), quoteSome(e.Labels))
}

// Is reports whether target is [ErrBadRequest].
func (*NoMatchError) Is(target error) bool { return target == ErrBadRequest }

// A MissingLayerError says that wanted sizes have no layer in the file.
type MissingLayerError struct {
	Missing []string // wanted labels without a layer
	Have    []string // labels that have one
	Like    []string // layers that a word makes another size of a missing one: "Size 10 curvy"
}

func (e *MissingLayerError) Error() string {
	text := fmt.Sprintf("no layer for %s; the file has layers for %s", sizeWords(e.Missing), sizeWords(e.Have))
	if len(e.Like) > 0 {
		text += fmt.Sprintf("; if %s is meant, list it in the chart under the size's layers", quoteSome(e.Like))
	}
	return text
}

// Is reports whether target is [ErrBadRequest].
func (*MissingLayerError) Is(target error) bool { return target == ErrBadRequest }
