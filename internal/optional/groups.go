package optional

import (
	"context"
	"fmt"
	"iter"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/layers/failure"
	"github.com/sizeply/sizeply/layers/warning"
)

// A Group is an optional content group (8.11.2.1) with what the file says of it.
type Group struct {
	Ref   pdf.Ref
	Layer Layer
}

// readGroups reads the groups with their default states and their order. Where ctx
// ends, they are not all there.
func (d *Document) readGroups(ctx context.Context) {
	root, _ := d.PDF.Root()
	properties := pdf.AsDict(d.PDF, root["OCProperties"])
	d.present = properties != nil
	if !d.present {
		d.readLost(ctx)
		return
	}
	if d.Config = pdf.AsDict(d.PDF, properties["D"]); d.Config == nil {
		d.warn(warning.NoDefaults, nil, "the file does not say which layers are on by default; all are taken to be")
	}
	other := d.skeleton()
	d.readList(ctx, properties["OCGs"], other)
	d.addUnlisted(ctx, other)
	if d.readStates(ctx); ctx.Err() != nil {
		return
	}
	d.readOrder(d.Config["Order"], nil, 0, map[*Group]bool{}, map[pdf.Ref]bool{})
}

// readList reads the list of groups (Table 100). A listed group does without its
// type, but is nothing else: a broken list may name the catalog.
func (d *Document) readList(ctx context.Context, list pdf.Object, other map[pdf.Ref]bool) {
	d.unsure = pdf.AsArray(d.PDF, list) == nil
	for _, o := range pdf.AsArray(d.PDF, list) {
		if ctx.Err() != nil {
			return
		}
		ref, _ := o.(pdf.Ref)
		g, ok := d.PDF.Object(ref).(pdf.Dict)
		kind := pdf.AsName(d.PDF, g["Type"])
		switch {
		case d.byRef[ref] != nil:
			d.unsure = true // the other may have been that of another group
		case !ok || other[ref] || kind != "OCG" && pdf.Resolve(d.PDF, g["Type"]) != nil:
			d.doubtful[ref], d.unsure = ref != 0, true
			d.stray("OCGs")
		default:
			d.add(ref, true)
			if kind == "" {
				name := d.byRef[ref].Layer.Name
				d.warn(warning.UntypedLayer, []string{name}, "layer %q (object %d) does not say that it is one; "+
					"it is treated like the others, while some readers always show what is in it", name, ref)
			}
		}
	}
}

// stray warns, once for each list of layers, of something in it that is none.
func (d *Document) stray(list string) {
	said := func(w warning.Warning) bool { return w.Code == warning.StrayInList && w.About[0] == list }
	if !slices.ContainsFunc(d.warnings, said) {
		d.warn(warning.StrayInList, []string{list}, "the list of layers %s holds something that is no layer; "+
			"it is passed over, while some readers stop there", list)
	}
}

// readLost notes the groups that are there although nothing is optional:
// programs that join, split or tile files leave the list of layers out.
func (d *Document) readLost(ctx context.Context) {
	for _, g := range d.typedGroups(ctx) {
		d.lost = append(d.lost, d.groupName(g))
	}
	if len(d.lost) > 0 {
		d.warn(warning.LostLayers, d.lost, "%v", &failure.LostLayersError{Names: d.lost})
	}
}

// typedGroups are the dictionaries of a file that say they are groups, and have the
// name that all groups have (Table 96): a font that says so is none. It ends with ctx.
func (d *Document) typedGroups(ctx context.Context) iter.Seq2[pdf.Ref, pdf.Dict] {
	return func(yield func(pdf.Ref, pdf.Dict) bool) {
		for i, ref := range d.PDF.Refs() {
			if i%1000 == 0 && ctx.Err() != nil {
				return
			}
			g, _ := d.PDF.Object(ref).(pdf.Dict)
			if pdf.AsName(d.PDF, g["Type"]) == "OCG" && g["Name"] != nil && !yield(ref, g) {
				return
			}
		}
	}
}

