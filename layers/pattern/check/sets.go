package check

import (
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/sizes"
)

// known reports whether sizes can be told apart in a file at all, and finds fault
// with it where they cannot.
func (c *checker) known(f *file) bool {
	switch {
	case f.byLine():
		return f.hasSize()
	case len(f.layers) == 0:
		c.add("no-layers", f, nil, "The file has no layers.", "Export it from the drawing program with its layers.")
		return false
	case !f.hasSize():
		c.add("no-sizes", f, nil, "No layer of the file is a size.",
			fmt.Sprintf("Name the layers of the sizes alike, such as %s.", c.likeThis()))
		return false
	}
	return true
}

// likeThis shows names of sizes, those of the chart where there are any.
func (c *checker) likeThis() string {
	names := []string{"Size 8", "Size 10"}
	if labels := c.chart.Labels(); len(labels) > 1 && c.form.Names != "" {
		names = []string{c.named(labels[0]), c.named(labels[1])}
	}
	return quoted(names)
}

// sets finds layers that are too many or too few.
func (c *checker) sets(f *file) {
	gaps := c.gaps(f)
	for _, l := range f.layers {
		switch {
		case l.answer.Kind == sizes.KindAmbiguous:
			c.add("layer-ambiguous", f, l, eitherSize(l),
				"Give it a name that says one size, or list it in the chart under the layers of a size.")
		case isNone(l.answer.Kind) && !f.heads(l) && !l.renamed:
			c.unknown(f, l, gaps)
		}
	}
	for _, g := range gaps {
		if g.filled {
			continue
		}
		c.add(g.rule, f, nil, g.text, g.do).Layer = g.name
	}
}

// unknown finds fault with a layer that is nothing to the chart. Where it may be
// one that is missing, that is the new name.
func (c *checker) unknown(f *file, l *layer, gaps []*gap) {
	text, do := c.doubt(l), "Rename it, or list it in the chart under keep (every print needs it) or drop (none does)."
	aSize := l.answer.Lacks
	rename := ""
	switch {
	case c.drafted != nil:
		do = "Name it after what it holds, or list it in a chart under keep (every print needs it) or drop (none does)."
		if bare := c.bareNumber(f, l); bare != "" {
			rename = bare
			do = fmt.Sprintf("If it is a size, rename it to %s; else name it after what it holds.", quote(bare))
		} else if aSize {
			do = fmt.Sprintf("If it is a size, name it like the others, such as %s; else name it after what it holds.",
				c.likeThis())
		}
	case aSize:
		do = "Add the size to the chart, or rename the layer."
	}
	var names []string
	for _, g := range gaps {
		if !g.filled {
			names = append(names, g.name)
		}
	}
	if near := sizes.Nearest(l.plain, names); near != "" {
		rename = near
		do = fmt.Sprintf("If it is what is missing here, rename it to %s.", quote(near))
		gaps[slices.IndexFunc(gaps, func(g *gap) bool { return g.name == near && !g.filled })].filled = true
	}
	if len(l.Uses) == 0 && !l.Within && rename == "" {
		return // it is found empty
	}
	c.add("layer-unknown", f, l, text, do).Rename = rename
}

// bareNumber is the name by the form for a layer named by a number alone, "" where
// that is taken or there is no form.
func (c *checker) bareNumber(f *file, l *layer) string {
	isDigit := func(r rune) bool { return '0' <= r && r <= '9' }
	if l.plain == "" || len(l.plain) > 3 || strings.TrimFunc(l.plain, isDigit) != "" || c.form.Names == "" {
		return ""
	}
	name := c.named(l.plain)
	if name == l.plain ||
		slices.ContainsFunc(f.layers, func(o *layer) bool { return o.Name == name || o.expected == name }) {
		return ""
	}
	return name
}

// doubt says why a layer is nothing to a chart that was drafted.
func (c *checker) doubt(l *layer) string {
	if reason, ok := c.doubts[sizes.Key(l.plain)]; ok {
		return quote(l.Name) + " " + reason + "."
	}
	return sentence(l)
}

// sentence says why a layer is what it is to the chart.
func sentence(l *layer) string {
	return quote(l.Name) + " " + strings.TrimSuffix(l.answer.Reason, ".") + "."
}

// eitherSize says which sizes a layer may be.
func eitherSize(l *layer) string {
	var claims []string
	for _, claim := range l.answer.Claims {
		if text := quoted(claim.Sizes); len(claim.Sizes) > 0 && !slices.Contains(claims, text) {
			claims = append(claims, text)
		}
	}
	if len(claims) < 2 {
		return sentence(l)
	}
	return fmt.Sprintf("%s may be size %s.", quote(l.Name), strings.Join(claims, " or "))
}

// isNone reports whether a layer is nothing to the chart: of no size of it, and not listed.
func isNone(kind sizes.Kind) bool { return kind == sizes.KindUnknown || kind == sizes.KindOther }

// heads reports whether other layers stand under a layer that holds nothing, as
// under a heading.
func (f *file) heads(l *layer) bool {
	return len(l.Uses) == 0 && f.above[l.Name]
}

