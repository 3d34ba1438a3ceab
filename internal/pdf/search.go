package pdf

import (
	"bytes"
	"context"
	"maps"
	"reflect"
	"slices"

	"github.com/sizeply/sizeply/layers/failure"
)

// bySearch loads what is found by searching. Of several objects of one number the
// last in the file counts, as in an updated file (7.5.6), one of an object stream
// standing where that does. Where two that differ stand in one update, and
// something refers to them, it gives a *contestedError.
func (l *loader) bySearch(version string) (*Document, error) {
	found, err := scan(l.ctx, l.data)
	if err != nil {
		return nil, err
	}
	l.warn = &warnings{}
	l.places, l.within, l.found, l.enc, l.encRef = found.places(), nil, found, nil, 0
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
	doc, err := l.document(t, version)
	if err != nil {
		return nil, err
	}
	if err := l.settle(doc); err != nil {
		return nil, err
	}
	return doc, l.vouch(doc, nil)
}

// A contestedError is a *failure.FormatError: two objects of one number differ, and nothing
// says which of them is meant.
type contestedError struct{ failure.FormatError }

func (e *contestedError) Unwrap() error { return &e.FormatError }

// settle gives a *contestedError for the first object that is contested and can be
// reached.
func (l *loader) settle(d *Document) error {
	if len(l.contested) == 0 {
		return nil
	}
	used := l.reached(d).number
	for _, num := range slices.Sorted(maps.Keys(l.contested)) {
		if used[num] != 0 || l.isOpened(num) {
			const why = "the cross-reference table is broken, and the file holds two objects of this number " +
				"that differ, of which nothing says which is meant; download or copy it again"
			return &contestedError{failure.FormatError{Object: int(num), Reason: why}}
		}
	}
	return nil
}

// isOpened reports whether an object is an object stream.
func (l *loader) isOpened(num Ref) bool {
	return slices.ContainsFunc(l.streams, func(s rawStream) bool { return s.num == num && isContainer(s) })
}

// contenders makes ready to read what was found: those of one number that stand in
// one update, each by itself, are held against each other by their text.
func (l *loader) contenders() error {
	l.stands, l.contested = make(map[Ref]int, len(l.places)), map[Ref]bool{}
	for num, where := range l.places {
		l.stands[num] = where.at
		for _, other := range l.found.rivals[num] {
			if !bytes.Equal(l.found.bodies[num].text(l.data), other.text(l.data)) {
				l.contested[num] = true
			}
		}
		if err := l.ctx.Err(); err != nil {
			return err
		}
	}
	return nil
}

// contender reads object num of object stream s, unless a later update has it. It
// stands in the file where s does.
func (l *loader) contender(num Ref, s rawStream, data []byte, at int) error {
	before, stood := l.objects[num], l.stands[num]
	rivals := stood > 0 && !l.found.updated(min(stood, s.start), max(stood, s.start))
	if stood > s.start && !rivals {
		return nil
	}
	l.stands[num] = max(stood, s.start)
	if err := l.compressed(num, data, at); err != nil {
		return err
	}
	switch {
	case !rivals:
		delete(l.contested, num)
	case !reflect.DeepEqual(before, l.objects[num]):
		l.contested[num] = true
	}
	return nil
}

// scanned is what one pass over the bytes of a file finds, whatever its
// cross-reference tables say.
type scanned struct {
	// bodies is where the last object of each number stands.
	bodies map[Ref]span
	// rivals are further objects of a number that stand in the same update of the
	// file as the last does, so that no order tells which of them counts.
	rivals map[Ref][]span
	// trailers is where the trailer dictionaries begin (7.5.5), updates where the
	// words startxref that end an update (7.5.6) stand, both ascending.
	trailers, updates []int
	// at is the number of the object that is open, 0 where none is; data says that
	// its stream has begun.
	at   Ref
	data bool
}

// span is where an object begins, where its end is marked, and its generation.
type span struct{ start, end, generation int }

// text is the object without the white space at its end.
func (s span) text(data []byte) []byte { return data[s.start:spaceBefore(data, s.end)] }

