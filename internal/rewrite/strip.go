package rewrite

import (
	"bytes"
	"context"
	"fmt"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// A UnknownWidthError says that text which goes is followed on its line by
// text which stays, and how far to move cannot be told.
type UnknownWidthError struct{ Font, Reason string }

func (e *UnknownWidthError) Error() string {
	return fmt.Sprintf("text that goes is followed on its line by text that stays, and the widths of its font %s are unknown (%s)", e.Font, e.Reason)
}

// section is an open marked-content sequence (14.6).
type section struct {
	drop    bool // hides its content
	emitted bool // its BDC or BMC is in the output, so its EMC must be
	tagging *tagging
}

// stripped is what became of one stream.
type stripped struct {
	data          []byte // the new stream; the input where nothing went
	changed       bool
	kept, removed int64 // marks
	residue       []Residue
	needs         textParts // of the caller's text state
	whole         []int     // identifiers of marked content that stays as it is
	gone, lost    []int     // see Tagged
}

// A stripper takes hidden marks out of one content stream.
type stripper struct {
	*walker
	ctx   context.Context
	scope *scope
	data  []byte

	out      emitter
	path     []piece // from the first path operator to its painter
	building bool    // a path is open
	clip     bool    // W or W* waits for the painter

	marks  []section
	hidden int // open sections that drop
	hid    int // all of them so far

	follow  *follower // nil where no mark goes for how it is painted
	start   textState
	text    textState
	stack   []textState
	moves   []displacement
	pending int // moves[pending:] have no visible text after them yet

	uses map[resources.Name]use // names in the output
	// unclosed is an inline image without an end, the last thing in the
	// stream. It goes where the stream changes: what is written behind it
	// would be its data.
	unclosed bool

	gap int // end of the operation before
	res stripped
	err error
}

// strip filters one content stream. The scope records the names that the
// output uses. text is the text state at its start.
func (w *walker) strip(ctx context.Context, data []byte, sc *scope, text textState) (stripped, error) {
	s := &stripper{walker: w, ctx: ctx, scope: sc, data: data, uses: map[resources.Name]use{}, start: text}
	s.out.data = data
	s.text = text
	s.follow = w.follow(text.paint)
	scan := content.NewScanner(data)
	scan.ColourComponents = sc.Components
	var op content.Operation
	for n := 0; scan.Next(&op); n++ {
		if n%4096 == 0 && ctx.Err() != nil {
			return stripped{}, ctx.Err()
		}
		s.step(&op)
		if s.err != nil {
			return stripped{}, s.err
		}
		if s.follow != nil {
			s.follow.step(&op, sc)
		}
		s.gap = op.End
		if s.building && s.follow == nil { // which looks at paths
			s.skip(scan)
		}
	}
	s.finish()
	return s.res, s.err
}

// skip passes over the rest of a path, up to what may matter.
func (s *stripper) skip(scan *content.Scanner) {
	if start, end := scan.SkipPath(); end > start {
		hidden := s.hidden > 0
		s.path = join(s.path, piece{gap: s.gap, start: start, end: end, path: true, hidden: hidden, run: hidden})
		s.gap = end
	}
}

// step decides on one operation.
func (s *stripper) step(op *content.Operation) {
	switch op.Op.Class() {
	case content.ClassPath, content.ClassClip:
		s.building = true
		s.clip = s.clip || op.Op.Class() == content.ClassClip
		p := s.span(op)
		p.path = true
		s.path = join(s.path, p)
	case content.ClassPaint:
		s.paint(op)
	case content.ClassTextShow:
		s.show(op)
	case content.ClassXObject:
		s.xobject(op)
	case content.ClassShading, content.ClassInlineImage:
		s.plainMark(op)
	case content.ClassMarkedContent:
		s.marked(op)
	case content.ClassUnknown:
		if s.hidden > 0 {
			s.res.changed = true
			return
		}
		s.keep(op)
	default:
		s.state(op)
		s.keep(op)
	}
}

// span is the piece of an operation.
func (s *stripper) span(op *content.Operation) piece {
	return piece{gap: s.gap, start: op.Start, end: op.End, hidden: s.hidden > 0}
}

// keep puts an operation to the output as it is.
func (s *stripper) keep(op *content.Operation) { s.put(s.span(op)) }

// write puts text of our own to the output.
func (s *stripper) write(text string) { s.put(piece{text: text, hidden: s.hidden > 0}) }

// put adds a piece to the output, behind the open path where there is one.
func (s *stripper) put(p piece) {
	if s.building {
		s.path = append(s.path, p)
		return
	}
	s.out.add(p)
}

// paint ends the open path. A hidden painter takes the path along, unless the
// path also clips (8.5.4): then it ends without being painted. So does one
// whose style goes; where only the stroke or the fill goes, the other is painted.
func (s *stripper) paint(op *content.Operation) {
	mark := op.Op != content.OpEndPath
	hidden, clips := s.hidden > 0, s.clip
	rest := op.Op
	if mark && !hidden {
		rest = s.follow.rest(op.Op)
		hidden = rest == content.OpEndPath
	}
	pieces := s.path
	s.path, s.building, s.clip = nil, false, false
	for _, p := range pieces {
		if !p.path || !hidden || clips {
			p.hidden = p.hidden || hidden
			s.out.addRun(p)
		}
	}
	switch {
	case !hidden:
		if mark {
			s.res.kept = add(s.res.kept, 1)
		}
		if rest != op.Op {
			s.drop()
			s.write(rest.String())
			return
		}
		s.keep(op)
		return
	case mark:
		s.drop()
	}
	if clips {
		s.res.residue = append(s.res.residue, Residue{Kind: ClipResidue})
		s.write("n")
	}
	s.res.changed = true
}

// drop counts a mark that goes.
func (s *stripper) drop() {
	s.res.changed = true
	s.res.removed = add(s.res.removed, 1)
}

// plainMark is a mark that changes no state: sh, and inline images.
func (s *stripper) plainMark(op *content.Operation) {
	if s.hidden > 0 {
		s.drop()
		return
	}
	if op.Op == content.OpInlineImage && !bytes.HasSuffix(op.Raw(), []byte("EI")) {
		s.unclosed = true
		return
	}
	s.res.kept = add(s.res.kept, 1)
	if name, ok := resources.NamedBy(op); ok {
		s.uses[name] |= byContent
	}
	s.keep(op)
}

// xobject invokes a form or an image.
func (s *stripper) xobject(op *content.Operation) {
	if s.hidden > 0 {
		s.drop()
		return
	}
	name, _ := op.Name(0)
	k := resources.Name{Category: resources.XObject, Name: pdf.Name(name)}
	u, kept, removed, err := s.invoke(s.ctx, s.scope.find(k), s.scope, s.caller())
	if err != nil {
		s.err = within(resources.XObject, name, err)
		return
	}
	s.res.kept, s.res.removed = add(s.res.kept, kept), add(s.res.removed, removed)
	if kept == 0 && removed > 0 {
		s.res.changed = true
		return
	}
	if u != nil {
		s.res.needs |= u.needs &^ s.text.own
		u.serve(s.scope)
		k.Name = s.scope.bind(k, u.ref)
	}
	s.uses[k] |= byContent
	if string(k.Name) != name {
		s.res.changed = true
		s.write(s.operand(op, 0) + string(k.Name)[len(name):] + " Do")
		return
	}
	s.keep(op)
}

// show shows text. Hidden text goes, and its displacement is kept in case
// visible text follows.
func (s *stripper) show(op *content.Operation) {
	newLine := op.Op == content.OpNextLineShow || op.Op == content.OpNextLineShowSpaced
	if newLine {
		s.pending = len(s.moves)
	}
	if op.Op == content.OpNextLineShowSpaced {
		s.text.word, _ = op.Float(0)
		s.text.char, _ = op.Float(1)
		s.text.own |= charPart | wordPart
	}
	if s.hidden == 0 && !s.follow.goneText() {
		s.settle()
		s.res.kept = add(s.res.kept, 1)
		s.keep(op)
		return
	}
	s.res.needs |= modePart &^ s.text.own
	if s.text.clips() && (s.text.font == nil || !s.text.font.Type3) {
		s.clipText(op)
		return
	}
	s.drop()
	if op.Op == content.OpNextLineShowSpaced {
		s.write(s.operand(op, 0) + " Tw " + s.operand(op, 1) + " Tc")
	}
	if newLine {
		s.write("T*")
	}
	s.moves = append(s.moves, s.text.measure(op))
	s.put(piece{advance: len(s.moves), hidden: true})
}

// clipText keeps hidden text that joins the clipping path (9.3.6), without
// painting it.
func (s *stripper) clipText(op *content.Operation) {
	s.settle() // it takes part in the picture
	s.drop()
	s.res.residue = append(s.res.residue, Residue{Kind: TextClipResidue})
	s.write("7 Tr")
	s.put(piece{gap: op.Start, start: op.Start, end: op.End, hidden: true})
	s.write(fmt.Sprintf("%d Tr", s.text.mode))
}

// settle makes the pending displacements take effect: visible text follows
// them. They become one number in the font of that text, so that theirs is not
// needed, unless that cannot express them.
func (s *stripper) settle() {
	pending := s.moves[s.pending:]
	s.pending = len(s.moves)
	for i := range pending {
		m := &pending[i]
		s.res.needs |= movingParts &^ m.state.own
		if why := m.unknown(); why != "" && !m.nothing() {
			s.err = &UnknownWidthError{Font: m.state.fontOperand, Reason: why}
			return
		}
	}
	if sum, ok := s.text.sum(pending); ok && !s.keepState {
		s.res.needs |= movingParts &^ s.text.own
		if text := number(sum); text != "0" {
			s.write("[" + text + "] TJ")
		}
		return
	}
	for i := range pending {
		pending[i].live = !pending[i].nothing()
	}
}

// operand is an operand as it is written.
func (s *stripper) operand(op *content.Operation, i int) string {
	o, ok := op.Operand(i)
	if !ok {
		return "0"
	}
	return string(s.data[o.Start:o.End])
}

// finish ends the stream: what is open is closed.
func (s *stripper) finish() {
	s.building = false
	for _, p := range s.path { // a path without a painter paints nothing
		if !p.path {
			s.out.add(p)
		}
	}
	if s.unclosed && s.res.changed {
		s.drop()
	} else if s.unclosed {
		s.res.kept = add(s.res.kept, 1)
	}
	for i := len(s.marks) - 1; i >= 0; i-- {
		s.leave(s.marks[i].tagging)
		if s.marks[i].emitted {
			s.write("EMC")
		}
	}
	if s.res.changed && !s.keepState {
		data, hidden := s.out.bytes(s.moves)
		s.res.data, s.res.residue = s.eliminate(data, s.scope, hidden, s.start)
		return
	}
	for k, by := range s.uses {
		s.scope.use(k, by)
	}
	s.res.data = s.data
	if s.res.changed {
		s.res.data, _ = s.out.bytes(s.moves)
	}
}

// add adds counts; they stop at the largest there is.
func add(a, b int64) int64 {
	if sum := a + b; sum >= a {
		return sum
	}
	return int64(^uint64(0) >> 1)
}
