package isolate

import (
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
)

// editProperties rewrites the optional content of the catalog to the layers that
// are kept (8.11.4.2, 8.11.4.3): all on but those that stay off unchanged.
// Usage, intents and further configurations, which engines read differently, are
// left out; the states they gave for printing are the states now.
func (e *editor) editProperties() {
	var kept, off pdf.Array
	for _, g := range e.layers() {
		kept = append(kept, g.Ref)
		if e.printed(g.Ref) == optional.False {
			off = append(off, g.Ref)
		}
		e.editGroup(g)
	}
	if len(kept) > 0 {
		e.setCatalog("OCProperties", pdf.Dict{"OCGs": kept, "D": e.configuration(off)})
		return
	}
	e.setCatalog("OCProperties", nil)
	// What only makes sense where there are layers: their panel (Table 28,
	// PageMode; Table 150, NonFullScreenPageMode), and the requirements to handle
	// them (Table 264; 12.11 of ISO 32000-2).
	root := e.catalog()
	if pdf.AsName(e.edit, root["PageMode"]) == "UseOC" {
		e.setCatalog("PageMode", nil)
	}
	view := pdf.AsDict(e.edit, root["ViewerPreferences"])
	if pdf.AsName(e.edit, view["NonFullScreenPageMode"]) == "UseOC" {
		e.setCatalog("ViewerPreferences", without(view, "NonFullScreenPageMode"))
	}
	was := pdf.AsArray(e.edit, root["Requirements"])
	rest := slices.DeleteFunc(slices.Clone(was), func(o pdf.Object) bool {
		return strings.HasPrefix(string(pdf.AsName(e.edit, pdf.AsDict(e.edit, o)["S"])), "OC")
	})
	if len(rest) < len(was) {
		e.setCatalog("Requirements", unlessEmpty(rest))
	}
}

// editGroup writes a group that is kept: its name, what of a page it is, and the
// intent unless that would make the layer have no effect. All else is what
// engines take for its state, or tells of who made it (Table 102).
func (e *editor) editGroup(g *optional.Group) {
	was := pdf.AsDict(e.edit, g.Ref)
	now := pdf.Dict{"Type": pdf.Name("OCG")}
	if name := was["Name"]; name != nil {
		now["Name"] = name
	}
	shows := slices.Contains(g.Layer.Intent, "View") || slices.Contains(g.Layer.Intent, "All")
	if was["Intent"] != nil && shows {
		now["Intent"] = knownIntents(g.Layer.Intent)
	}
	element := pdf.AsDict(e.edit, pdf.AsDict(e.edit, was["Usage"])["PageElement"])
	if kind := pdf.AsName(e.edit, element["Subtype"]); kind != "" {
		now["Usage"] = pdf.Dict{"PageElement": pdf.Dict{"Subtype": kind}}
	}
	e.edit.Set(g.Ref, now)
}

// knownIntents are those intents that the standard has (8.11.2.3).
func knownIntents(list []string) pdf.Object {
	var known pdf.Array
	for _, intent := range list {
		if intent == "View" || intent == "Design" || intent == "All" {
			known = append(known, pdf.Name(intent))
		}
	}
	if len(known) == 1 {
		return known[0]
	}
	return known
}

// configuration is the default configuration of the output. Its name and its
// creator, which may tell of any layer, stay where nothing is removed.
func (e *editor) configuration(off pdf.Array) pdf.Dict {
	was := e.doc.Config
	now := pdf.Dict{}
	if mode := pdf.AsName(e.doc.PDF, was["ListMode"]); mode == "VisiblePages" || mode == "AllPages" {
		now["ListMode"] = mode
	}
	if !e.filters() {
		now = with(with(now, "Name", was["Name"]), "Creator", was["Creator"])
	}
	if len(off) > 0 {
		now["OFF"] = off
	}
	listed := map[pdf.Ref]bool{}
	order := e.order(was["Order"], 0, listed, map[pdf.Ref]bool{})
	if e.claimsPDFA { // ISO 19005-2, 6.9: a name, and every group in the order
		now["Name"] = pdf.String("Layers")
		for _, g := range e.layers() {
			if !listed[g.Ref] {
				order = append(order, g.Ref)
			}
		}
	}
	if len(order) > 0 {
		now["Order"] = order
	}
	if locked, _ := e.keptOf(was["Locked"]); len(locked) > 0 {
		now["Locked"] = locked
	}
	var radio pdf.Array
	for _, o := range pdf.AsArray(e.doc.PDF, was["RBGroups"]) {
		// Where more than one is on, they cannot exclude each other any more.
		if set, on := e.keptOf(o); len(set) > 1 && on <= 1 {
			radio = append(radio, set)
		}
	}
	if len(radio) > 0 {
		now["RBGroups"] = radio
	}
	return now
}

// keptOf are the references of an array to groups that are kept, each once, and
// how many of them are on.
func (e *editor) keptOf(o pdf.Object) (list pdf.Array, on int) {
	for _, g := range e.doc.Members(o) {
		if e.removed(g.Ref) || slices.Contains(list, pdf.Object(g.Ref)) {
			continue
		}
		list = append(list, g.Ref)
		if e.states[g.Ref] == optional.True || g.Layer.Print {
			on++
		}
	}
	return list, on
}

// order filters an order array (8.11.4.3, Table 101): groups that are removed and
// labels without groups are left out, and the children of a group that is
// removed take its place. It notes the groups that it lists, and the arrays that
// it has met, of which each counts once.
func (e *editor) order(o pdf.Object, depth int, listed, met map[pdf.Ref]bool) pdf.Array {
	if depth > optional.MaxOrderDepth {
		return nil
	}
	src := e.doc.PDF
	var now pdf.Array
	orphans := false // the group before is removed
	for i, v := range pdf.AsArray(src, o) {
		ref, indirect := v.(pdf.Ref)
		if indirect && e.doc.Group(ref) != nil {
			if orphans = e.removed(ref); !orphans {
				now, listed[ref] = append(now, ref), true
			}
			continue
		}
		if _, label := pdf.AsString(src, v); label && i == 0 && depth > 0 {
			now = append(now, v)
			continue
		}
		inner := pdf.AsArray(src, v)
		if inner == nil || met[ref] {
			continue
		}
		met[ref] = indirect
		rest := e.order(v, depth+1, listed, met)
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
