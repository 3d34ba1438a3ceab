package pdf

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/sizeply/sizeply/internal/parallel"
	"github.com/sizeply/sizeply/layers/failure"
)

// Options says how to open a file. The zero value opens a file without a
// password under the default limits.
type Options struct {
	// Password opens an encrypted file. It is tried as the owner's, then as
	// the user's; then the empty one is.
	Password string
	// Limits bounds the work. Zero fields take the default.
	Limits Limits
}

// Open reads a whole PDF file from the start of in, wherever in stands. It
// gives ErrEmpty, ErrNotPDF, ErrPassword, a *failure.EncryptionError, a *failure.FormatError,
// a *failure.LimitError, the error of ctx, or that of in, wrapped.
func Open(ctx context.Context, in io.ReadSeeker, opt Options) (*Document, error) {
	data, err := ReadAll(ctx, in, opt.Limits)
	if err != nil {
		return nil, err
	}
	return OpenBytes(ctx, data, opt)
}

// OpenBytes is Open for the bytes of a file, which must not change any more.
func OpenBytes(ctx context.Context, data []byte, opt Options) (*Document, error) {
	lim := opt.Limits.withDefaults()
	data, version, err := cutHeader(data)
	if err != nil {
		return nil, err
	}
	l := loader{ctx: ctx, data: data, lim: lim, password: opt.Password, warn: &warnings{}}
	return l.open(version)
}

// Bytes is a file that is in memory already: reading it whole copies nothing.
type Bytes struct {
	*bytes.Reader
	all []byte
}

// NewBytes gives a reader of bytes that do not change any more.
func NewBytes(all []byte) *Bytes { return &Bytes{bytes.NewReader(all), all} }

// ReadAll reads the whole of a file, as Open does.
func ReadAll(ctx context.Context, in io.ReadSeeker, lim Limits) ([]byte, error) {
	limit := lim.withDefaults().FileBytes
	size, err := in.Seek(0, io.SeekEnd)
	if err == nil {
		_, err = in.Seek(0, io.SeekStart)
	}
	switch {
	case err != nil:
		return nil, fmt.Errorf("reading the file: %w", err)
	case size == 0:
		return nil, ErrEmpty
	case size > limit:
		return nil, &failure.LimitError{Limit: failure.LimitFileBytes, Bound: limit}
	}
	if b, ok := in.(*Bytes); ok {
		return b.all, nil
	}
	data := make([]byte, size)
	if err := fill(ctx, in, data, lim.Cores); err != nil {
		return nil, fmt.Errorf("reading the file: %w", err)
	}
	return data, nil
}

// readTogether is how much of a file one goroutine reads at once.
const readTogether = 16 << 20

// fill reads data from where in stands, its start; from a file on some cores, since
// most of the time goes into the memory that is touched for the first time.
func fill(ctx context.Context, in io.Reader, data []byte, cores int) error {
	at, ok := in.(io.ReaderAt)
	if !ok || len(data) <= readTogether {
		_, err := io.ReadFull(contextReader{ctx, in}, data)
		return err
	}
	var offsets []int
	for offset := 0; offset < len(data); offset += readTogether {
		offsets = append(offsets, offset)
	}
	_, err := parallel.Map(ctx, offsets, cores, nil, func(offset int) (n int, err error) {
		part := data[offset:min(len(data), offset+readTogether)]
		from := io.NewSectionReader(at, int64(offset), int64(len(part)))
		return io.ReadFull(contextReader{ctx, from}, part)
	})
	return err
}

// contextReader stops reading when its context ends.
type contextReader struct {
	ctx context.Context
	in  io.Reader
}

func (r contextReader) Read(p []byte) (int, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	return r.in.Read(p[:min(len(p), 1<<20)])
}

// cutHeader cuts what stands before the header (7.5.2), which offsets do not
// count, and reads the version. Viewers accept a header within the first 1024
// bytes (Annex H.3, note 13).
func cutHeader(data []byte) (rest []byte, version string, err error) {
	const mark = "%PDF-"
	i := bytes.Index(data[:min(len(data), 1024)], []byte(mark))
	if i < 0 {
		return nil, "", ErrNotPDF
	}
	data = data[i:]
	if v := data[len(mark):]; len(v) >= 3 && isDigit(v[0]) && v[1] == '.' && isDigit(v[2]) {
		return data, string(v[:3]), nil
	}
	return data, "1.4", nil
}

