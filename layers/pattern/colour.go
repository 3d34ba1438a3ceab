package pattern

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/lucasb-eyer/go-colorful"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// A ColourError says that a size was wanted by a colour that no line of a size has, or
// that several may have.
type ColourError struct {
	Want string   // as it was asked for
	Fits []string // the lines that it may be, two or more: "light blue (#99ccff)"
	Have []string // those of all sizes
}

func (e *ColourError) Error() string {
	if len(e.Fits) > 0 {
		return fmt.Sprintf("%q may be %s: say which by its fuller name, or by its digits, such as #99ccff",
			words.Printable(e.Want), strings.Join(e.Fits, " or "))
	}
	return fmt.Sprintf("no line that looks like a size's is %q; there are %s",
		words.Printable(e.Want), strings.Join(e.Have, ", "))
}

// Is reports whether target is [layers.ErrBadRequest].
func (*ColourError) Is(target error) bool { return target == layers.ErrBadRequest }

// colourBound is the CIEDE2000 difference up to which a line is of a colour that is
// named: words are wide, so it is twice what tells two lines apart in print (common
// practice, no source).
const colourBound = 2 * layers.PrintDifference

// A namedLine is the line of a size with the nearest colour name.
type namedLine struct {
	name, hex string
	colour    colorful.Color
}

func (l namedLine) words() string { return l.name + " (" + l.hex + ")" }

// wantsColours returns the colours that sizes are wanted by, false unless all are.
func wantsColours(labels []string) (list []string, ok bool) {
	for _, label := range labels {
		for _, name := range strings.Split(label, ",") {
			name = strings.TrimSpace(name)
			if _, err := colorful.Hex(name); err != nil && len(sizes.Colour(name)) == 0 {
				return nil, false
			}
			list = append(list, name)
		}
	}
	return list, len(list) > 0
}

// byColours makes a chart of the lines of a file that look like those of sizes, each
// labelled by its colour, and gives what is wanted by the labels of that chart. There is
// none, nil, where colours do not tell such lines apart.
func (p *Pattern) byColours(ctx context.Context, want sizes.Want, names []string) (*sizes.Chart, sizes.Want, error) {
	found, err := p.doc.Lines(ctx)
	if err != nil {
		return nil, want, err
	}
	if found.Incomplete {
		return nil, want, &IncompleteError{found.Warnings[len(found.Warnings)-1]}
	}
	lines := layers.ProposeLines(found.Styles)
	named := nameLines(lines)
	if len(named) < len(lines) || len(lines) == 0 {
		return nil, want, nil // not told apart by colour
	}
	if !lines[0].Nested && want.Below+want.Above > 0 {
		return nil, want, &NoSizesError{Found: len(lines), Doubts: []sizes.Doubt{{Position: -1, About: sizes.DoubtOrder,
			Reason: "The outlines of the lines do not tell which size is smaller."}}}
	}
	chart := &sizes.Chart{}
	for i, l := range lines {
		line := sizes.Line{Colour: l.Spec.Colour, Dash: l.Spec.Dash, Width: l.Spec.Width, Text: l.Spec.Text}
		chart.Sizes = append(chart.Sizes, sizes.Size{Label: named[i].name, Line: &line})
	}
	want.Labels = nil
	for _, name := range names {
		at, err := lineOf(name, named)
		if err != nil {
			return nil, want, err
		}
		want.Labels = append(want.Labels, named[at].name)
	}
	return chart, want, nil
}

// nameLines gives each line the nearest colour name, with its digits where that is
// another's too. There are fewer where two lines have one colour, or one has none.
func nameLines(lines []layers.ProposedLine) (list []namedLine) {
	count := map[string]int{}
	for _, l := range lines {
		c, err := colorful.Hex(l.Spec.Colour)
		same := func(m namedLine) bool { return m.hex == l.Spec.Colour }
		if err != nil || slices.ContainsFunc(list, same) {
			continue
		}
		n := namedLine{name: nearestName(c), hex: l.Spec.Colour, colour: c}
		count[n.name]++
		list = append(list, n)
	}
	for i, n := range list {
		if count[n.name] > 1 {
			list[i].name += " " + n.hex
		}
	}
	return list
}

// nearestName is the name of the nearest of the colours that have one.
func nearestName(c colorful.Color) (name string) {
	least := math.Inf(1)
	for _, one := range sizes.Colours() {
		if off := offFrom(one, c); off < least {
			least, name = off, one.Name
		}
	}
	return name
}

// offFrom is how far a colour is from the nearest that a name is used for.
func offFrom(name sizes.NamedColour, c colorful.Color) float64 {
	least := math.Inf(1)
	for _, value := range name.Values {
		if v, err := colorful.Hex(value); err == nil {
			least = min(least, 100*v.DistanceCIEDE2000(c))
		}
	}
	return least
}

// lineOf finds the line of a colour by its name or digits; none and several are a
// *ColourError.
func lineOf(want string, lines []namedLine) (at int, err error) {
	meant := sizes.Colour(want)
	if c, err := colorful.Hex(want); err == nil {
		meant = []sizes.NamedColour{{Name: want, Values: []string{c.Hex()}}}
	}
	off, shades := make([]float64, len(lines)), []int{}
	for i, l := range lines {
		off[i] = math.Inf(1)
		isShade := false
		for _, m := range meant {
			off[i] = min(off[i], offFrom(m, l.colour))
			own, _, _ := strings.Cut(l.name, " #")
			isShade = isShade || own == m.Name || strings.HasSuffix(own, " "+m.Name)
		}
		if isShade {
			shades = append(shades, i)
		}
	}
	fits := fitting(off, shades, strings.HasPrefix(want, "#"))
	if len(fits) == 1 {
		return fits[0], nil
	}
	e := &ColourError{Want: want}
	for i, l := range lines {
		e.Have = append(e.Have, l.words())
		if slices.Contains(fits, i) {
			e.Fits = append(e.Fits, l.words())
		}
	}
	return -1, e
}

// fitting are the positions of the lines that a name may mean, by how far they are off
// and which of them are shades of it: the shades, and others that are no further off;
// where there are no shades the nearest within colourBound, and others up to twice as far
// off. By its digits a line is meant alone.
func fitting(off []float64, shades []int, digits bool) (fits []int) {
	nearest := slices.Index(off, slices.Min(off))
	if digits && off[nearest] < 1 {
		return []int{nearest}
	}
	best, bound := off[nearest], colourBound
	if len(shades) > 0 {
		bound *= 1.5
		best = math.Inf(1)
		for _, i := range shades {
			best = min(best, off[i])
		}
	}
	for i := range off {
		if slices.Contains(shades, i) || off[i] <= bound && off[i] <= 2*best {
			fits = append(fits, i)
		}
	}
	return fits
}
