package layers

import (
	"fmt"
	"iter"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/pdf"
)

// group is an optional content group with what the file says of it.
type group struct {
	ref   pdf.Ref
	layer Layer
}

// properties is the optional content of a document (8.11.4): its groups and
// their states in the default configuration.
type properties struct {
	present  bool // the catalog has OCProperties: else nothing is optional
	dict     pdf.Dict
	config   pdf.Dict // the default configuration D
	groups   []*group
	byRef    map[pdf.Ref]*group
	lost     []string // the names of groups without OCProperties
	warnings []Warning
}

// readProperties reads the groups and their default states. What is broken is
// passed over.
func readProperties(doc *pdf.Document) *properties {
	root, _ := doc.Root()
	p := &properties{byRef: map[pdf.Ref]*group{}}
	p.dict = pdf.AsDict(doc, root["OCProperties"])
	p.present = p.dict != nil
	if !p.present {
		p.lose(doc)
		return p
	}
	p.config = pdf.AsDict(doc, p.dict["D"])
	other := skeleton(doc)
	for _, o := range pdf.AsArray(doc, p.dict["OCGs"]) {
		ref, ok := o.(pdf.Ref)
		if !ok || other[ref] || p.byRef[ref] != nil || !mayBeGroup(doc, pdf.AsDict(doc, ref)) {
			continue
		}
		p.add(doc, ref, true)
	}
	p.discover(doc, other)
	p.states(doc)
	p.order(doc)
	return p
}

// skeleton are the objects without which there is no document: catalog and page
// tree. None is a group, whatever a broken file says.
func skeleton(doc *pdf.Document) map[pdf.Ref]bool {
	root, catalog := doc.Root()
	list := map[pdf.Ref]bool{catalog: true}
	add := func(o pdf.Object) bool {
		ref, ok := o.(pdf.Ref)
		if !ok || list[ref] {
			return false
		}
		list[ref] = true
		return true
	}
	add(root["Pages"])
	for _, p := range doc.Pages() {
		list[p.Ref] = true
		for node := p.Dict; add(node["Parent"]); {
			node = pdf.AsDict(doc, node["Parent"])
		}
	}
	return list
}

// mayBeGroup tells whether a listed dictionary may be a group, which does
// without its type, but is nothing else: a broken list may name the catalog.
func mayBeGroup(doc pdf.Objects, d pdf.Dict) bool {
	kind := pdf.AsName(doc, d["Type"])
	return d != nil && (kind == "OCG" || kind == "")
}

// add appends a group.
func (p *properties) add(doc *pdf.Document, ref pdf.Ref, listed bool) {
	d := pdf.AsDict(doc, ref)
	g := &group{ref: ref, layer: Layer{
		Object: int(ref), Name: groupName(doc, d), Listed: listed,
		Intent: intent(doc, d), Usage: usage(doc, d),
	}}
	p.groups = append(p.groups, g)
	p.byRef[ref] = g
}

// groupName decodes a name; a name object in place of a string is accepted.
func groupName(doc *pdf.Document, d pdf.Dict) string {
	if s, ok := pdf.AsString(doc, d["Name"]); ok {
		return pdf.Text(s)
	}
	return string(pdf.AsName(doc, d["Name"]))
}

// intent is a name or an array of names, View by default (Table 98).
func intent(doc *pdf.Document, d pdf.Dict) []string {
	list := []string{}
	if n := pdf.AsName(doc, d["Intent"]); n != "" {
		list = append(list, string(n))
	}
	for _, o := range pdf.AsArray(doc, d["Intent"]) {
		if n := pdf.AsName(doc, o); n != "" {
			list = append(list, string(n))
		}
	}
	if len(list) == 0 {
		list = append(list, "View")
	}
	return list
}

// usage reads the usage dictionary (Table 102).
func usage(doc *pdf.Document, d pdf.Dict) Usage {
	u := pdf.AsDict(doc, d["Usage"])
	name := func(category, entry pdf.Name) string {
		return string(pdf.AsName(doc, pdf.AsDict(doc, u[category])[entry]))
	}
	state := func(category, entry pdf.Name) string {
		if s := name(category, entry); s == "ON" || s == "OFF" {
			return s
		}
		return ""
	}
	creator, _ := pdf.AsString(doc, pdf.AsDict(doc, u["CreatorInfo"])["Creator"])
	return Usage{
		View: state("View", "ViewState"), Print: state("Print", "PrintState"), Export: state("Export", "ExportState"),
		Subtype: name("Print", "Subtype"), Element: name("PageElement", "Subtype"), Creator: pdf.Text(creator),
	}
}