// open makes a document of what the cross-reference table lists. Where that
// fails, finds no page, or has a wrong entry for an object that something refers
// to, the objects are searched for in the bytes of the file; what is found counts
// where fewer references lead to nothing then, or where two objects of one number
// are found and nothing says which of them is meant. What readers make different
// things of is refused.
func (l *loader) open(version string) (*Document, error) {
	doc, err := l.byTable(version)
	var broken *failure.FormatError
	switch {
	case errors.As(err, &broken):
		return l.bySearch(version)
	case err != nil:
		return nil, err
	}
	lost, doubt, missing := l.lost, l.vouch(doc, l.lost), 0
	if len(lost) > 0 {
		missing = l.dangling(doc)
	}
	if missing == 0 {
		return doc, doubt
	}
	found, err := l.bySearch(version)
	var contested *contestedError
	switch {
	case l.ctx.Err() != nil:
		return nil, l.ctx.Err()
	case errors.As(err, &contested):
		return nil, err
	case err == nil && l.dangling(found) < missing:
		return found, l.vouch(found, lost)
	case doubt != nil:
		return nil, doubt
	}
	doc.warnings = append(doc.warnings,
		fmt.Sprintf("objects that the cross-reference table lists cannot be read: %d", len(lost)))
	return doc, nil
}

// byTable makes a document of what the cross-reference table lists.
func (l *loader) byTable(version string) (*Document, error) {
	t, err := l.readTable()
	if err != nil {
		return nil, err
	}
	l.places, l.within = t.places, t.within
	if t.trailer.Encrypt != nil {
		if err := l.unlock(t.trailer); err != nil {
			return nil, err
		}
	}
	if err := l.load(); err != nil {
		return nil, err
	}
	for num := range l.within {
		l.lost[num] = true
	}
	return l.document(t.trailer, version)
}

// dangling counts the references that lead to nothing, from what is reachable.
func (l *loader) dangling(d *Document) int { return len(l.reached(d).missing) }

// reached goes through all that can be reached in a document.
func (l *loader) reached(d *Document) *planner {
	p := &planner{ctx: l.ctx, src: d, number: map[Ref]Ref{}, missing: map[Ref]bool{}}
	_ = p.all(d.root, d.info) // where it ends early, as far as it came
	return p
}

// loader reads the objects of a file.
type loader struct {
	ctx  context.Context
	data []byte
	lim  Limits
	warn *warnings
	// password opens an encrypted file; enc says how, once it is open, and
	// encRef is the number of the encryption dictionary, 0 where it has none.
	password string
	enc      *encryption
	encRef   Ref

	// places is where the objects that stand by themselves begin.
	places map[Ref]place
	// within is the slot of each object of an object stream that the
	// cross-reference table lists and that is not read yet; nil where objects
	// are searched for.
	within map[Ref]slot
	// found is what searching has found, nil where the table counts.
	found *scanned
	// stands is then where in the file the object read last of each number is, by
	// itself or in an object stream; contested are those of which two differ.
	stands    map[Ref]int
	contested map[Ref]bool
	// lost are the objects that cannot be read where the table says.
	lost map[Ref]bool

	objects map[Ref]Object
	doubts
	// generations are those of objects that have another than 0.
	generations map[Ref]int
	// streams are those found at an offset, ascending once they are measured.
	streams []rawStream
	names   map[string]Name
	// left is how many bytes of text may yet be read, leftRaw how many of streams.
	left, leftRaw int64
}

// rawStream is a stream whose data is not measured yet.
type rawStream struct {
	*Stream
	num    Ref
	gen    int
	start  int
	length Object
}

// Object implements Objects.
func (l *loader) Object(r Ref) Object { return l.objects[r] }

