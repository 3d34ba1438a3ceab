package sizes

import (
	"errors"
	"fmt"
	"slices"
)

// wish turns what is wanted into a role for each size of the chart, 0 for none,
// with the positions of the wanted sizes and a pick that has the notes so far.
func (c *Chart) wish(index *labelIndex, w Want) (p *Pick, roles []Role, wanted []int, err error) {
	if err := w.problem(); err != nil {
		return nil, nil, nil, err
	}
	p = &Pick{}
	if len(w.Body) == 0 {
		wanted, err = index.wanted(w.Labels)
	} else if p.Fit, err = c.Fit(w.Body, w.Between); err == nil {
		wanted = index.at(p.Fit.Sizes)
		p.noteBeyond()
	}
	if err != nil {
		return nil, nil, nil, err
	}
	return p, p.roles(index.labels, wanted, w), wanted, nil
}

func (w Want) problem() error {
	switch {
	case len(w.Labels) == 0 && len(w.Body) == 0:
		return errors.New("no size is wanted; give at least one label of the chart, or body measurements")
	case len(w.Labels) > 0 && len(w.Body) > 0:
		return errors.New("labels and body measurements are given; choose by one of the two")
	case w.Below < 0 || w.Above < 0:
		return fmt.Errorf("%d below and %d above: the number of neighbours cannot be negative", w.Below, w.Above)
	}
	return nil
}

// wanted returns the chart positions of the sizes that texts ask for,
// ascending.
func (x *labelIndex) wanted(texts []string) ([]int, error) {
	var out []int
	for _, text := range texts {
		labels, err := x.resolve(text)
		if err != nil {
			return nil, err
		}
		out = append(out, x.at(labels)...)
	}
	slices.Sort(out)
	return slices.Compact(out), nil
}

// at returns the positions of labels.
func (x *labelIndex) at(labels []string) []int {
	out := make([]int, len(labels))
	for i, label := range labels {
		out[i] = slices.Index(x.labels, label)
	}
	return out
}

// roles gives each size of the chart its role, and notes where the chart ends.
func (p *Pick) roles(labels []string, wanted []int, w Want) []Role {
	roles := make([]Role, len(labels))
	for _, i := range wanted {
		from, to := window(i, w.Below, w.Above, len(roles))
		for j := from; j < to; j++ {
			roles[j] = roles[j].and(roleOf(j, i))
		}
		p.noteEnd(labels[i], i-from, w.Below, "below")
		p.noteEnd(labels[i], to-1-i, w.Above, "above")
	}
	if p.Fit != nil {
		for j := wanted[0]; j < wanted[len(wanted)-1]; j++ {
			roles[j] = roles[j].and(RoleBetween)
		}
	}
	return roles
}

func roleOf(j, wanted int) Role {
	switch {
	case j < wanted:
		return RoleBelow
	case j > wanted:
		return RoleAbove
	}
	return RoleWanted
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

func (p *Pick) noteEnd(label string, have, asked int, side string) {
	if have < asked {
		p.note(NoteChartEnd, "the chart has %s %s size %q, %d asked for", count(have, "size"), side, label, asked)
	}
}

// farBeyond is how far beyond the chart, in mm, a measurement raises doubts.
const farBeyond = 200

// noteBeyond notes the measurements that are beyond the chart.
func (p *Pick) noteBeyond() {
	for _, m := range p.Fit.Measurements {
		if !m.Beyond {
			continue
		}
		end, doubt := "largest", ""
		if m.Below == "" {
			end = "smallest"
		}
		if over := m.Over.Unit.Millimetres(m.Over.Value); over > farBeyond || over < -farBeyond {
			doubt = "; is its unit right?"
		}
		p.note(NoteBeyondChart, "%s %s is beyond the chart: %s, the %s there is%s", m.Name, m.Body, m.Off(), end, doubt)
	}
}
