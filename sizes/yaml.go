package sizes

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	yamlparser "github.com/goccy/go-yaml/parser"
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

// parse reads the text as one YAML document and returns its value. Before the parser sees them, the
// tokens are held to the limits and to the part of YAML that a chart needs.
func (s *source) parse() (root ast.Node, err error) {
	defer func() {
		if p := recover(); p != nil { // the parser is not ours
			root, err = nil, s.fail(position{1, 1}, "the chart is not YAML that can be read")
		}
	}()
	toks := lexer.Tokenize(s.text)
	if err := s.screen(toks); err != nil {
		return nil, err
	}
	file, err := yamlparser.Parse(toks, 0, yamlparser.AllowDuplicateMapKey()) // the decoder refuses them, by name
	if err != nil {
		return nil, s.syntax(err)
	}
	for _, doc := range file.Docs {
		if doc.Body != nil {
			return doc.Body, nil
		}
	}
	return nil, s.fail(position{1, 1}, `the chart is empty; it needs at least "sizes:" with a label for each size`)
}

// screen refuses tokens that a chart does not need and nesting that it does not have.
func (s *source) screen(toks yamltoken.Tokens) error {
	nest := nesting{}
	content := false
	for i, tk := range toks {
		at := positionOf(tk)
		if i >= maxTokens {
			return s.fail(at, "the chart has more than %d words and signs; is it the right file?", maxTokens)
		}
		switch tk.Type {
		case yamltoken.AliasType, yamltoken.AnchorType, yamltoken.TagType:
			text := tk.Value // as it was meant to be
			if tk.Next != nil && tk.Type != yamltoken.TagType && tk.Next.Type == yamltoken.StringType {
				text += tk.Next.Value
			}
			sign := tk.Value[:min(1, len(tk.Value))]
			return s.fail(at, `a text that begins with %q must be in quotes: "%s"`, sign, text)
		case yamltoken.DirectiveType:
			return s.fail(at, `a line that begins with "%%" has no place in a chart; put a text that does in quotes`)
		case yamltoken.MappingKeyType:
			return s.fail(at, `a text that begins with "?" must be in quotes`)
		case yamltoken.DocumentHeaderType:
			if content {
				return s.fail(at, "a second chart begins here; write one chart a file")
			}
		case yamltoken.CommentType:
		default:
			content = true
		}
		if nest.add(tk); len(nest.columns)+nest.flow > maxDepth {
			return s.fail(at,
				"brackets or lists stand within each other more than %d deep; is it the right file?", maxDepth)
		}
	}
	return nil
}

// nesting keeps the columns at which the open blocks begin and the number of open brackets.
type nesting struct {
	columns []int
	flow    int
}

func (n *nesting) add(tk *yamltoken.Token) {
	switch tk.Type {
	case yamltoken.SequenceStartType, yamltoken.MappingStartType:
		n.flow++
	case yamltoken.SequenceEndType, yamltoken.MappingEndType:
		n.flow = max(0, n.flow-1)
	case yamltoken.SequenceEntryType:
		n.open(tk)
	case yamltoken.MappingValueType:
		if tk.Prev != nil {
			n.open(tk.Prev)
		}
	}
}

// open opens a block at the column of a token, outside of brackets, and closes
// those that began further right.
func (n *nesting) open(tk *yamltoken.Token) {
	if n.flow > 0 {
		return
	}
	column := positionOf(tk).column
	n.columns = slices.DeleteFunc(n.columns, func(c int) bool { return c >= column })
	n.columns = append(n.columns, column)
}

// syntax turns an error of the parser into one of ours.
func (s *source) syntax(err error) error {
	var located interface {
		GetMessage() string
		GetToken() *yamltoken.Token
	}
	if !errors.As(err, &located) {
		return s.fail(position{1, 1}, "%v", err)
	}
	at := positionOf(located.GetToken())
	line := s.lines[min(max(at.line, 1), len(s.lines))-1]
	if indent := line[:len(line)-len(strings.TrimLeft(line, " \t"))]; strings.Contains(indent, "\t") {
		return s.fail(at, "the line begins with a tab; indent with spaces")
	}
	return s.fail(at, "this cannot be read; %s", hint(located.GetMessage(), line))
}

// hint says what is often behind a syntax error on a line, which the parser's
// message says in words of its trade.
func hint(message, line string) string {
	switch {
	case strings.Contains(line, " #"), strings.Contains(line, "[#"):
		return `a text that begins with # must be in quotes, as in "#d7263d"`
	case strings.Contains(message, "reserved character"):
		return "a text that begins with @ or ` must be in quotes"
	case strings.Count(line, `"`)%2 == 1, strings.Count(line, `'`)%2 == 1:
		return "is a quote on this line not closed?"
	case strings.Contains(message, "end token"),
		strings.Contains(message, "must be specified"),
		strings.Contains(message, "unterminated"):
		return "is a bracket not closed, or a comma missing?"
	case strings.Count(line, ": ") > 1:
		return "a text with a colon and a space in it must be in quotes"
	case !strings.Contains(line, ":"):
		return `a word such as "sizes" ends with a colon, as in "sizes:"`
	}
	return "do the lines of one list begin in one column?"
}

