package layers

import (
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/optional"
)

// scale tells of a file that is not of true size, and of a choice that leaves
// nothing to measure on paper.
func (r *Report) scale(doc *optional.Document, found []TestSquare) {
	r.Squares = []TestSquare{}
	for _, s := range found {
		if !s.True() {
			r.Warnings = append(r.Warnings, s.Warning())
		}
		if !slices.ContainsFunc(r.Removed, func(l ReportedLayer) bool { return slices.Contains(s.Layers, l.Object) }) {
			r.Squares = append(r.Squares, s)
		}
	}
	if len(found) > 0 && len(r.Squares) == 0 {
		r.Warnings = append(r.Warnings, Warning{Text: fmt.Sprintf(
			"the test squares%s went with the rest: keep that layer too, so that the print can be measured", inLayers(found[0].Layers, doc.Layers()))})
	}
}

// inLayers names the layers of a square.
func inLayers(objects []int, list []Layer) string {
	var names []string
	for _, l := range list {
		if slices.Contains(objects, l.Object) {
			names = append(names, fmt.Sprintf("%q", l.Name))
		}
	}
	switch len(names) {
	case 0:
		return ""
	case 1:
		return " (layer " + names[0] + ")"
	}
	return " (layers " + strings.Join(names, ", ") + ")"
}