// scan finds `n g obj`, `trailer` and `startxref` outside stream data. Its time
// grows with the size of the file alone.
func scan(ctx context.Context, data []byte) (*scanned, error) {
	found := &scanned{bodies: map[Ref]span{}, rivals: map[Ref][]span{}}
	look := func(word string) cursor { return cursor{ctx: ctx, word: word} }
	obj, stream, trailer := look("obj"), look("stream"), look("trailer")
	update, end := look("startxref"), look("endstream")
	for at, n := 0, 0; at < len(data); n++ {
		if n%1024 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		o, s, t, u := obj.next(data, at), stream.next(data, at), trailer.next(data, at), update.next(data, at)
		switch at = min(o, s, t, u); at {
		case len(data):
		case o:
			found.object(data, o)
			at += len(obj.word)
		case s:
			at = found.afterStream(data, s, &end)
		case t:
			at += len(trailer.word)
			found.trailers = append(found.trailers, at)
		case u:
			at += len(update.word)
			found.updates = append(found.updates, u)
		}
	}
	return found, ctx.Err()
}

// cursor finds one word after the other, until its context ends.
type cursor struct {
	ctx   context.Context
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
	word := []byte(c.word)
	for ; from < len(data) && c.ctx.Err() == nil; from += lookEvery {
		if i := bytes.Index(data[from:min(len(data), from+lookEvery+len(word)-1)], word); i >= 0 {
			c.at = from + i
			break
		}
	}
	return c.at
}

// object notes the object whose `obj` stands at i, if one begins or ends there.
func (s *scanned) object(data []byte, i int) {
	if bytes.HasSuffix(data[:i], []byte("end")) {
		s.close(i)
		return
	}
	genEnd := spaceBefore(data, i)
	gen := digitsBefore(data, genEnd)
	numEnd := spaceBefore(data, gen)
	at := digitsBefore(data, numEnd)
	if gen == genEnd || numEnd == gen || at == numEnd {
		return
	}
	p := parser{lexer: lexer{data: data, pos: at}}
	num, generation, ok := p.header()
	if !ok {
		return
	}
	s.close(at) // it has no end
	if before, again := s.bodies[num]; again && !s.updated(before.start, at) {
		s.rivals[num] = append(s.rivals[num], before)
	} else {
		delete(s.rivals, num)
	}
	s.at, s.data, s.bodies[num] = num, false, span{at, len(data), generation}
}

// close ends the object that is open, if one is.
func (s *scanned) close(end int) {
	if body, open := s.bodies[s.at]; open {
		body.end = end
		s.bodies[s.at] = body
	}
	s.at = 0
}

// places gives where the last object of each number begins.
func (s *scanned) places() map[Ref]place {
	list := make(map[Ref]place, len(s.bodies))
	for num, body := range s.bodies {
		list[num] = place{body.start, body.generation}
	}
	return list
}

// updated reports whether an update of the file ends between two offsets.
func (s *scanned) updated(from, to int) bool {
	i, _ := slices.BinarySearch(s.updates, from)
	return i < len(s.updates) && s.updates[i] < to
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
// where the data ends, if that word begins some: where the length says, if
// endstream follows there, so that a file within the data is not searched, else by
// the cursor of endstream.
func (s *scanned) afterStream(data []byte, i int, end *cursor) int {
	after := i + len("stream")
	if !bytes.HasSuffix(data[:spaceBefore(data, i)], []byte(">>")) {
		return after
	}
	x := parser{lexer: lexer{data: data, pos: after}}
	x.skipStreamEOL()
	if n, ok := s.lengthBefore(data, i); ok && n <= len(data)-x.pos {
		ends := streamEnds{data: data}
		if ends.follows(x.pos + n) {
			return x.pos + n
		}
	}
	if at := end.next(data, after); at < len(data) {
		return at + len(end.word)
	}
	return after
}

// lengthBefore is the direct Length of the stream of the object that is open, whose
// data begins after i. An object has but one stream.
func (s *scanned) lengthBefore(data []byte, i int) (n int, ok bool) {
	body, open := s.bodies[s.at]
	if !open || s.data {
		return 0, false
	}
	s.data = true
	key, head := []byte("/Length"), data[body.start:i]
	at := bytes.Index(head, key)
	if at < 0 {
		return 0, false
	}
	p := parser{lexer: lexer{data: head, pos: at + len(key)}}
	if p.skipSpace(); p.pos >= len(head) {
		return 0, false
	}
	length, ok := p.numberOrRef().(Integer)
	return int(length), ok && length >= 0
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