// discover adds the groups that the list leaves out: dictionaries of the type
// OCG that content, membership dictionaries, annotations or configurations
// refer to. Any object of that type in the file is taken; one that nothing
// refers to does no harm.
func (p *properties) discover(doc *pdf.Document, other map[pdf.Ref]bool) {
	var names []string
	for ref := range typedGroups(doc) {
		if !other[ref] && p.byRef[ref] == nil {
			p.add(doc, ref, false)
			names = append(names, fmt.Sprintf("%q (object %d)", p.byRef[ref].layer.Name, ref))
		}
	}
	switch len(names) {
	case 0:
	case 1:
		p.warn("layer %s is missing from the file's list of layers; it is treated like the others", names[0])
	default:
		p.warn("%d layers are missing from the file's list of layers: %s; they are treated like the others", len(names), some(names))
	}
}

// lose notes the groups that are there although nothing is optional: programs
// that join, split or tile files leave the list of layers out.
func (p *properties) lose(doc *pdf.Document) {
	for _, d := range typedGroups(doc) {
		p.lost = append(p.lost, groupName(doc, d))
	}
	if len(p.lost) > 0 {
		p.warn("%v", &LostLayersError{p.lost})
	}
}

// typedGroups are the dictionaries of a file that say they are groups.
func typedGroups(doc *pdf.Document) iter.Seq2[pdf.Ref, pdf.Dict] {
	return func(yield func(pdf.Ref, pdf.Dict) bool) {
		for _, ref := range doc.Refs() {
			if d, ok := doc.Object(ref).(pdf.Dict); ok && pdf.AsName(doc, d["Type"]) == "OCG" && !yield(ref, d) {
				return
			}
		}
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

// states sets the default states: BaseState for the listed groups, then ON,
// then OFF; OFF wins (8.11.4.3, Table 101).
func (p *properties) states(doc *pdf.Document) {
	base := pdf.AsName(doc, p.config["BaseState"]) != "OFF"
	for _, g := range p.groups {
		g.layer.On = base || !g.layer.Listed
	}
	for _, g := range p.members(doc, p.config["ON"]) {
		g.layer.On = true
	}
	for _, g := range p.members(doc, p.config["OFF"]) {
		g.layer.On = false
	}
	for _, g := range p.members(doc, p.config["Locked"]) {
		g.layer.Locked = true
	}
	for _, g := range p.groups {
		g.layer.Print = p.printState(doc, g)
	}
}

// members are the groups that an array refers to.
func (p *properties) members(doc *pdf.Document, o pdf.Object) []*group {
	var list []*group
	for _, v := range pdf.AsArray(doc, o) {
		if ref, ok := v.(pdf.Ref); ok && p.byRef[ref] != nil {
			list = append(list, p.byRef[ref])
		}
	}
	return list
}

// printState applies the usage application dictionaries for the event Print
// (8.11.4.4, Table 103): a group is on if all that is recommended for it says
// so, and stays as it is where nothing is.
func (p *properties) printState(doc *pdf.Document, g *group) bool {
	on := g.layer.On
	recommended := false
	for _, o := range pdf.AsArray(doc, p.config["AS"]) {
		as := pdf.AsDict(doc, o)
		if pdf.AsName(doc, as["Event"]) != "Print" || !slices.Contains(p.members(doc, as["OCGs"]), g) {
			continue
		}
		for _, c := range pdf.AsArray(doc, as["Category"]) {
			state := ""
			switch pdf.AsName(doc, c) {
			case "View":
				state = g.layer.Usage.View
			case "Print":
				state = g.layer.Usage.Print
			case "Export":
				state = g.layer.Usage.Export
			}
			if state == "" {
				continue
			}
			on = (on || !recommended) && state != "OFF"
			recommended = true
		}
	}
	return on
}

func (p *properties) warn(format string, args ...any) {
	p.warnings = append(p.warnings, Warning{Text: fmt.Sprintf(format, args...)})
}
