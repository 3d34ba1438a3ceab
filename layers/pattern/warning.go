package pattern

import (
	"slices"

	"github.com/sizeply/sizeply/layers/warning"
	"github.com/sizeply/sizeply/sizes"
)

// The codes of the warnings of a choice.
const (
	LayerInDoubt   warning.Code = "layer-in-doubt"  // a layer that may be another size was left out
	VariantRemoved warning.Code = "variant-removed" // a layer that a word makes another size of a kept one was left out
	ChartOrder     warning.Code = "chart-order"     // the chart lists sizes otherwise than their names or outlines say
	SeveralPapers  warning.Code = "several-papers"  // sizes are on pages for different paper
	LinesRemoved   warning.Code = "lines-removed"   // lines outside of the pieces go with the line of a size
	TextsRemoved   warning.Code = "texts-removed"   // texts that name no size go with the line of one
	SizeInDoubt    warning.Code = "size-in-doubt"   // a layer that stays may be of a size that was not chosen
	SizesSkipped   warning.Code = "sizes-skipped"   // between a size and its neighbour one seems to be missing
	SizesStay      warning.Code = "sizes-stay"      // sizes are drawn outside of the layers of sizes, and stay
	LineInDoubt    warning.Code = "line-in-doubt"   // a line that stays looks like that of a size not in the chart
	PicturePages   warning.Code = "picture-pages"   // pages are scans, in which nothing tells sizes apart
)

// warnOfNames makes warnings of the notes on layers whose names leave a size in doubt or make another
// of it: the print may lack what they draw.
func (c *Choice) warnOfNames() {
	if c.Pick == nil {
		return
	}
	codes := map[sizes.NoteKind]warning.Code{sizes.NoteDoubt: LayerInDoubt, sizes.NoteVariant: VariantRemoved}
	c.Pick.Notes = slices.DeleteFunc(c.Pick.Notes, func(n sizes.Note) bool {
		code, ok := codes[n.Kind]
		if ok {
			c.Warnings = append(c.Warnings, warning.New(code, n.About, "%s", n.Text))
		}
		return ok
	})
}
