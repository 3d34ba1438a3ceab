package sizes

import (
	"errors"
	"slices"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	yamlparser "github.com/goccy/go-yaml/parser"
	yamltoken "github.com/goccy/go-yaml/token"
)

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
			return s.fail(at, `a text that begins with %q must be in quotes: "%s"`, sign, harmless(text))
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
