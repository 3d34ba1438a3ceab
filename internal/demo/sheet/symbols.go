package sheet

import (
	"fmt"

	"github.com/sizeply/sizeply/internal/demo/artwork"
	"github.com/sizeply/sizeply/internal/demo/draft"
)

// addSymbols adds each symbol as a form XObject without colours of its own
// (8.10.2, table 95).
func (d *document) addSymbols() error {
	for _, s := range d.drawing.Symbols {
		c := &content{document: d}
		var paths []draft.Path
		room := 0.0 // for lines
		for _, shape := range s.Shapes {
			switch shape := shape.(type) {
			case artwork.Fill:
				c.paths(shape.Paths, true)
				c.op("f")
				paths = append(paths, shape.Paths...)
			case artwork.Stroke:
				c.paths(shape.Paths, shape.Closed)
				c.op("S")
				room = 1
				paths = append(paths, shape.Paths...)
			default:
				return fmt.Errorf("symbol %q: shape of kind %T, not a fill or stroke", s.Name, shape)
			}
		}
		box := draft.Bounds(paths...)
		box.Min, box.Max = box.Min.Sub(draft.Point{X: room, Y: room}), box.Max.Add(draft.Point{X: room, Y: room})
		entries := fmt.Sprintf("/Type/XObject/Subtype/Form/BBox[%s %s]/Resources<<>>", pair(box.Min), pair(box.Max))
		form, err := d.addStream(entries, c.Bytes())
		if err != nil {
			return err
		}
		d.symbols[s.Name] = form
	}
	return nil
}
