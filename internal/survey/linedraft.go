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
	// Also are the positions of other styles that fit the spec and no closer one,
	// though they do not look like a size's: removing the size removes them.
	Also []int
	// Nested says that the outlines of the lines lie one within the next, which tells
	// the order of all of them.
	Nested bool
}

// What the lines of the sizes of one pattern have in common (common practice, no
// source): their outlines lie one within the next; else each size is drawn about as
// often as the others and with about as much line.
const (
	familyLeast  = 2   // sizes at least
	familyMost   = 200 // more than any pattern has: comparing takes the cube of it
	familySpread = 2.5 // the longest over the shortest, and the most marks over the fewest
)

// ProposeLines finds the lines that look like those of sizes, smallest size first:
// by colour and dash, the most lines whose outlines lie one within the next. Where
// that tells less, it takes those that are drawn about as often and about as long as
// each other, by the length that is drawn where nothing better tells their order.
// One line alone is none. Styles outside of them are taken to be shared, as are
// frames: what has the same place on three or more pages.
//
// A spec states the colour where colours differ within the family, the dash where
// dashes do, and what else it takes to leave shared styles out; and that text goes
// along where text or fills have the colour of one size alone, and most sizes have
// about as many. The proposal is a
// guess from what is drawn: names of sizes are not in it, and somebody has to
// look at it.
func ProposeLines(styles []LineStyle) []ProposedLine {
	looks := looksOf(styles)
	family, nested := nestedFamily(looks), true
	if similar := largestFamily(slices.Clone(looks)); len(family) < 3 && len(family) < len(similar) {
		family, nested = similar, false
	}
	if len(family) < familyLeast || len(family) > familyMost {
		return nil
	}
	nested = byNest(family) && nested
	list := make([]ProposedLine, len(family))
	for i, l := range family {
		l.leaveOut(family, styles)
		list[i] = ProposedLine{Spec: l.spec(styles), Styles: l.styles, Nested: nested}
	}
	simplify(list, styles)
	return list
}