// load reads the objects at the offsets found, and those of object streams.
func (l *loader) load() error {
	l.objects, l.streams = make(map[Ref]Object, len(l.places)), nil
	l.names, l.left, l.lost = map[string]Name{}, l.lim.ObjectBytes, map[Ref]bool{}
	l.doubts, l.generations = doubts{map[Ref]string{}, map[Ref][]reference{}}, map[Ref]int{}
	l.leftRaw = overlap * int64(len(l.data))
	if l.found != nil {
		if err := l.contenders(); err != nil {
			return err
		}
	}
	if len(l.places) > l.lim.Objects {
		return &failure.LimitError{Limit: failure.LimitObjects, Bound: int64(l.lim.Objects)}
	}
	for num, where := range l.places {
		if where.generation != 0 {
			l.generations[num] = where.generation
		}
	}
	nums, err := Ascending(l.ctx, l.places)
	if err != nil {
		return err
	}
	for _, num := range nums {
		if err := l.direct(num, l.places[num]); err != nil {
			return err
		}
	}
	slices.SortFunc(l.streams, func(a, b rawStream) int { return cmp.Compare(a.start, b.start) })
	if err := l.measure(isContainer); err != nil {
		return err
	}
	for _, s := range l.streams {
		if isContainer(s) {
			if err := l.expand(s); err != nil {
				return err
			}
		}
	}
	if err := l.markFiles(); err != nil {
		return err
	}
	return l.measure(func(s rawStream) bool { return !isContainer(s) })
}

func isContainer(s rawStream) bool { return s.Dict["Type"] == Name("ObjStm") }

func (l *loader) parserAt(data []byte, at int) *parser {
	return &parser{lexer: lexer{data: data, pos: at, names: l.names}, ctx: l.ctx, generations: l.generations}
}

// direct reads object num at its place. One of another number or generation is
// not read: the table is wrong (7.5.4).
func (l *loader) direct(num Ref, where place) error {
	p := l.parserAt(l.data, where.at)
	found, gen, ok := p.header()
	if !ok || found != num || gen != where.generation {
		l.lost[num] = true
		return l.spend(p.pos - where.at)
	}
	o, start, fault := p.body()
	l.report(num, o, p, fault)
	switch {
	case start > 0:
		o = l.stream(num, gen, o.(Dict), start)
	case l.enc != nil && num != l.encRef:
		if o, ok = l.enc.openStrings(num, gen, o); !ok {
			l.warn.add("object %d: an encrypted string is damaged", num)
		}
	}
	l.set(num, o)
	return l.spend(p.pos - where.at)
}

// set stores an object that is not null.
func (l *loader) set(num Ref, o Object) {
	if delete(l.objects, num); o != nil {
		l.objects[num] = o
	}
}

// spend counts n bytes of text.
func (l *loader) spend(n int) error {
	if l.left -= int64(n); l.left < 0 {
		return &failure.LimitError{Limit: failure.LimitObjectBytes, Bound: l.lim.ObjectBytes}
	}
	return l.ctx.Err()
}

// report warns of what was wrong with an object.
func (l *loader) report(num Ref, o Object, p *parser, fault error) {
	if _, ok := o.(Ref); ok { // which object streams may not have (7.5.7), and Poppler and MuPDF do not follow
		p.tear("nothing but a reference")
	}
	l.note(num, p)
	switch {
	case fault != nil:
		l.lost[num] = true
		l.warn.add("object %d is left out: %v", num, fault)
	case p.damage != "":
		l.warn.add("object %d is damaged: it has %s", num, p.damage)
	}
}

// stream makes a stream whose data is measured later.
func (l *loader) stream(num Ref, gen int, d Dict, start int) *Stream {
	s := rawStream{Stream: &Stream{Dict: d}, num: num, gen: gen, start: start, length: d["Length"]}
	delete(d, "Length")
	l.streams = append(l.streams, s)
	return s.Stream
}

// overlap is how many times the bytes of a file the data of its streams may be
// together. Streams that share bytes are a mistake or an attack: decrypted, or
// written, their data would be the square of the file.
const overlap = 4