// groupName decodes a name; a name object in place of a string is accepted.
func (d *Document) groupName(g pdf.Dict) string {
	if s, ok := pdf.AsString(d.PDF, g["Name"]); ok {
		return pdf.Text(s)
	}
	return string(pdf.AsName(d.PDF, g["Name"]))
}

// skeleton are the objects without which there is no document: catalog and page
// tree. None is a group, whatever a broken file says.
func (d *Document) skeleton() map[pdf.Ref]bool {
	_, catalog := d.PDF.Root()
	list := map[pdf.Ref]bool{catalog: true}
	for _, ref := range d.PDF.PageNodes() {
		list[ref] = true
	}
	for _, p := range d.PDF.Pages() {
		list[p.Ref] = true
	}
	return list
}

// add appends a group.
func (d *Document) add(ref pdf.Ref, listed bool) {
	dict := pdf.AsDict(d.PDF, ref)
	g := &Group{Ref: ref, Layer: Layer{
		Object: int(ref), Name: d.groupName(dict), Listed: listed,
		Intent: d.intent(dict), Usage: d.usage(dict),
	}}
	d.Groups = append(d.Groups, g)
	d.byRef[ref] = g
}

// intent is a name or an array of names, View by default (Table 98).
func (d *Document) intent(g pdf.Dict) []string {
	list := []string{}
	for _, o := range append(pdf.Array{g["Intent"]}, pdf.AsArray(d.PDF, g["Intent"])...) {
		if n := pdf.AsName(d.PDF, o); n != "" {
			list = append(list, string(n))
		}
	}
	if len(list) == 0 {
		list = append(list, "View")
	}
	return list
}

// usage reads the usage dictionary (Table 102).
func (d *Document) usage(g pdf.Dict) Usage {
	u := pdf.AsDict(d.PDF, g["Usage"])
	name := func(category, entry pdf.Name) string {
		return string(pdf.AsName(d.PDF, pdf.AsDict(d.PDF, u[category])[entry]))
	}
	state := func(category, entry pdf.Name) string {
		if s := name(category, entry); s == "ON" || s == "OFF" {
			return s
		}
		return ""
	}
	creator, _ := pdf.AsString(d.PDF, pdf.AsDict(d.PDF, u["CreatorInfo"])["Creator"])
	return Usage{
		View: state("View", "ViewState"), Print: state("Print", "PrintState"), Export: state("Export", "ExportState"),
		Subtype: name("Print", "Subtype"), Element: name("PageElement", "Subtype"), Creator: pdf.Text(creator),
	}
}

// addUnlisted adds the groups that the list leaves out: dictionaries of the type
// OCG that content, membership dictionaries, annotations or configurations
// refer to. Any object of that type in the file is taken; one that nothing
// refers to does no harm.
func (d *Document) addUnlisted(ctx context.Context, other map[pdf.Ref]bool) {
	var names, said []string
	for ref := range d.typedGroups(ctx) {
		if !other[ref] && d.byRef[ref] == nil {
			d.add(ref, false)
			name := d.byRef[ref].Layer.Name
			names, said = append(names, name), append(said, fmt.Sprintf("%q (object %d)", name, ref))
		}
	}
	switch len(names) {
	case 0:
	case 1:
		d.warn(warning.UnlistedLayers, names,
			"layer %s is missing from the file's list of layers; it is treated like the others", said[0])
	default:
		d.warn(warning.UnlistedLayers, names, "%d layers are missing from the file's list of layers: %s; "+
			"they are treated like the others", len(said), some(said))
	}
}

// some joins the first of a list.
func some(list []string) string {
	const most = 6
	if n := len(list) - most; n > 1 {
		return strings.Join(list[:most], ", ") + fmt.Sprintf(" and %d more", n)
	}
	return strings.Join(list, ", ")
}

