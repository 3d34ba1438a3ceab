package sheet

import (
	"fmt"
	"strings"
)

// a group is the optional content group of a layer (8.11.2.1, table 98) and
// its name among the page's properties.
type group struct {
	ref      ref
	property string
}

func (d *document) addGroups() {
	for i, l := range d.drawing.Layers {
		r := d.add(fmt.Sprintf("<</Type/OCG/Name%s>>", textString(l.Name)))
		d.groups[l.Name] = group{r, fmt.Sprintf("L%d", i)}
	}
}

// properties gives the optional content properties (8.11.4.2, table 100):
// every group on, listed in order.
func (d *document) properties() string {
	var all []string
	for _, l := range d.drawing.Layers {
		all = append(all, d.groups[l.Name].ref.String())
	}
	list := strings.Join(all, " ")
	return fmt.Sprintf("<</OCGs[%s]/D<</Name(Layers)/ON[%s]/OFF[]/Order%s>>>>", list, list, d.order())
}

// order gives the tree of layers; neighbours under one heading share an
// array that starts with the heading's text (8.11.4.3, table 101).
func (d *document) order() string {
	var b strings.Builder
	b.WriteByte('[')
	open := ""
	for _, l := range d.drawing.Layers {
		if l.Heading != open {
			if open != "" {
				b.WriteByte(']')
			}
			if l.Heading != "" {
				b.WriteString("[" + textString(l.Heading))
			}
			open = l.Heading
		}
		fmt.Fprintf(&b, " %v", d.groups[l.Name].ref)
	}
	if open != "" {
		b.WriteByte(']')
	}
	return b.String() + "]"
}
