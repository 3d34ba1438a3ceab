package pdf

import (
	"errors"
	"fmt"
)

// Content is the decoded content of a page: its content streams joined by a
// newline each (7.8.2).
type Content struct {
	Data []byte
	// Parts are the spans of the streams in Data, in order.
	Parts []Span
	// Warnings are sentences on streams that were damaged or missing.
	Warnings []string
}

// Span is a half-open range of bytes.
type Span struct{ Start, End int }

// PageContent decodes and joins the content streams of a page dictionary. It
// gives an error where a limit is passed or a filter is unknown; a damaged
// stream gives what could be decoded, with a warning.
func PageContent(src Objects, page Dict, lim Limits) (Content, error) {
	lim = lim.withDefaults()
	var c Content
	var warn warnings
	decoded := map[*Stream][]byte{}
	var parts [][]byte
	size := int64(0)
	for i, o := range oneOrMore(src, page["Contents"]) {
		s := AsStream(src, o)
		if s == nil {
			warn.add("content stream %d of the page is missing", i+1)
			continue
		}
		data, known := decoded[s]
		if !known {
			var err error
			if data, err = decodeLeniently(src, s, lim.StreamBytes, i+1, &warn); err != nil {
				return Content{}, err
			}
			decoded[s] = data
		}
		if size += int64(len(data)); size >= lim.PageBytes {
			return Content{}, &LimitError{LimitPageBytes, lim.PageBytes}
		}
		parts = append(parts, data)
		size++ // what stands between
	}
	c.join(parts, size)
	c.Warnings = warn.sentences()
	return c, nil
}

// ContentSize estimates how many bytes the contents of a page decode to, from
// what they take in the file.
func ContentSize(src Objects, page Dict) (n int64) {
	for _, o := range oneOrMore(src, page["Contents"]) {
		if s := AsStream(src, o); s != nil {
			n += 4 * int64(len(s.Raw)) // common for content
		}
	}
	return n
}

// decodeLeniently decodes the content stream of that number, and warns where
// it is damaged.
func decodeLeniently(src Objects, s *Stream, limit int64, number int, warn *warnings) ([]byte, error) {
	data, err := Decode(src, s, limit)
	var damage *DamageError
	switch {
	case errors.As(err, &damage):
		warn.add("content stream %d of the page: %v; what could be read of it is used", number, err)
	case err != nil:
		return nil, fmt.Errorf("content stream %d of the page: %w", number, err)
	}
	return data, nil
}

// join puts the data of streams together, with white space between (7.8.2), size
// bytes at most. That of a single one is not copied, nor written to.
func (c *Content) join(parts [][]byte, size int64) {
	if len(parts) == 1 {
		data := parts[0]
		c.Data, c.Parts = data[:len(data):len(data)], []Span{{0, len(data)}}
		return
	}
	c.Data = make([]byte, 0, size)
	for i, data := range parts {
		if i > 0 {
			c.Data = append(c.Data, '\n')
		}
		start := len(c.Data)
		c.Data = append(c.Data, data...)
		c.Parts = append(c.Parts, Span{start, len(c.Data)})
	}
}
