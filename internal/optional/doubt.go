package optional

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/layers/failure"
)

// Doubt gives a *failure.FormatError where content is tied to something that some
// readers take for a layer and others do not: an object of the list of layers that
// is no group (8.11.2.1), or what says of which groups it is but not that it is a
// membership dictionary (8.11.2.2). Whatever would be removed or kept of such
// content, some reader has shown it otherwise. So it does where the list is broken
// and leaves out a group, which no reader switches then, and where a membership
// dictionary hides content while the groups are in these states, but not for all
// readers. What is found is remembered; the other error is the context's.
func (d *Document) Doubt(ctx context.Context, states States) error {
	if !d.present {
		return nil
	}
	found, err := d.doubt.get(ctx, d.findDoubts)
	if err = cmp.Or(err, found.whatever); err != nil {
		return err
	}
	for _, tie := range found.byState {
		if err := d.hiddenForSome(tie, states); err != nil {
			return err
		}
	}
	return nil
}

// doubts are what makes it doubtful whether content is shown: whatever is chosen, and
// the membership dictionaries that do where they hide something.
type doubts struct {
	whatever error
	byState  []pdf.Object
}

// findDoubts goes through all objects. Its err is the context's.
func (d *Document) findDoubts(ctx context.Context) (found doubts, err error) {
	for _, g := range d.Groups {
		if d.unsure && !g.Layer.Listed {
			const why = "it is the layer %q, which is missing from the list of layers, and that list is broken: " +
				"readers always show such a layer; download or copy the file again"
			found.whatever = &failure.FormatError{Object: int(g.Ref), Reason: fmt.Sprintf(why, g.Layer.Name)}
			return found, nil
		}
	}
	for _, ref := range d.PDF.Refs() {
		if err := ctx.Err(); err != nil {
			return found, err
		}
		pdf.Walk(d.PDF.Object(ref), func(o pdf.Object) {
			dict, _ := o.(pdf.Dict)
			for _, tie := range d.ties(dict) {
				if found.whatever == nil {
					found.whatever = d.doubtOf(tie)
				}
				if d.mayHideForSome(tie) {
					found.byState = append(found.byState, tie)
				}
			}
		})
		if found.whatever != nil {
			return found, nil
		}
	}
	return found, nil
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
	if pdf.AsName(d.PDF, dict["Type"]) == "OCMD" { // without what its arrays refer to
		pdf.Walk(pdf.AsArray(d.PDF, dict["VE"]), func(o pdf.Object) {
			if ref, ok := o.(pdf.Ref); ok {
				list = append(list, ref)
			}
		})
	}
	return list
}

const differ = "readers differ on what they show of it, so download or copy the file again"

// doubtOf is what makes it doubtful whether content is tied to a layer, nil where
// nothing does.
func (d *Document) doubtOf(tie pdf.Object) error {
	ref, _ := tie.(pdf.Ref)
	if d.doubtful[ref] {
		const why = "it stands in the list of layers, and content is in it, but it is no layer; "
		return &failure.FormatError{Object: int(ref), Reason: why + differ}
	}
	dict := pdf.AsDict(d.PDF, tie)
	kind := pdf.AsName(d.PDF, dict["Type"])
	if d.byRef[ref] != nil || kind == "OCMD" || dict["OCGs"] == nil && dict["VE"] == nil {
		return nil
	}
	why := fmt.Sprintf("it says in which layers content is, but is of the type %q; ", string(kind))
	if kind == "" {
		why = "it says in which layers content is, but not that it is a membership dictionary; "
	}
	return &failure.FormatError{Object: int(ref), Reason: why + differ}
}

// knowsPolicy reports whether the policy of a membership dictionary is one of Table 97,
// or is not asked since there is a visibility expression.
func (d *Document) knowsPolicy(dict pdf.Dict) bool {
	switch pdf.AsName(d.PDF, dict["P"]) {
	case "", "AllOn", "AnyOn", "AnyOff", "AllOff":
		return true
	}
	return dict["VE"] != nil
}

// mayHideForSome reports whether a tie is a membership dictionary of which readers
// make different things where it hides content. PDFium and MuPDF take a policy that
// they do not know for AnyOn, Poppler and pdf.js show the content always; where groups
// are not switched by any configuration, PDFium goes by memberships and Poppler and
// MuPDF show all content.
func (d *Document) mayHideForSome(tie pdf.Object) bool {
	dict := pdf.AsDict(d.PDF, tie)
	return pdf.AsName(d.PDF, dict["Type"]) == "OCMD" && (d.unswitched() || !d.knowsPolicy(dict))
}

// unswitched reports whether there is no default configuration, or no group in the
// list that it is for.
func (d *Document) unswitched() bool {
	return d.Config == nil || !slices.ContainsFunc(d.Groups, func(g *Group) bool { return g.Layer.Listed })
}

// hiddenForSome gives an error where a membership dictionary hides content for some
// readers alone.
func (d *Document) hiddenForSome(tie pdf.Object, states States) error {
	ref, _ := tie.(pdf.Ref)
	dict := pdf.AsDict(d.PDF, tie)
	m, _ := d.Membership(tie)
	why := ""
	switch {
	case m == nil:
	case !d.knowsPolicy(dict) && m.Eval(states) != True:
		policy := pdf.AsName(d.PDF, dict["P"])
		why = fmt.Sprintf("content is in several layers by the rule %q, which does not exist; ", string(policy))
	case d.unswitched() && m.Eval(func(pdf.Ref) Truth { return True }) != True:
		why = "it hides content while all layers are on, and the file has lost what says which of them are " +
			"(the list OCGs or the configuration D of its OCProperties); "
	}
	if why == "" {
		return nil
	}
	return &failure.FormatError{Object: int(ref), Reason: why + differ}
}