// positionOf returns the place of a token, or the start where it has none.
func positionOf(tk *yamltoken.Token) position {
	if tk == nil || tk.Position == nil {
		return position{1, 1}
	}
	return position{tk.Position.Line, tk.Position.Column}
}

// A decoder turns YAML nodes into a chart. It keeps the first error and goes on, so that its
// methods need not return one, and remembers where each value stood, by its path: "sizes[3].label".
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

// A value is a node with its path.
type value struct {
	path string
	node ast.Node
}

// chartExample shows what a chart is made of.
const chartExample = `"name: My skirt" and "sizes:" with a line for each size`

func (d *decoder) chart(root ast.Node) *Chart {
	c := &Chart{}
	d.mapping(value{"", root}, "the chart", chartExample, map[string]func(value){
		"name":  func(v value) { c.Name = d.text(v) },
		"names": func(v value) { c.Names = d.text(v) },
		"keep":  func(v value) { c.Keep = d.texts(v) },
		"drop":  func(v value) { c.Drop = d.texts(v) },
		"unit": func(v value) {
			text, ok := d.text(v), false
			if c.Unit, ok = unitOf(text); !ok {
				d.fail(v.node, "%q is no unit of a chart; write cm, mm or in", text)
			}
		},
		"sizes": func(v value) {
			for i, item := range d.list(v, `[{label: "8"}, {label: "10"}]`) {
				c.Sizes = append(c.Sizes, d.size(i, item))
			}
		},
		"accepted": func(v value) {
			for _, item := range d.list(v, `[{finding: layer-empty, reason: "filled in later"}]`) {
				c.Accepted = append(c.Accepted, d.acceptance(item))
			}
		},
	})
	c.settle(d.quantities)
	return c
}

func (d *decoder) size(i int, v value) Size {
	var s Size
	d.mapping(v, "a size", `{label: "8"}`, map[string]func(value){
		"label":  func(v value) { s.Label = d.text(v) },
		"layers": func(v value) { s.Layers = d.texts(v) },
		"line":   func(v value) { s.Line = d.line(v) },
		"body":   func(v value) { d.body(i, v) },
	})
	if _, ok := d.at[v.path+".label"]; !ok {
		d.fail(v.node, `a size needs a label, as in label: "8"`)
	}
	return s
}

func (d *decoder) acceptance(v value) Acceptance {
	var a Acceptance
	d.mapping(v, "an accepted finding", chartExample, map[string]func(value){
		"finding": func(v value) { a.Finding = d.text(v) },
		"layer":   func(v value) { a.Layer = d.text(v) },
		"file":    func(v value) { a.File = d.text(v) },
		"reason":  func(v value) { a.Reason = d.text(v) },
	})
	for _, key := range []string{"finding", "reason"} {
		if _, ok := d.at[v.path+"."+key]; !ok {
			d.fail(v.node, "an accepted finding needs a %s, as in "+
				`{finding: layer-empty, layer: "Logo", reason: "filled in later"}`, key)
		}
	}
	return a
}

func (d *decoder) line(v value) *Line {
	l := &Line{}
	colour := func(c value) {
		d.mark(value{v.path + ".colour", c.node})
		if text := d.text(c); !l.setColour(text) {
			d.fail(c.node, noColour, text)
		}
	}
	d.mapping(v, "a line", `{colour: "#d7263d"}`, map[string]func(value){
		"colour": colour,
		"color":  colour,
		"width":  func(v value) { l.Width = d.number(v) },
		"text": func(v value) {
			b, ok := v.node.(*ast.BoolNode)
			if !ok {
				d.fail(v.node, "%s is true or false; %s", lastKey(v.path), whatStands(v.node))
				return
			}
			l.Text = b.Value
		},
		"dash": func(v value) {
			l.Dash = []float64{}
			for _, item := range d.list(v, listOf(v, "[6, 2]")) {
				l.Dash = append(l.Dash, d.number(item))
			}
		},
	})
	return l
}

