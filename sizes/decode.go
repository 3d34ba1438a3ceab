package sizes

import (
	"fmt"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// A decoder turns YAML nodes into a chart. It keeps the first error and goes
// on, so that its methods need not return one, and remembers where each value
// stood, by its path: "sizes[3].label".
type decoder struct {
	src        *source
	at         places
	quantities []quantity
	err        error
}

// fail keeps the first error.
func (d *decoder) fail(n ast.Node, format string, args ...any) {
	if d.err == nil {
		d.err = d.src.fail(nodePosition(n), format, args...)
	}
}

func (d *decoder) chart(root ast.Node) *Chart {
	c := &Chart{}
	d.mapping(root, "", "the chart", map[string]func(string, ast.Node){
		"name":  func(path string, n ast.Node) { c.Name = d.text(path, n) },
		"unit":  func(path string, n ast.Node) { c.Unit = d.unit(path, n) },
		"names": func(path string, n ast.Node) { c.Names = d.text(path, n) },
		"keep":  func(path string, n ast.Node) { c.Keep = d.texts(path, n) },
		"drop":  func(path string, n ast.Node) { c.Drop = d.texts(path, n) },
		"sizes": func(path string, n ast.Node) {
			for i, item := range d.list(path, n, `[{label: "8"}, {label: "10"}]`) {
				c.Sizes = append(c.Sizes, d.size(i, fmt.Sprintf("%s[%d]", path, i), item))
			}
		},
		"accepted": func(path string, n ast.Node) {
			for i, item := range d.list(path, n, `[{finding: layer-empty, reason: "filled in later"}]`) {
				c.Accepted = append(c.Accepted, d.acceptance(fmt.Sprintf("%s[%d]", path, i), item))
			}
		},
	})
	c.settle(d.quantities)
	return c
}

func (d *decoder) size(i int, path string, n ast.Node) Size {
	var s Size
	d.mapping(n, path, "a size", map[string]func(string, ast.Node){
		"label":  func(path string, n ast.Node) { s.Label = d.text(path, n) },
		"layers": func(path string, n ast.Node) { s.Layers = d.texts(path, n) },
		"line":   func(path string, n ast.Node) { s.Line = d.line(path, n) },
		"body":   func(path string, n ast.Node) { d.body(i, path, n) },
	})
	if _, ok := d.at[path+".label"]; !ok {
		d.fail(n, `a size needs a label, as in label: "8"`)
	}
	return s
}

func (d *decoder) line(path string, n ast.Node) *Line {
	l := &Line{}
	colour := func(p string, n ast.Node) { l.Colour = d.colour(path+".colour", n) }
	d.mapping(n, path, "a line", map[string]func(string, ast.Node){
		"colour": colour,
		"color":  colour,
		"width":  func(path string, n ast.Node) { l.Width = d.number(path, n) },
		"text":   func(path string, n ast.Node) { l.Text = d.truth(path, n) },
		"dash": func(path string, n ast.Node) {
			l.Dash = []float64{}
			for i, item := range d.list(path, n, "[6, 2]") {
				l.Dash = append(l.Dash, d.number(fmt.Sprintf("%s[%d]", path, i), item))
			}
		},
	})
	return l
}

// body reads the measurements of size i; chart enters them when the unit is
// known.
func (d *decoder) body(i int, path string, n ast.Node) {
	seen := map[string]string{}
	for _, e := range d.entries(n, path, "body") {
		if d.decimalComma(e) {
			return
		}
		name := e.key
		if first, ok := seen[fold(name)]; ok {
			d.fail(e.at, "%q and %q are the same measurement; keep one of the two", harmless(first), harmless(name))
		}
		seen[fold(name)] = name
		d.mark(path+"."+name, e.value)
		q := d.quantity(name, e.value)
		q.size, q.name = i, name
		d.quantities = append(d.quantities, q)
	}
}

// decimalComma refuses what YAML makes of {bust: 80,5}: a key 5 with nothing.
func (d *decoder) decimalComma(e entry) bool {
	_, empty := e.value.(*ast.NullNode)
	if !empty || strings.Trim(e.key, "0123456789") != "" {
		return false
	}
	d.fail(e.at, "a comma ends a measurement; write a point before the %s, as in 62.5", e.key)
	return true
}

// mapping hands each value to the function of its key.
func (d *decoder) mapping(n ast.Node, path, what string, keys map[string]func(string, ast.Node)) {
	for _, e := range d.entries(n, path, what) {
		read, ok := keys[e.key]
		if !ok {
			d.fail(e.at, "%s", unknownKey(e.key, what, keys))
			return
		}
		child := strings.TrimPrefix(path+"."+e.key, ".")
		d.mark(child, e.value)
		read(child, e.value)
	}
}

func unknownKey(key, what string, keys map[string]func(string, ast.Node)) string {
	var known []string
	for k := range keys {
		if k != "color" {
			known = append(known, k)
		}
	}
	slices.Sort(known)
	message := fmt.Sprintf("%s has nothing called %q", what, harmless(key))
	if near := Nearest(key, known); near != "" {
		return message + fmt.Sprintf("; did you mean %q?", near)
	}
	return message + "; it may have " + andList(known)
}

// An entry is one key of a mapping with its value.
type entry struct {
	key   string
	at    ast.Node
	value ast.Node
}

// entries lists a mapping and refuses a key that stands in it twice.
func (d *decoder) entries(n ast.Node, path, what string) []entry {
	m, ok := n.(ast.MapNode)
	if !ok {
		d.fail(n, "%s is written as words with values, such as %s; %s", what, exampleOf(what), whatStands(n))
		return nil
	}
	d.mark(path, n)
	var out []entry
	seen := map[string]bool{}
	for it := m.MapRange(); it.Next(); {
		key, ok := scalar(it.Key())
		if !ok {
			d.fail(it.Key(), "what stands before a colon is a word; %s", whatStands(it.Key()))
			return nil
		}
		if seen[key] {
			d.fail(it.Key(), "%q stands here a second time; keep one of the two", harmless(key))
			return nil
		}
		seen[key] = true
		out = append(out, entry{key, it.Key(), it.Value()})
	}
	return out
}

// exampleOf shows how something is written that has words with values.
func exampleOf(what string) string {
	switch what {
	case "a size":
		return `{label: "8"}`
	case "a line":
		return `{colour: "#d7263d"}`
	case "body":
		return "{bust: 80, hip: 88}"
	}
	return `"name: My skirt" and "sizes:" with a line for each size`
}

// list returns the items of a list; example shows how one is written.
func (d *decoder) list(path string, n ast.Node, example string) []ast.Node {
	seq, ok := n.(*ast.SequenceNode)
	if !ok {
		if s, ok := scalar(n); ok && !strings.HasPrefix(example, "[{") {
			example = fmt.Sprintf("[%q]", harmless(s))
		}
		d.fail(n, "%s is a list in square brackets, such as %s; %s", lastKey(path), example, whatStands(n))
		return nil
	}
	for i, item := range seq.Values {
		d.mark(fmt.Sprintf("%s[%d]", path, i), item)
	}
	return seq.Values
}

func (d *decoder) texts(path string, n ast.Node) []string {
	var out []string
	for i, item := range d.list(path, n, `["Text*", "Grainline"]`) {
		out = append(out, d.text(fmt.Sprintf("%s[%d]", path, i), item))
	}
	return out
}

// text reads a scalar as it is written.
func (d *decoder) text(path string, n ast.Node) string {
	if s, ok := scalar(n); ok {
		return s
	}
	d.fail(n, "%s is a text; %s%s", lastKey(path), whatStands(n), d.emptyHint(n))
	return ""
}

func (d *decoder) truth(path string, n ast.Node) bool {
	b, ok := n.(*ast.BoolNode)
	if !ok {
		d.fail(n, "%s is true or false; %s", lastKey(path), whatStands(n))
		return false
	}
	return b.Value
}

func (d *decoder) unit(path string, n ast.Node) Unit {
	s := d.text(path, n)
	unit, ok := unitOf(s)
	if !ok {
		d.fail(n, "%q is no unit of a chart; write cm, mm or in", harmless(s))
	}
	return unit
}

func (d *decoder) colour(path string, n ast.Node) string {
	d.mark(path, n)
	s := d.text(path, n)
	colour, ok := colourOf(s)
	if !ok {
		d.fail(n, `%q is no colour; write six hexadecimal digits in quotes, as in "#d7263d"`, harmless(s))
	}
	return colour
}

func (d *decoder) mark(path string, n ast.Node) { d.at[path] = nodePosition(n) }

// emptyHint tells what is often behind a value that is missing or no text.
func (d *decoder) emptyHint(n ast.Node) string {
	at := nodePosition(n)
	switch n.(type) {
	case *ast.SequenceNode, ast.MapNode:
		return "; a text that begins with [ or { must be in quotes"
	}
	if _, ok := n.(*ast.NullNode); ok && at.line <= len(d.src.lines) && strings.Contains(d.src.lines[at.line-1], " #") {
		return "; a text that begins with # must be in quotes"
	}
	return ""
}
