package pdf

import (
	"bytes"
	"context"
	"maps"
	"slices"
)

// bySearch loads what is found by searching. Of several objects of one number the
// last in the file counts, one of an object stream standing where that does.
func (l *loader) bySearch(version string) (*Document, error) {
	found, err := scan(l.ctx, l.data)
	if err != nil {
		return nil, err
	}
	l.warn = &warnings{}
	l.offsets, l.within, l.enc, l.encRef = found.offsets, nil, nil, 0
	if err := l.load(); err != nil {
		return nil, err
	}
	t := l.foundTrailer(found.trailers)
	if t.Encrypt != nil { // all was read without decrypting it
		l.warn = &warnings{}
		if err := l.unlock(t); err != nil {
			return nil, err
		}
		if err := l.load(); err != nil {
			return nil, err
		}
		t = l.foundTrailer(found.trailers)
	}
	l.warn.add("the cross-reference table is broken; objects were found by searching")
	return l.document(t, version)
}

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
func scan(ctx context.Context, data []byte) (scanned, error) {
	found := scanned{offsets: map[Ref]int{}}
	obj, stream, trailer := cursor{word: "obj"}, cursor{word: "stream"}, cursor{word: "trailer"}
	end := cursor{word: "endstream"}
	for at, n := 0, 0; at < len(data); n++ {
		if n%1024 == 0 && ctx.Err() != nil {
			return found, ctx.Err()
		}
		o, s, t := obj.next(data, at), stream.next(data, at), trailer.next(data, at)
		switch at = min(o, s, t); at {
		case len(data):
		case o:
			found.object(data, o)
			at += len(obj.word)
		case s:
			at = afterStream(data, s, &end)
		case t:
			at += len(trailer.word)
			found.trailers = append(found.trailers, at)
		}
	}
	return found, nil
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
	p := parser{lexer: lexer{data: data, pos: at}}
	if num, _, ok := p.header(); ok {
		s.offsets[num] = at
	}
}

func spaceBefore(data []byte, i int) int {
	for i > 0 && isSpace(data[i-1]) {
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
// where the data ends, by the cursor of endstream, if that word begins some.
func afterStream(data []byte, i int, end *cursor) int {
	after := i + len("stream")
	if !bytes.HasSuffix(data[:spaceBefore(data, i)], []byte(">>")) {
		return after
	}
	if at := end.next(data, after); at < len(data) {
		return at + len(end.word)
	}
	return after
}

// foundTrailer makes a trailer of those found by searching and of the
// dictionaries of cross-reference streams. Of each entry the last in the file
// counts; a trailer that leads to no catalog does not. Where none does, any
// catalog serves. Trailers that are not closed, so that each is read to the end
// of the file, count as long as their text is not longer than twice the file.
func (l *loader) foundTrailer(trailers []int) trailer {
	var t trailer
	streams, left := l.streams, 2*len(l.data)
	for len(trailers)+len(streams) > 0 {
		n, m := len(trailers), len(streams)
		var d Dict
		if m == 0 || n > 0 && trailers[n-1] > streams[m-1].start {
			p := l.parserAt(l.data, trailers[n-1])
			o, _ := p.object(0)
			if left -= p.pos - trailers[n-1]; left < 0 {
				trailers = nil
				continue
			}
			d, _ = o.(Dict)
			trailers = trailers[:n-1]
		} else {
			d, streams = streams[m-1].Dict, streams[:m-1]
			if d["Type"] != Name("XRef") {
				continue
			}
		}
		if t.Encrypt == nil && AsDict(l, d["Encrypt"]) != nil {
			t.Encrypt = d["Encrypt"]
			t.takeID(d)
		}
		if AsDict(l, d["Root"])["Pages"] != nil {
			t.merge(d)
		}
	}
	if t.Root == nil {
		t.Root = l.anyCatalog()
	}
	return t
}

// anyCatalog returns the catalog of the highest number, nil where there is
// none.
func (l *loader) anyCatalog() Object {
	refs := slices.Sorted(maps.Keys(l.objects))
	for _, r := range slices.Backward(refs) {
		d, _ := l.objects[r].(Dict)
		if AsName(l, d["Type"]) == "Catalog" && AsDict(l, d["Pages"]) != nil {
			return r
		}
	}
	return nil
}