// body reads the measurements of size i, one length or a range each; chart enters
// them when the unit is known.
func (d *decoder) body(i int, v value) {
	seen := map[string]string{}
	for _, e := range d.entries(v, "body", "{bust: 80, hip: 88}") {
		_, empty := e.value.(*ast.NullNode)
		if empty && strings.Trim(e.key, "0123456789") == "" { // what YAML makes of {bust: 80,5}
			d.fail(e.at, "a comma ends a measurement; write a point before the %s, as in 62.5", e.key)
			return
		}
		if first, ok := seen[fold(e.key)]; ok {
			d.fail(e.at, "%q and %q are the same measurement; keep one of the two", first, e.key)
		}
		seen[fold(e.key)] = e.key
		d.mark(value{v.path + "." + e.key, e.value})
		s := d.scalar(e.value, e.key, "a measurement")
		q, ok := readQuantity(s)
		if !ok {
			d.fail(e.value, "%q is no measurement; "+
				`write a number, as in 62.5 or "34 5/8", or a range, as in 82-90`, s)
		}
		d.point(e.value, s)
		q.size, q.name = i, e.key
		d.quantities = append(d.quantities, q)
	}
}

// mapping hands each value to the function of its key.
func (d *decoder) mapping(v value, what, example string, keys map[string]func(value)) {
	for _, e := range d.entries(v, what, example) {
		read, ok := keys[e.key]
		if !ok {
			known := slices.DeleteFunc(slices.Sorted(maps.Keys(keys)), func(k string) bool { return k == "color" })
			instead := "; it may have " + andList(known)
			if near := Nearest(e.key, known); near != "" {
				instead = fmt.Sprintf("; did you mean %q?", near)
			}
			d.fail(e.at, "%s has nothing called %q%s", what, e.key, instead)
			return
		}
		child := value{strings.TrimPrefix(v.path+"."+e.key, "."), e.value}
		d.mark(child)
		read(child)
	}
}

// An entry is one key of a mapping with its value.
type entry struct {
	key   string
	at    ast.Node
	value ast.Node
}

// entries lists a mapping and refuses a key that stands in it twice.
func (d *decoder) entries(v value, what, example string) []entry {
	m, ok := v.node.(ast.MapNode)
	if !ok {
		d.fail(v.node, "%s is written as words with values, such as %s; %s", what, example, whatStands(v.node))
		return nil
	}
	d.mark(v)
	var out []entry
	seen := map[string]bool{}
	for it := m.MapRange(); it.Next(); {
		key, ok := scalar(it.Key())
		if !ok {
			d.fail(it.Key(), "what stands before a colon is a word; %s", whatStands(it.Key()))
			return nil
		}
		if seen[key] {
			d.fail(it.Key(), "%q stands here a second time; keep one of the two", key)
			return nil
		}
		seen[key] = true
		out = append(out, entry{key, it.Key(), it.Value()})
	}
	return out
}

// list returns the items of a list; example shows how one is written.
func (d *decoder) list(v value, example string) []value {
	seq, ok := v.node.(*ast.SequenceNode)
	if !ok {
		d.fail(v.node, "%s is a list in square brackets, such as %s; %s", lastKey(v.path), example, whatStands(v.node))
		return nil
	}
	items := make([]value, len(seq.Values))
	for i, node := range seq.Values {
		items[i] = value{fmt.Sprintf("%s[%d]", v.path, i), node}
		d.mark(items[i])
	}
	return items
}

// listOf writes a single value as the list that it should be, else the example.
func listOf(v value, example string) string {
	if s, ok := scalar(v.node); ok {
		return fmt.Sprintf("[%q]", s)
	}
	return example
}

func (d *decoder) texts(v value) []string {
	var out []string
	for _, item := range d.list(v, listOf(v, `["Text*", "Grainline"]`)) {
		out = append(out, d.text(item))
	}
	return out
}

func (d *decoder) text(v value) string { return d.scalar(v.node, lastKey(v.path), "a text") }

// number reads a length of a line, in mm.
func (d *decoder) number(v value) float64 {
	s := d.scalar(v.node, lastKey(v.path), "a number")
	m, ok := readMeasure(s)
	if !ok {
		d.fail(v.node, "%q is no number; write digits with a point, as in 2.5", s)
	}
	d.point(v.node, s)
	if m.Unit != "" && m.Unit != Millimetre {
		d.fail(v.node, "%q: the lengths of a line are in mm; write the number alone", s)
	}
	return m.Value
}

// point refuses a decimal comma.
func (d *decoder) point(n ast.Node, s string) {
	if strings.Contains(s, ",") {
		d.fail(n, "%q is no number here; write %s with a point", s, strings.Replace(s, ",", ".", 1))
	}
}

func (d *decoder) mark(v value) { d.at[v.path] = nodePosition(v.node) }

// scalar reads the single value of a key as it is written.
func (d *decoder) scalar(n ast.Node, key, what string) string {
	s, ok := scalar(n)
	if !ok {
		d.fail(n, "%s is %s; %s%s", key, what, whatStands(n), d.emptyHint(n))
	}
	return s
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