// measure finds the data of the streams that which names, and decrypts it. A
// length may stand in an object stream, so those are measured first.
func (l *loader) measure(which func(rawStream) bool) error {
	ends := streamEnds{data: l.data}
	for _, s := range l.streams {
		if !which(s) {
			continue
		}
		length := -1
		if n, ok := Resolve(l, s.length).(Integer); ok && n >= 0 && n <= Integer(len(l.data)) {
			length = int(n)
		}
		end, trusted := ends.find(s.start, length)
		if !trusted {
			l.warn.add("object %d: the length of the stream is wrong; it was measured", s.num)
		}
		s.Raw = l.data[s.start:end:end]
		s.Cut = !trusted && end == len(l.data)
		if l.leftRaw -= int64(len(s.Raw)); l.leftRaw < 0 {
			return &failure.FormatError{Object: int(s.num), Reason: "its data is that of many other streams too"}
		}
		if err := l.ctx.Err(); err != nil {
			return err
		}
		if l.enc != nil {
			s.Raw = l.openStream(s, s.Raw, !trusted)
		}
	}
	return nil
}

// expand reads the objects of an object stream (7.5.7).
func (l *loader) expand(s rawStream) error {
	data, err := Decode(l.ctx, l, s.Stream, min(l.lim.StreamBytes, max(1, l.left)))
	var limit *failure.LimitError
	switch {
	case l.ctx.Err() != nil:
		return l.ctx.Err()
	case errors.As(err, &limit):
		return &failure.LimitError{Limit: failure.LimitObjectBytes, Bound: l.lim.ObjectBytes}
	}
	if err != nil && l.within != nil { // another copy of its objects may be found by searching
		return &failure.FormatError{Object: int(s.num), Reason: err.Error()}
	}
	if err != nil {
		l.warn.add("object stream %d: %v", s.num, err)
	}
	if err := l.spend(len(data)); err != nil {
		return err
	}
	first := AsInt(l, s.Dict["First"], 0)
	if first < 0 || first > len(data) {
		l.warn.add("object stream %d has no objects where it says", s.num)
		return nil
	}
	index := lexer{data: data[:first]}
	for i := range AsInt(l, s.Dict["N"], 0) {
		index.skipSpace()
		num, ok1 := index.digits()
		index.skipSpace()
		at, ok2 := index.digits()
		if !ok1 || !ok2 {
			return nil
		}
		if num < 1 || num > maxNumber || at > int64(len(data)-first) {
			continue
		}
		switch where := l.within[Ref(num)]; {
		case l.found != nil:
			err = l.contender(Ref(num), s, data, first+int(at))
		case where.container == s.num && (where.index == i || where.index < 0):
			err = l.compressed(Ref(num), data, first+int(at))
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// compressed reads object num of an object stream.
func (l *loader) compressed(num Ref, data []byte, at int) error {
	p := l.parserAt(data, at)
	o, fault := p.object(0)
	l.report(num, o, p, fault)
	l.set(num, o)
	delete(l.within, num)
	if len(l.objects) > l.lim.Objects {
		return &failure.LimitError{Limit: failure.LimitObjects, Bound: int64(l.lim.Objects)}
	}
	return l.spend(p.pos - at)
}

// streamEnds finds where the data of streams ends. Asked for streams in
// ascending order it looks at each byte once.
type streamEnds struct {
	data []byte
	// next is where the first endstream at or after from stands.
	from, next int
	begun      bool
}

// find returns the end of the data that begins at start. The length given
// counts where endstream, or else endobj, follows. Else the data ends before the
// next endstream and the end of line before it, or with the file, and trusted is
// false (7.3.8.1).
func (e *streamEnds) find(start, length int) (end int, trusted bool) {
	if length >= 0 && length <= len(e.data)-start && e.follows(start+length) {
		return start + length, true
	}
	if !e.begun || start < e.from || start > e.next {
		e.begun, e.from, e.next = true, start, len(e.data)
		if i := bytes.Index(e.data[start:], []byte("endstream")); i >= 0 {
			e.next = start + i
		}
	}
	end = e.next
	if end < len(e.data) && end > start && e.data[end-1] == '\n' {
		end--
	}
	if e.next < len(e.data) && end > start && e.data[end-1] == '\r' {
		end--
	}
	return end, false
}

// follows reports whether a stream may end at i.
func (e *streamEnds) follows(i int) bool {
	x := lexer{data: e.data, pos: i}
	for x.pos < min(len(x.data), i+64) && isSpace(x.data[x.pos]) {
		x.pos++
	}
	return x.startsWith("endstream") || x.startsWith("endobj")
}