// readStates sets the default states: BaseState for the listed groups, then ON,
// then OFF; OFF wins (8.11.4.3, Table 101). A group that the list leaves out is on
// even so: PDFium, Poppler, MuPDF and pdf.js show it whatever OFF says.
func (d *Document) readStates(ctx context.Context) {
	base := pdf.AsName(d.PDF, d.Config["BaseState"]) != "OFF"
	for _, g := range d.Groups {
		g.Layer.On = base || !g.Layer.Listed
	}
	for _, g := range d.Members(d.Config["ON"]) {
		g.Layer.On = true
	}
	for _, g := range d.Members(d.Config["OFF"]) {
		g.Layer.On = !g.Layer.Listed
	}
	for _, list := range []pdf.Name{"ON", "OFF"} {
		if len(d.Members(d.Config[list])) < len(pdf.AsArray(d.PDF, d.Config[list])) {
			d.stray(string(list))
		}
	}
	for _, g := range d.Members(d.Config["Locked"]) {
		g.Layer.Locked = true
	}
	d.readPrintStates(ctx)
}

// Members are the groups that an array refers to.
func (d *Document) Members(o pdf.Object) []*Group {
	var list []*Group
	for _, v := range pdf.AsArray(d.PDF, o) {
		if ref, ok := v.(pdf.Ref); ok && d.byRef[ref] != nil {
			list = append(list, d.byRef[ref])
		}
	}
	return list
}

// readPrintStates applies the usage application dictionaries for the event Print
// (8.11.4.4, Table 103): a group is on if all that is recommended for it says
// so, and stays as it is where nothing is.
func (d *Document) readPrintStates(ctx context.Context) {
	for _, g := range d.Groups {
		g.Layer.Print = g.Layer.On
	}
	recommended := map[*Group]bool{}
	for _, o := range pdf.AsArray(d.PDF, d.Config["AS"]) {
		as := pdf.AsDict(d.PDF, o)
		if ctx.Err() != nil {
			return
		}
		if pdf.AsName(d.PDF, as["Event"]) != "Print" {
			continue
		}
		for _, g := range d.Members(as["OCGs"]) {
			for _, c := range pdf.AsArray(d.PDF, as["Category"]) {
				if state := g.Layer.Usage.recommended(pdf.AsName(d.PDF, c)); state != "" {
					g.Layer.Print = (g.Layer.Print || !recommended[g]) && state != "OFF"
					recommended[g] = true
				}
			}
		}
	}
}

// recommended is the state that a category of usage recommends, "" for none.
func (u *Usage) recommended(category pdf.Name) string {
	switch category {
	case "View":
		return u.View
	case "Print":
		return u.Print
	case "Export":
		return u.Export
	}
	return ""
}

// MaxOrderDepth bounds the nesting of the order array.
const MaxOrderDepth = 32

// readOrder reads an array of the order in which viewers show the layers
// (8.11.4.3, Table 101): one that begins with a string is labelled with it; one
// without a label that follows a group holds the group's children. A group
// counts where it first stands, and an indirect array that is referred to twice
// is read once.
func (d *Document) readOrder(o pdf.Object, parents []string, depth int, seen map[*Group]bool, arrays map[pdf.Ref]bool) {
	if depth > MaxOrderDepth {
		return
	}
	var last *Group
	for i, v := range pdf.AsArray(d.PDF, o) {
		if s, ok := pdf.AsString(d.PDF, v); ok && i == 0 && depth > 0 {
			parents = append(slices.Clip(parents), pdf.Text(s))
			continue
		}
		ref, indirect := v.(pdf.Ref)
		if g := d.byRef[ref]; indirect && g != nil {
			last = g
			if !seen[g] {
				seen[g] = true
				g.Layer.Parents, g.Layer.Place = parents, len(seen)
			}
			continue
		}
		inner := pdf.AsArray(d.PDF, v)
		if inner == nil || indirect && arrays[ref] {
			continue
		}
		arrays[ref] = true
		above := parents
		if last != nil && !Labelled(d.PDF, inner) {
			above = append(slices.Clip(parents), last.Layer.Name)
		}
		d.readOrder(inner, above, depth+1, seen, arrays)
	}
}

// Labelled reports whether an array of the order begins with a string.
func Labelled(src pdf.Objects, a pdf.Array) bool {
	if len(a) == 0 {
		return false
	}
	_, ok := pdf.AsString(src, a[0])
	return ok
}
