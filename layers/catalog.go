package layers

import (
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
)

// properties rewrites the optional content of the catalog to the layers that
// stay (8.11.4.2, 8.11.4.3): all on but those that stay off unchanged. Usage,
// intents and further configurations, which engines read differently, go; the
// states they gave for printing are the states now.
func (c *choice) properties() {
	_, ref := c.doc.PDF.Root()
	root := pdf.AsDict(c.edit, ref).Clone()
	var kept, off pdf.Array
	for _, g := range c.doc.Groups {
		if c.flatten || c.gone(g.Ref) {
			continue
		}
		kept = append(kept, g.Ref)
		if c.state[g.Ref] == optional.Undecided && !g.Layer.Print {
			off = append(off, g.Ref)
		}
		c.group(g)
	}
	delete(root, "OCProperties")
	if len(kept) > 0 {
		root["OCProperties"] = pdf.Dict{"OCGs": kept, "D": c.configuration(off)}
	} else {
		c.layerless(root)
	}
	c.edit.Set(ref, root)
}

// layerless takes out of the catalog what only makes sense where there are
// layers: their panel (Table 28, PageMode; Table 150, NonFullScreenPageMode),
// and the requirements to handle them (Table 264; 12.11 of ISO 32000-2).
func (c *choice) layerless(root pdf.Dict) {
	if pdf.AsName(c.edit, root["PageMode"]) == "UseOC" {
		delete(root, "PageMode")
	}
	if view := pdf.AsDict(c.edit, root["ViewerPreferences"]); pdf.AsName(c.edit, view["NonFullScreenPageMode"]) == "UseOC" {
		root["ViewerPreferences"] = without(view, []pdf.Name{"NonFullScreenPageMode"})
	}
	was := pdf.AsArray(c.edit, root["Requirements"])
	rest := slices.DeleteFunc(slices.Clone(was), func(o pdf.Object) bool {
		return strings.HasPrefix(string(pdf.AsName(c.edit, pdf.AsDict(c.edit, o)["S"])), "OC")
	})
	switch {
	case len(rest) == len(was):
	case len(rest) == 0:
		delete(root, "Requirements")
	default:
		root["Requirements"] = rest
	}
}

// configuration is the default configuration of the output.
func (c *choice) configuration(off pdf.Array) pdf.Dict {
	was := c.doc.Config
	now := pdf.Dict{}
	for _, k := range []pdf.Name{"Name", "Creator", "ListMode"} {
		if v, ok := was[k]; ok {
			now[k] = v
		}
	}
	if len(off) > 0 {
		now["OFF"] = off
	}
	order := c.order(was["Order"], 0, map[pdf.Ref]bool{})
	if c.claims { // ISO 19005-2, 6.9: a name, and every group in the order
		if _, named := now["Name"]; !named {
			now["Name"] = pdf.String("Layers")
		}
		order = append(order, c.missing(order)...)
	}
	if len(order) > 0 {
		now["Order"] = order
	}
	if locked := c.staying(was["Locked"]); len(locked) > 0 {
		now["Locked"] = locked
	}
	var radio pdf.Array
	for _, o := range pdf.AsArray(c.doc.PDF, was["RBGroups"]) {
		if set := c.staying(o); len(set) > 1 && !c.together(set) {
			radio = append(radio, set)
		}
	}
	if len(radio) > 0 {
		now["RBGroups"] = radio
	}
	return now
}

// staying are the references of an array to groups that stay.
func (c *choice) staying(o pdf.Object) pdf.Array {
	var list pdf.Array
	for _, g := range c.doc.Members(o) {
		if !c.gone(g.Ref) && !slices.Contains(list, pdf.Object(g.Ref)) {
			list = append(list, g.Ref)
		}
	}
	return list
}

// together tells whether more than one of the groups is on: then they cannot
// exclude each other any more.
func (c *choice) together(set pdf.Array) bool {
	on := 0
	for _, o := range set {
		if g := c.doc.Group(o.(pdf.Ref)); c.state[g.Ref] == optional.True || g.Layer.Print {
			on++
		}
	}
	return on > 1
}

// order filters an order array: groups that go and labels without groups are
// left out, and the children of a group that goes take its place.
func (c *choice) order(o pdf.Object, depth int, arrays map[pdf.Ref]bool) pdf.Array {
	if depth > optional.MaxOrderDepth {
		return nil
	}
	src := c.doc.PDF
	var now pdf.Array
	orphans := false // the group before went
	for i, v := range pdf.AsArray(src, o) {
		if ref, ok := v.(pdf.Ref); ok && c.doc.Group(ref) != nil {
			if orphans = c.gone(ref); !orphans {
				now = append(now, ref)
			}
			continue
		}
		if _, label := pdf.AsString(src, v); label && i == 0 && depth > 0 {
			now = append(now, v)
			continue
		}
		inner := pdf.AsArray(src, v)
		if inner == nil || again(arrays, v) {
			continue
		}
		rest := c.order(v, depth+1, arrays)
		switch {
		case len(rest) == 0:
		case orphans && !optional.Labelled(src, inner):
			now = append(now, rest...)
		default:
			now = append(now, rest)
		}
	}
	if len(now) == 1 && optional.Labelled(src, now) {
		return nil
	}
	return now
}

// missing are the groups that stay and that an order leaves out.
func (c *choice) missing(order pdf.Array) pdf.Array {
	listed := map[pdf.Object]bool{}
	var walk func(pdf.Array)
	walk = func(a pdf.Array) {
		for _, v := range a {
			switch v := v.(type) {
			case pdf.Ref:
				listed[v] = true
			case pdf.Array:
				walk(v)
			}
		}
	}
	walk(order)
	var rest pdf.Array
	for _, g := range c.doc.Groups {
		if !c.gone(g.Ref) && !listed[g.Ref] {
			rest = append(rest, g.Ref)
		}
	}
	return rest
}

// group writes a group that stays: its name, what of a page it is, and the
// intent unless that would make the layer have no effect. All else is what
// engines take for its state, or tells of who made it (Table 102).
func (c *choice) group(g *optional.Group) {
	was := pdf.AsDict(c.edit, g.Ref)
	now := pdf.Dict{"Type": pdf.Name("OCG"), "Name": was["Name"]}
	if slices.Contains(g.Layer.Intent, "View") || slices.Contains(g.Layer.Intent, "All") {
		now["Intent"] = was["Intent"]
	}
	if of := pdf.AsDict(c.edit, was["Usage"])["PageElement"]; of != nil {
		now["Usage"] = pdf.Dict{"PageElement": of}
	}
	for k, v := range now {
		if v == nil {
			delete(now, k)
		}
	}
	c.edit.Set(g.Ref, now)
}

// again reports whether a reference has been met before, and notes it.
func again(seen map[pdf.Ref]bool, v pdf.Object) bool {
	ref, ok := v.(pdf.Ref)
	if !ok {
		return false
	}
	before := seen[ref]
	seen[ref] = true
	return before
}
