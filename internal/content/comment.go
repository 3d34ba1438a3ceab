package content

import (
	"bytes"
	"context"
)

// WithoutComments gives a stream without its comments (7.2.4), of which only the
// ends of their lines stay: the same bytes where it has none. components is as
// Scanner has it; the data of inline images stays as it is. What it gives does not
// count once ctx has ended.
func WithoutComments(
	ctx context.Context, data []byte, components func(space string) (int, bool),
) []byte {
	if bytes.IndexByte(data, '%') < 0 {
		return data
	}
	out := make([]byte, 0, len(data))
	scan := NewScanner(data).Within(ctx)
	scan.ColourComponents = components
	from := 0
	var op Operation
	for scan.Next(&op) {
		end := op.End
		if op.Op == OpInlineImage {
			end = op.word
		}
		out = appendUncommented(out, data[from:end])
		out = append(out, data[end:op.End]...)
		from = op.End
	}
	return appendUncommented(out, data[from:])
}

// appendUncommented adds operands and operators without the comments between.
func appendUncommented(out, data []byte) []byte {
	for i := 0; i < len(data); {
		end := i + 1
		switch c := data[i]; {
		case c == '%':
			i = commentEnd(data, i)
			continue
		case c == '(':
			end, _ = literalEnd(data, i)
		case bytes.HasPrefix(data[i:], []byte("<<")):
			end = i + 2
		case c == '<':
			end, _ = hexEnd(data, i)
		}
		out = append(out, data[i:end]...)
		i = end
	}
	return out
}
