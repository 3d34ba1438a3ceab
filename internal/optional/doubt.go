package optional

import (
	"cmp"
	"context"
	"fmt"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/layers/failure"
)

// Doubt gives a *failure.FormatError where content is tied to something that some
// readers take for a layer and others do not: an object of the list of layers that
// is no group (8.11.2.1), or what says of which groups it is but not that it is a
// membership dictionary (8.11.2.2). Whatever would be removed or kept of such
// content, some reader has shown it otherwise. So it does where the list is broken
// and leaves out a group, which no reader switches then. The answer is remembered;
// the other error is the context's.
func (d *Document) Doubt(ctx context.Context) error {
	if !d.present {
		return nil
	}
	doubt, err := d.doubt.get(ctx, d.findDoubt)
	return cmp.Or(err, doubt)
}

// findDoubt goes through all objects. Its err is the context's.
func (d *Document) findDoubt(ctx context.Context) (doubt, err error) {
	for _, g := range d.Groups {
		if d.unsure && !g.Layer.Listed {
			const why = "it is the layer %q, which is missing from the list of layers, and that list is broken: " +
				"readers always show such a layer; download or copy the file again"
			return &failure.FormatError{Object: int(g.Ref), Reason: fmt.Sprintf(why, g.Layer.Name)}, nil
		}
	}
	for _, ref := range d.PDF.Refs() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		pdf.Walk(d.PDF.Object(ref), func(o pdf.Object) {
			dict, _ := o.(pdf.Dict)
			for _, tie := range d.ties(dict) {
				if doubt == nil {
					doubt = d.doubtOf(tie)
				}
			}
		})
		if doubt != nil {
			return doubt, nil
		}
	}
	return nil, nil
}

// ties are the values of a dictionary that tie content to layers (8.11.3): of its
// own entry, of property lists, and of a membership dictionary.
func (d *Document) ties(dict pdf.Dict) (list []pdf.Object) {
	if oc := dict["OC"]; oc != nil {
		list = append(list, oc)
	}
	if properties := dict["Properties"]; properties != nil {
		for _, v := range pdf.AsDict(d.PDF, properties) {
			list = append(list, v)
		}
	}
	if dict["OCGs"] != nil && pdf.AsName(d.PDF, dict["Type"]) == "OCMD" {
		list = append(append(list, dict["OCGs"]), pdf.AsArray(d.PDF, dict["OCGs"])...)
	}
	return list
}

// doubtOf is what makes it doubtful whether content is tied to a layer, nil where
// nothing does.
func (d *Document) doubtOf(tie pdf.Object) error {
	const differ = "readers differ on what they show of it, so download or copy the file again"
	ref, _ := tie.(pdf.Ref)
	if d.doubtful[ref] {
		const why = "it stands in the list of layers, and content is in it, but it is no layer; "
		return &failure.FormatError{Object: int(ref), Reason: why + differ}
	}
	dict := pdf.AsDict(d.PDF, tie)
	kind := pdf.AsName(d.PDF, dict["Type"])
	if d.byRef[ref] != nil || kind == "OCMD" || dict["Type"] == nil || dict["OCGs"] == nil && dict["VE"] == nil {
		return nil
	}
	why := fmt.Sprintf("it says in which layers content is, but is of the type %q; ", string(kind))
	return &failure.FormatError{Object: int(ref), Reason: why + differ}
}
