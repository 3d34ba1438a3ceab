package pattern

import (
	"context"
	"fmt"
	"slices"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// KeepShared looks into a file whose draft takes colours for sizes: a colour whose
// layer holds what every print needs is none. That is one with test squares, and black
// where it alone holds texts. Such a layer is kept, and the reasons of the draft say so.
// The error is the context's.
func KeepShared(ctx context.Context, d *sizes.Drafted, doc *layers.Document) error {
	if !ofColours(d.Chart) {
		return nil
	}
	held, err := doc.Inspect(ctx)
	if err != nil {
		return err
	}
	answers := Match(d.Chart, held.Layers).Answers
	squares, texts, allTexts := map[string]bool{}, map[string]int{}, 0
	for _, a := range answers {
		l := held.Layers[a.Position]
		for _, label := range a.Sizes {
			squares[label] = squares[label] || slices.ContainsFunc(held.Squares, func(s layers.TestSquare) bool {
				return slices.Contains(s.Layers, l.Object)
			})
			for _, u := range l.Uses {
				texts[label] += u.Texts
				allTexts += u.Texts
			}
		}
	}
	for _, label := range d.Chart.Labels() {
		isShared := squares[label] || isBlack(label) && texts[label] > 0 && texts[label] == allTexts
		if !isShared || len(d.Chart.Sizes) < 2 {
			continue
		}
		d.Chart.Sizes = slices.DeleteFunc(d.Chart.Sizes, func(s sizes.Size) bool { return s.Label == label })
		for _, a := range answers {
			if slices.Contains(a.Sizes, label) {
				d.Chart.Keep = append(d.Chart.Keep, sizes.Literal(a.Name))
			}
		}
		d.Reasons = append(d.Reasons, fmt.Sprintf("The layer %q holds what every size needs, such as texts or a test "+
			"square: it is no size, and stays in every print.", label))
	}
	return nil
}

// ofColours reports whether the labels of a chart are colours, two at least.
func ofColours(chart *sizes.Chart) bool {
	for _, label := range chart.Labels() {
		if len(sizes.Colour(label)) == 0 {
			return false
		}
	}
	return len(chart.Sizes) > 1
}

// isBlack reports whether a label may be the colour black.
func isBlack(label string) bool {
	return slices.ContainsFunc(sizes.Colour(label), func(c sizes.NamedColour) bool { return c.Name == "black" })
}
