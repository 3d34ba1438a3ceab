package cli

import (
	"context"
	"fmt"

	"github.com/sizeply/sizeply/layers"
)

// scaleWarnings tells of a file that is not of true size, and of a choice that
// leaves nothing to measure on paper. One file may give many outputs: its pages
// are read once.
func (p *program) scaleWarnings(ctx context.Context, doc *layers.Document, r *layers.Report) ([]layers.Warning, error) {
	if p.measured != doc {
		in, err := doc.Inspect(ctx)
		if err != nil {
			return nil, err
		}
		p.measured, p.inspection = doc, in
	}
	in := p.inspection
	removed := map[int]bool{}
	for _, l := range r.Removed {
		removed[l.Object] = true
	}
	var list []layers.Warning
	left := 0
	for _, s := range in.Squares {
		if !s.True() {
			list = append(list, s.Warning())
		}
		for _, object := range s.Layers {
			if removed[object] {
				left++
				break
			}
		}
	}
	if n := len(in.Squares); n > 0 && left == n {
		list = append(list, layers.Warning{Text: fmt.Sprintf(
			"the test squares%s went with the rest: keep that layer too, so that the print can be measured", inLayers(in.Squares[0].Layers, in.Layers))})
	}
	return list, nil
}