// gap is a layer that a file lacks.
type gap struct {
	rule, name, text, do string
	filled               bool // another layer of the file may be it
}

// gaps are the layers that other files have, and the sizes of the chart that no
// file has; those are told of the first file.
func (c *checker) gaps(f *file) []*gap {
	var list []*gap
	seen := map[string]bool{}
	for _, l := range f.layers {
		seen[l.group()] = true
	}
	for _, g := range c.files {
		for _, l := range g.layers {
			doubtful := isNone(l.answer.Kind) || l.answer.Kind == sizes.KindAmbiguous
			aside := l.answer.Kind == sizes.KindDrop || l.answer.Kind == sizes.KindKeep && ofPaper(l.plain)
			if seen[l.group()] || g.heads(l) || doubtful || aside {
				continue // what is in doubt has a finding of its own, and no print needs what is dropped
			}
			seen[l.group()] = true
			other := c.counterpart(f, g, l)
			if other != "" && f.at < g.at {
				continue // the other file is told to rename its layer
			}
			do := fmt.Sprintf("Add it; or, where it has another name here, rename it to %s.", quote(l.Name))
			if other != "" {
				do = fmt.Sprintf("If %s is what it should be, rename that to %s; else add it.", quote(other),
					quote(l.Name))
			}
			list = append(list, &gap{rule: "layer-missing", name: l.Name,
				text: fmt.Sprintf("There is no layer %s, which %s has.", quote(l.Name), g.Name), do: do})
		}
	}
	if f.at > 0 || c.drafted != nil {
		return list
	}
	for _, label := range c.chart.Labels() {
		of := func(l *layer) bool { return slices.Contains(l.answer.Sizes, label) }
		if slices.ContainsFunc(c.files, func(f *file) bool { return slices.ContainsFunc(f.layers, of) }) {
			continue
		}
		name := label
		if c.form.Names != "" {
			name = c.named(label)
		}
		list = append(list, &gap{rule: "size-missing", name: name,
			text: fmt.Sprintf("No file has a layer for size %s of the chart.", quote(label)),
			do:   fmt.Sprintf("Add a layer %s, or take the size out of the chart.", quote(name))})
	}
	return list
}

// counterpart is the name of a layer that f alone has and that is written almost
// like a layer that g alone has, "" where there is none. Sizes have none: what
// looks alike there may be the next size.
func (c *checker) counterpart(f, g *file, l *layer) string {
	if l.answer.Kind != sizes.KindKeep {
		return ""
	}
	has := func(in *file, group string) bool {
		return slices.ContainsFunc(in.layers, func(o *layer) bool { return o.group() == group })
	}
	near := func(a, b string) bool {
		return sizes.Nearest(a, []string{b}) != "" && sizes.Nearest(b, []string{a}) != ""
	}
	for _, o := range f.layers {
		if o.answer.Kind == sizes.KindKeep && !has(g, o.group()) && !has(f, l.group()) && near(o.plain, l.plain) {
			return o.Name
		}
	}
	return ""
}

// group is equal for layers that stand for each other in the files of a
// pattern.
func (l *layer) group() string {
	if l.answer.Kind == sizes.KindSize {
		return "size\x00" + strings.Join(l.answer.Sizes, "\x00")
	}
	return "name\x00" + l.key
}

// A Row is one name over all files.
type Row struct {
	Layer string     `json:"layer"`
	Kind  sizes.Kind `json:"kind"`
	Sizes []string   `json:"sizes,omitempty"` // labels, of a size
	// Files are in the order of the files.
	Files []Cell `json:"files"`
}

// A Cell says what the layers of one name are in one file.
type Cell struct {
	Layers int `json:"layers"` // how many there are, 0 for none
	Pages  int `json:"pages"`  // on which they hold something
	Marks  int `json:"marks"`
	// Within is true where one of them draws within something else.
	Within bool `json:"within,omitempty"`
}

// rows are the names of all files: sizes in the order of the chart, then the
// others as they come.
func (c *checker) rows() []Row {
	rows := []Row{}
	at := map[string]int{}
	for i, f := range c.files {
		for _, l := range f.layers {
			k, ok := at[l.Name]
			if !ok {
				k = len(rows)
				at[l.Name] = k
				rows = append(rows,
					Row{Layer: l.Name, Kind: l.answer.Kind, Sizes: l.answer.Sizes, Files: make([]Cell, len(c.files))})
			}
			cell := &rows[k].Files[i]
			cell.Layers++
			cell.Pages += len(l.Uses)
			cell.Within = cell.Within || l.Within
			for _, u := range l.Uses {
				cell.Marks += u.Paths + u.Texts + u.Images
			}
		}
	}
	labels := c.chart.Labels()
	rank := func(r Row) int { // that of its smallest size
		if r.Kind != sizes.KindSize {
			return len(labels)
		}
		return slices.Index(labels, r.Sizes[0])
	}
	slices.SortStableFunc(rows, func(a, b Row) int { return rank(a) - rank(b) })
	return rows
}
