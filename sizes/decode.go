package sizes

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"
	yamltoken "github.com/goccy/go-yaml/token"
)

// readYAML reads a chart from YAML.
func readYAML(src *source) (*Chart, places, error) {
	root, err := src.parse()
	if err != nil {
		return nil, nil, err
	}
	d := &decoder{src: src, at: places{}}
	chart := d.chart(root)
	return chart, d.at, d.err
}

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

func (d *decoder) acceptance(path string, n ast.Node) Acceptance {
	var a Acceptance
	d.mapping(n, path, "an accepted finding", map[string]func(string, ast.Node){
		"finding": func(path string, n ast.Node) { a.Finding = d.text(path, n) },
		"layer":   func(path string, n ast.Node) { a.Layer = d.text(path, n) },
		"file":    func(path string, n ast.Node) { a.File = d.text(path, n) },
		"reason":  func(path string, n ast.Node) { a.Reason = d.text(path, n) },
	})
	for _, key := range []string{"finding", "reason"} {
		if _, ok := d.at[path+"."+key]; !ok {
			d.fail(n, "an accepted finding needs a %s, as in "+
				`{finding: layer-empty, layer: "Logo", reason: "filled in later"}`, key)
		}
	}
	return a
}

func (d *decoder) line(path string, n ast.Node) *Line {
	l := &Line{}
	colour := func(p string, n ast.Node) { l.Colour = d.colour(path+".colour", n) }
	d.mapping(n, path, "a line", map[string]func(string, ast.Node){
		"colour": colour,
		"color":  colour,
		"width":  func(path string, n ast.Node) { l.Width = d.number(path, n) },
		"text": func(path string, n ast.Node) {
			b, ok := n.(*ast.BoolNode)
			if !ok {
				d.fail(n, "%s is true or false; %s", lastKey(path), whatStands(n))
				return
			}
			l.Text = b.Value
		},
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
		_, empty := e.value.(*ast.NullNode)
		if empty && strings.Trim(e.key, "0123456789") == "" { // what YAML makes of {bust: 80,5}
			d.fail(e.at, "a comma ends a measurement; write a point before the %s, as in 62.5", e.key)
			return
		}
		if first, ok := seen[fold(e.key)]; ok {
			d.fail(e.at, "%q and %q are the same measurement; keep one of the two", harmless(first), harmless(e.key))
		}
		seen[fold(e.key)] = e.key
		d.mark(path+"."+e.key, e.value)
		q := d.quantity(e.key, e.value)
		q.size, q.name = i, e.key
		d.quantities = append(d.quantities, q)
	}
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
	known := slices.Sorted(maps.Keys(keys))
	known = slices.DeleteFunc(known, func(k string) bool { return k == "color" })
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
		example := `"name: My skirt" and "sizes:" with a line for each size`
		switch what {
		case "a size":
			example = `{label: "8"}`
		case "a line":
			example = `{colour: "#d7263d"}`
		case "body":
			example = "{bust: 80, hip: 88}"
		}
		d.fail(n, "%s is written as words with values, such as %s; %s", what, example, whatStands(n))
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
		d.fail(n, noColour, harmless(s))
	}
	return colour
}

func (d *decoder) mark(path string, n ast.Node) { d.at[path] = nodePosition(n) }

// number reads a length of a line, in mm.
func (d *decoder) number(path string, n ast.Node) float64 {
	s, ok := scalar(n)
	m, read := readMeasure(s)
	switch {
	case !ok:
		d.fail(n, "%s is a number; %s%s", lastKey(path), whatStands(n), d.emptyHint(n))
	case !read:
		d.fail(n, "%q is no number; write digits with a point, as in 2.5", harmless(s))
	case strings.Contains(s, ","):
		d.fail(n, "%q is no number here; write %s with a point", harmless(s), strings.Replace(s, ",", ".", 1))
	case m.Unit != "" && m.Unit != Millimetre:
		d.fail(n, "%q: the lengths of a line are in mm; write the number alone", harmless(s))
	}
	return m.Value
}

// quantity reads the body measurement of a name, or a range of them.
func (d *decoder) quantity(name string, n ast.Node) quantity {
	s, ok := scalar(n)
	q, read := readQuantity(s)
	switch {
	case !ok:
		d.fail(n, "%s is a measurement; %s%s", harmless(name), whatStands(n), d.emptyHint(n))
	case !read:
		d.fail(n, `%q is no measurement; write a number, as in 62.5 or "34 5/8", or a range, as in 82-90`, harmless(s))
	case strings.Contains(s, ","):
		d.fail(n, "%q is no number here; write %s with a point", harmless(s), strings.Replace(s, ",", ".", 1))
	}
	return q
}

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

// scalar returns a scalar as it is written; nothing and null are none.
func scalar(n ast.Node) (string, bool) {
	switch n := n.(type) {
	case *ast.StringNode:
		return n.Value, true
	case *ast.LiteralNode:
		return strings.TrimRight(n.Value.Value, "\n"), true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode, *ast.MergeKeyNode:
		return n.GetToken().Value, true
	}
	return "", false
}

// whatStands says what a node is, for messages.
func whatStands(n ast.Node) string {
	switch n.(type) {
	case *ast.SequenceNode:
		return "here stands a list"
	case ast.MapNode:
		return "here stand words with values"
	case *ast.NullNode, nil:
		return "nothing stands here"
	}
	return "here stands a single value"
}

// lastKey is the key at the end of a path.
func lastKey(path string) string {
	path = path[strings.LastIndexByte(path, '.')+1:]
	if strings.HasSuffix(path, "]") {
		return "an entry of " + path[:strings.IndexByte(path, '[')]
	}
	return path
}

// nodePosition returns where a node begins. The token of a block mapping is
// its first colon, so the key before it counts.
func nodePosition(n ast.Node) position {
	switch n := n.(type) {
	case nil:
		return position{1, 1}
	case *ast.MappingNode:
		if len(n.Values) > 0 && n.GetToken().Type == yamltoken.MappingValueType {
			return nodePosition(n.Values[0].Key)
		}
	case *ast.MappingValueNode:
		return nodePosition(n.Key)
	}
	return positionOf(n.GetToken())
}
