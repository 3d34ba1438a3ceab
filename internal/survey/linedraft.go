package survey

import (
	"cmp"
	"math"
	"slices"
)

// A ProposedLine is what looks like the line of one size.
type ProposedLine struct {
	Spec LineSpec
	// Styles are the positions of the styles that it is made of.
	Styles []int
}

// What the lines of the sizes of one pattern have in common (common practice, no
// source): each size is drawn about as often as the others and with about as much
// line.
const (
	familyLeast  = 2   // sizes at least
	familyMost   = 200 // more than any pattern has: comparing takes the square of it
	familySpread = 2.5 // the longest over the shortest, and the most marks over the fewest
)

// ProposeLines finds the lines that look like those of sizes, smallest size first:
// the largest family of lines, by colour and dash, that are drawn about as often
// and about as long as each other, ordered by the length that is drawn, which
// grows from size to size where lines are nested. A family of one is none. Styles
// outside of it are taken to be shared, as are frames: what has the same place on
// three or more pages.
//
// A spec states the colour where colours differ within the family, the dash where
// dashes do, and what else it takes to leave shared styles out; and that text goes
// along where text or fills have the colour of one size alone. The proposal is a
// guess from what is drawn: names of sizes are not in it, and somebody has to
// look at it.
func ProposeLines(styles []LineStyle) []ProposedLine {
	family := largestFamily(looksOf(styles))
	if len(family) < familyLeast || len(family) > familyMost {
		return nil
	}
	list := make([]ProposedLine, len(family))
	for i, l := range family {
		list[i] = ProposedLine{Spec: l.spec(styles), Styles: l.styles}
	}
	simplify(list, styles)
	return list
}

// look is what lines of one colour and dash have: widths may differ, as those of
// darts and outlines do.
type look struct {
	styles []int
	marks  int
	length float64
}

// looksOf puts lines together by colour and dash.
func looksOf(styles []LineStyle) []look {
	var list []look
	for i := range styles {
		s := &styles[i]
		if s.Kind != StrokedLine && s.Kind != ThinShape || s.Colour == "" || s.Length == 0 || s.frame() {
			continue
		}
		k := slices.IndexFunc(list, func(l look) bool {
			t := &styles[l.styles[0]]
			return t.Colour == s.Colour && dashDistance(t.pattern(), s.pattern()) == 0
		})
		if k < 0 {
			list = append(list, look{})
			k = len(list) - 1
		}
		l := &list[k]
		l.styles, l.marks, l.length = append(l.styles, i), l.marks+s.Marks, l.length+s.Length
	}
	return list
}

// frame reports whether a style has the same place on each of several pages, as the
// frames of tiles have.
func (s *LineStyle) frame() bool {
	if len(s.Uses) < 3 {
		return false
	}
	a := s.Uses[0].Bounds
	return !slices.ContainsFunc(s.Uses, func(u LineUse) bool {
		b := u.Bounds
		return max(math.Abs(b.Left-a.Left), math.Abs(b.Right-a.Right)) > 1 ||
			max(math.Abs(b.Bottom-a.Bottom), math.Abs(b.Top-a.Top)) > 1
	})
}

// largestFamily finds the most looks that are drawn about as long and about as
// often; among as many, the longest. They come by length. Of more than familyMost
// it gives what it has.
func largestFamily(list []look) []look {
	slices.SortStableFunc(list, func(a, b look) int { return cmp.Compare(a.length, b.length) })
	var best []look
	for i, first := range list {
		family := []look{}
		least, most := first.marks, first.marks
		for _, l := range list[i:] {
			if l.length > familySpread*first.length {
				break
			}
			low, high := min(least, l.marks), max(most, l.marks)
			if float64(high) > familySpread*float64(low) {
				continue
			}
			least, most = low, high
			if family = append(family, l); len(family) > familyMost {
				return family
			}
		}
		if len(family) >= len(best) {
			best = family
		}
	}
	return best
}

// spec states all that may be stated of a look.
func (l look) spec(styles []LineStyle) LineSpec {
	s := &styles[l.styles[0]]
	for _, i := range l.styles {
		if styles[i].Length > s.Length {
			s = &styles[i]
		}
	}
	spec := LineSpec{Colour: s.Colour, Dash: slices.Clone(s.pattern()), Width: s.Width}
	if spec.Dash == nil {
		spec.Dash = []float64{}
	}
	return spec
}

// simplify leaves out of the specs what tells nothing apart.
func simplify(list []ProposedLine, styles []LineStyle) {
	try := func(change func(*LineSpec)) {
		specs := make([]LineSpec, len(list))
		for i := range list {
			specs[i] = list[i].Spec
			change(&specs[i])
		}
		if !tellApart(list, specs, styles) {
			return
		}
		for i := range list {
			list[i].Spec = specs[i]
		}
	}
	try(func(s *LineSpec) { s.Width = 0 })
	try(func(s *LineSpec) { s.Dash = nil })
	try(func(s *LineSpec) { s.Colour = "" })
	for i := range list {
		list[i].Spec.Text = hasText(list[i].Spec.Colour, list, styles)
	}
}

// tellApart reports whether specs give each line its own styles and no other one.
func tellApart(list []ProposedLine, specs []LineSpec, styles []LineStyle) bool {
	m, err := MatchLines(styles, specs)
	if err != nil {
		return false
	}
	owner := map[int]int{}
	for i, l := range list {
		for _, s := range l.Styles {
			owner[s] = i
		}
	}
	for s, a := range m.Answers {
		i, owned := owner[s]
		if !owned && (len(a.Specs) > 0 || len(a.Between) > 0) || owned && !slices.Equal(a.Specs, []int{i}) {
			return false
		}
	}
	return true
}

// hasText reports whether text or fills have a colour that one line alone states.
func hasText(colour string, list []ProposedLine, styles []LineStyle) bool {
	users := 0
	for _, l := range list {
		if l.Spec.Colour == colour {
			users++
		}
	}
	return colour != "" && users == 1 && slices.ContainsFunc(styles, func(s LineStyle) bool {
		return (s.Kind == ShownText || s.Kind == FilledShape) && s.Colour == colour
	})
}