// look is what lines of one colour and dash have: widths may differ, as those of
// darts and outlines do.
type look struct {
	styles   []int
	marks    int
	length   float64
	outlines Outlines
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
	for i := range list {
		var own []LineStyle
		for _, at := range list[i].styles {
			own = append(own, styles[at])
		}
		list[i].outlines = OutlinesOf(own, nil)
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

// nestedFamily finds the most looks whose outlines lie one within another. One in
// which more outlines lie within each other than in most is no size: it draws
// something of all sizes.
func nestedFamily(list []look) []look {
	list = slices.DeleteFunc(slices.Clone(list), func(l look) bool { return l.outlines.depth == 0 })
	if len(list) > familyMost {
		return nil
	}
	nest, seen := nestOf(list), make([]bool, len(list))
	var best []look
	for i := range list {
		var family []look
		for next := []int{i}; len(next) > 0; next = next[1:] {
			at := next[0]
			if seen[at] {
				continue
			}
			seen[at] = true
			family = append(family, list[at])
			for k := range list {
				if nest.Inside(at, k) || nest.Inside(k, at) {
					next = append(next, k)
				}
			}
		}
		if family = equallyDeep(family); len(family) > len(best) {
			best = family
		}
	}
	return best
}

// nestOf holds the outlines of looks against each other.
func nestOf(list []look) *Nesting {
	all := make([]Outlines, len(list))
	for i, l := range list {
		all[i] = l.outlines
	}
	return Nest(all)
}

// equallyDeep are the looks with no more outlines within each other than most have.
func equallyDeep(list []look) []look {
	count := map[int]int{}
	usual := 0
	for _, l := range list {
		d := l.outlines.depth
		if count[d]++; count[d] > count[usual] || count[d] == count[usual] && d < usual {
			usual = d
		}
	}
	return slices.DeleteFunc(list, func(l look) bool { return l.outlines.depth > usual })
}

// byNest puts looks in the order in which they lie within each other, as far as
// that is told, else by length. It reports whether it is told of all.
func byNest(list []look) bool {
	slices.SortStableFunc(list, func(a, b look) int { return cmp.Compare(a.length, b.length) })
	nest, within := nestOf(list), make([]int, len(list))
	order := make([]int, len(list))
	for i := range list {
		order[i] = i
		for k := range list {
			if nest.Inside(k, i) {
				within[i]++
			}
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return within[a] - within[b] })
	was := slices.Clone(list)
	told := true
	for i, at := range order {
		list[i] = was[at]
		told = told && (i == 0 || nest.Inside(order[i-1], at))
	}
	return told
}

// leaveOut takes out of a look the styles of widths that most of its family lacks,
// where it has others: they are not a size's.
func (l *look) leaveOut(family []look, styles []LineStyle) {
	usual := slices.DeleteFunc(slices.Clone(l.styles), func(at int) bool {
		like := func(i int) bool { return rounded(styles[i].Width, styles[at].Width) }
		have := 0
		for _, other := range family {
			if slices.ContainsFunc(other.styles, like) {
				have++
			}
		}
		return 2*have <= len(family)
	})
	if len(usual) > 0 {
		l.styles = usual
	}
}

// main is the style of a look that has the most outlines, of as many the longest.
func (l *look) main(styles []LineStyle) int {
	return slices.MaxFunc(l.styles, func(a, b int) int {
		x, y := &styles[a], &styles[b]
		return cmp.Or(len(x.outlines)-len(y.outlines), cmp.Compare(x.Length, y.Length))
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
	s := &styles[l.main(styles)]
	spec := LineSpec{Colour: s.Colour, Dash: slices.Clone(s.pattern()), Width: s.Width}
	if spec.Dash == nil {
		spec.Dash = []float64{}
	}
	return spec
}

// mostTries bounds what simplifying line by line compares: lines times styles.
const mostTries = 10_000

// simplify leaves out of the specs what tells nothing apart: of all of them; else,
// widths, of each by itself. It notes what goes with a line though it is
// not of it.
func simplify(list []ProposedLine, styles []LineStyle) {
	wrong := mistakes(list, styles)
	try := func(lines []ProposedLine, change func(*LineSpec)) bool {
		was := make([]LineSpec, len(lines))
		for i := range lines {
			was[i] = lines[i].Spec
			change(&lines[i].Spec)
		}
		if now := mistakes(list, styles); now <= wrong {
			wrong = now
			return true
		}
		for i := range lines {
			lines[i].Spec = was[i]
		}
		return false
	}
	noWidth := func(s *LineSpec) { s.Width = 0 }
	if !try(list, noWidth) && len(list)*len(styles) <= mostTries {
		for i := range list {
			try(list[i:i+1], noWidth)
		}
	}
	try(list, func(s *LineSpec) { s.Dash = nil })
	try(list, func(s *LineSpec) { s.Colour = "" })
	stateTexts(list, styles)
	mistakes(list, styles)
}

// mistakes counts the styles that the specs do not give to the line that they are
// of, or to none, and notes in each line what it gets besides its own.
func mistakes(list []ProposedLine, styles []LineStyle) (count int) {
	specs, owner := make([]LineSpec, len(list)), map[int]int{}
	for i := range list {
		specs[i], list[i].Also = list[i].Spec, nil
		for _, s := range list[i].Styles {
			owner[s] = i
		}
	}
	m, err := MatchLines(styles, specs)
	if err != nil {
		return len(styles)
	}
	for s, a := range m.Answers {
		i, owned := owner[s]
		if owned && slices.Equal(a.Specs, []int{i}) || !owned && len(a.Specs)+len(a.Between) == 0 {
			continue
		}
		text := styles[s].Kind == ShownText || styles[s].Kind == FilledShape
		if !text {
			count++
		}
		for _, k := range a.Specs {
			if !text && (!owned || k != i) {
				list[k].Also = append(list[k].Also, s)
			}
		}
	}
	return count
}

// stateTexts says which lines texts and fills of their colour go with: those of a
// colour that one line alone states, where most such lines have about as many. More are
// those of all sizes, such as the names of pieces.
func stateTexts(list []ProposedLine, styles []LineStyle) {
	users, marks := map[string]int{}, map[string]int{}
	for _, l := range list {
		users[l.Spec.Colour]++
	}
	for i := range styles {
		if s := &styles[i]; s.Kind == ShownText || s.Kind == FilledShape {
			marks[s.Colour] += s.Marks
		}
	}
	var counts []int
	alone := 0
	for colour, n := range users {
		if colour != "" && n == 1 {
			alone++
			if marks[colour] > 0 {
				counts = append(counts, marks[colour])
			}
		}
	}
	slices.Sort(counts)
	for i := range list {
		colour := list[i].Spec.Colour
		have := len(counts)
		list[i].Spec.Text = colour != "" && users[colour] == 1 && marks[colour] > 0 && have > 1 && 2*have >= alone &&
			float64(marks[colour]) <= familySpread*float64(counts[(have-1)/2])
	}
}
