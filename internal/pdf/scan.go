package pdf

import "bytes"

// scanned is what one pass over the bytes of a file finds, whatever its
// cross-reference tables say.
type scanned struct {
	// offsets is where the last object of each number begins.
	offsets map[Ref]int
	// trailers is where the trailer dictionaries begin (7.5.5), ascending.
	trailers []int
}

// scan finds `n g obj` and `trailer` outside stream data. Its time grows with
// the size of the file alone.
func scan(data []byte) scanned {
	found := scanned{offsets: map[Ref]int{}}
	obj, stream, trailer := cursor{word: "obj"}, cursor{word: "stream"}, cursor{word: "trailer"}
	for at := 0; at < len(data); {
		o, s, t := obj.next(data, at), stream.next(data, at), trailer.next(data, at)
		switch at = min(o, s, t); at {
		case len(data):
		case o:
			found.object(data, o)
			at += len(obj.word)
		case s:
			at = afterStream(data, s)
		case t:
			at += len(trailer.word)
			found.trailers = append(found.trailers, at)
		}
	}
	return found
}

// cursor finds one word after the other.
type cursor struct {
	word  string
	at    int
	begun bool
}

// next returns where the word stands first at or after from, len(data) where
// it does not.
func (c *cursor) next(data []byte, from int) int {
	if c.begun && c.at >= from {
		return c.at
	}
	c.begun, c.at = true, len(data)
	if i := bytes.Index(data[from:], []byte(c.word)); i >= 0 {
		c.at = from + i
	}
	return c.at
}

// object notes the object whose `obj` stands at i, if one begins there.
func (s *scanned) object(data []byte, i int) {
	genEnd := spaceBefore(data, i)
	gen := digitsBefore(data, genEnd)
	numEnd := spaceBefore(data, gen)
	at := digitsBefore(data, numEnd)
	if gen == genEnd || numEnd == gen || at == numEnd {
		return
	}
	p := parser{lexer{data: data, pos: at}}
	if num, _, ok := p.header(); ok {
		s.offsets[num] = at
	}
}

func spaceBefore(data []byte, i int) int {
	for low := max(0, i-16); i > low && isSpace(data[i-1]); {
		i--
	}
	return i
}

func digitsBefore(data []byte, i int) int {
	for low := max(0, i-10); i > low && isDigit(data[i-1]); {
		i--
	}
	return i
}

// afterStream takes the word stream, or the end of endstream, at i. It returns
// where the data ends if that word begins some.
func afterStream(data []byte, i int) int {
	after := i + len("stream")
	if !bytes.HasSuffix(data[:spaceBefore(data, i)], []byte(">>")) {
		return after
	}
	if end := bytes.Index(data[after:], []byte("endstream")); end >= 0 {
		after += end + len("endstream")
	}
	return after
}
