package rewrite

import (
	"cmp"
	"context"
	"fmt"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
	"github.com/sizeply/sizeply/layers/failure"
)

// filtered is what became of one stream.
type filtered struct {
	data          []byte // the new stream; the input where nothing was removed
	changed       bool
	kept, removed int64 // marks
	residue       []Residue
	needs         textParts // of the caller's text state
	// Identifiers of marked content; see Tagged.
	tagsWhole, tagsReduced, tagsRemoved []int
}

// A streamFilter takes hidden marks out of one content stream.
type streamFilter struct {
	*rewriter
	ctx   context.Context
	scope *scope
	data  []byte

	out      output
	path     []piece // from the first path operator to its painter
	building bool    // a path is open
	clip     bool    // W or W* waits for the painter

	sections   []section
	hidden     int  // open sections that are removed
	removals   int  // all of them so far
	compatible int  // open sections of compatibility: BX
	inText     bool // in a text object: BT

	styles  *styleFilter // nil where no mark is removed for how it is painted
	start   textState
	text    textState
	stack   []textState // saved by q
	moves   []displacement
	pending int // moves[pending:] have no visible text after them yet

	uses map[resources.Name]use // names in the output
	// unclosed is an inline image without an end, the last thing in the
	// stream. It is removed where the stream changes: what is written behind it
	// would be its data.
	unclosed bool

	gap int // end of the operation before
	res filtered
	err error
}

// stream filters one content stream. The scope records the names that the
// output uses. text is the text state at its start. What is not whole is written anew.
func (w *rewriter) stream(
	ctx context.Context, data []byte, whole bool, sc *scope, text textState,
) (filtered, error) {
	s := &streamFilter{
		rewriter: w, ctx: ctx, scope: sc, data: data, out: output{data: data}, uses: map[resources.Name]use{},
		start: text, text: text, styles: w.newStyleFilter(text.paint),
	}
	if err := w.spend(len(data)); err != nil {
		return filtered{}, err
	}
	s.res.changed = !whole
	scan := content.NewScanner(data).Within(ctx)
	scan.ColourComponents = sc.Components
	var op content.Operation
	for scan.Next(&op) {
		s.step(&op)
		if s.styles != nil {
			s.styles.step(&op, sc)
		}
		if err := s.fault(&op); err != nil {
			return filtered{}, err
		}
		s.gap = op.End
		if s.building && s.styles == nil { // which looks at paths
			s.skipPath(scan)
		}
	}
	if ctx.Err() != nil {
		return filtered{}, ctx.Err()
	}
	s.noteStray(scan)
	s.finish()
	return s.res, cmp.Or(ctx.Err(), s.err)
}

// maxHeld bounds what is remembered of a stream until it is written: pieces that do
// not touch, displacements, open sections, and names, which are in several tables.
const (
	maxHeld  = 2_000_000
	nameHeld = 8 // pieces that a name takes as much as
)

// fault gives what keeps the filter from going on behind an operation.
func (s *streamFilter) fault(op *content.Operation) error {
	held := len(s.out.pieces) + len(s.path) + 2*len(s.moves) + len(s.sections) + len(s.res.residue) +
		nameHeld*len(s.uses)
	switch {
	case s.err != nil:
		return s.err
	case held > maxHeld:
		return &failure.LimitError{Limit: failure.LimitOperations, Bound: maxHeld}
	case s.styles == nil:
		return nil
	case op.Op.Class() == content.ClassPaint || op.Op == content.OpGraphicsState:
		return s.spend(8 * len(s.styles.State.Dash.Array)) // a style is written with all of them
	}
	return nil
}

// skipPath passes over the rest of a path, up to what may matter.
func (s *streamFilter) skipPath(scan *content.Scanner) {
	if start, end := scan.SkipPath(); end > start {
		hidden := s.hidden > 0
		s.path = join(s.path, piece{gap: s.gap, start: start, end: end, path: true, hidden: hidden, run: hidden})
		s.gap = end
	}
}

// step decides on one operation.
func (s *streamFilter) step(op *content.Operation) {
	if !op.Fits() && !s.fit(op) {
		return
	}
	s.noteOutside(op)
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
		s.unknown(op)
	case content.ClassCompatibility:
		s.compatible = max(0, s.compatible+map[content.Op]int{content.OpBeginCompat: 1, content.OpEndCompat: -1}[op.Op])
		s.keep(op)
	default:
		s.follow(op)
		s.keep(op)
	}
}

// span is the piece of an operation.
func (s *streamFilter) span(op *content.Operation) piece {
	return piece{gap: s.gap, start: op.Start, end: op.End, hidden: s.hidden > 0}
}

// keep puts an operation to the output as it is.
func (s *streamFilter) keep(op *content.Operation) { s.put(s.span(op)) }

// write puts text of our own to the output.
func (s *streamFilter) write(text string) { s.put(piece{text: text, hidden: s.hidden > 0}) }

// put adds a piece to the output, behind the open path where there is one.
func (s *streamFilter) put(p piece) {
	if s.building {
		s.path = append(s.path, p)
		return
	}
	s.out.add(p)
}

// keepMark counts a mark that is kept, removeMark one that is not.
func (s *streamFilter) keepMark() { s.res.kept = add(s.res.kept, 1) }

func (s *streamFilter) removeMark() {
	s.res.changed = true
	s.res.removed = add(s.res.removed, 1)
}

// paint ends the open path. A hidden painter takes the path along, unless the
// path also clips (8.5.4): then it ends without being painted. So does one
// whose style is removed; where only the stroke or the fill is, the other is
// painted.
func (s *streamFilter) paint(op *content.Operation) {
	mark := op.Op != content.OpEndPath
	hidden, clips := s.hidden > 0, s.clip
	rest := op.Op
	if mark && !hidden {
		rest = s.styles.rest(op.Op)
		hidden = rest == content.OpEndPath
	}
	pieces := s.path
	s.path, s.building, s.clip = nil, false, false
	for _, p := range pieces {
		if !p.path || !hidden || clips {
			p.path, p.hidden = false, p.hidden || hidden // it is one with what surrounds it
			s.out.add(p)
		}
	}
	if !hidden {
		if mark {
			s.keepMark()
		}
		if rest == op.Op {
			s.keep(op)
			return
		}
		s.removeMark()
		s.write(rest.String())
		return
	}
	if mark {
		s.removeMark()
	}
	if clips {
		s.res.residue = append(s.res.residue, Residue{Kind: ClipResidue})
		s.write("n")
	}
	s.res.changed = true
}

// plainMark is a mark that changes no state: sh, and inline images.
func (s *streamFilter) plainMark(op *content.Operation) {
	if s.hidden > 0 {
		s.removeMark()
		return
	}
	if op.Op == content.OpInlineImage && op.Inline.Open {
		s.unread.add("an image within the content has no end")
		s.unclosed = true
		return
	}
	s.keepMark()
	if name, ok := resources.NamedBy(op); ok {
		s.uses[name] |= byContent
	}
	s.keep(op)
}

// xobject invokes a form or an image.
func (s *streamFilter) xobject(op *content.Operation) {
	if s.hidden > 0 {
		s.removeMark()
		return
	}
	name, _ := op.Name(0)
	k := resources.Name{Category: resources.XObject, Name: pdf.Name(name)}
	s.noteMissingObject(k)
	f, kept, removed, err := s.invoke(s.ctx, s.scope.Find(k), s.scope, s.caller())
	if err != nil {
		s.err = inResource(k, err)
		return
	}
	s.res.kept, s.res.removed = add(s.res.kept, kept), add(s.res.removed, removed)
	if kept == 0 {
		s.res.changed = true
		return
	}
	if f != nil {
		s.res.needs |= f.needs &^ s.text.own
		f.serve(s.scope)
		k.Name = s.scope.bind(k, f.ref)
	}
	s.uses[k] |= byContent
	if string(k.Name) != name {
		s.res.changed = true
		s.write(s.operand(op, 0) + string(k.Name)[len(name):] + " Do")
		return
	}
	s.keep(op)
}

// show shows text. Hidden text is removed, and its displacement noted in case
// visible text follows.
func (s *streamFilter) show(op *content.Operation) {
	spaced := op.Op == content.OpNextLineShowSpaced
	newLine := spaced || op.Op == content.OpNextLineShow
	if newLine {
		s.pending = len(s.moves)
	}
	if spaced {
		s.text.word, _ = op.Float(0)
		s.text.char, _ = op.Float(1)
		s.text.own |= charPart | wordPart
	}
	if s.hidden == 0 && !s.styles.removesText() {
		s.settle()
		s.keepMark()
		s.keep(op)
		return
	}
	s.res.needs |= modePart &^ s.text.own
	if s.text.clips() && (s.text.font == nil || !s.text.font.Type3) {
		// It joins the clipping path (9.3.6), so it is kept without being painted.
		s.settle()
		s.removeMark()
		s.res.residue = append(s.res.residue, Residue{Kind: TextClipResidue})
		s.write("7 Tr")
		s.put(piece{gap: op.Start, start: op.Start, end: op.End, hidden: true})
		s.write(fmt.Sprintf("%d Tr", s.text.mode))
		return
	}
	s.removeMark()
	if spaced {
		s.write(s.operand(op, 0) + " Tw " + s.operand(op, 1) + " Tc")
	}
	if newLine {
		s.write("T*")
	}
	s.moves = append(s.moves, s.text.measure(op))
	s.put(piece{advance: len(s.moves), hidden: true})
}

// settle makes the pending displacements take effect: visible text follows
// them. They become one number in the font of that text, so that theirs is not
// needed, unless that cannot express them.
func (s *streamFilter) settle() {
	pending := s.moves[s.pending:]
	s.pending = len(s.moves)
	for i := range pending {
		m := &pending[i]
		s.res.needs |= movingParts &^ m.state.own
		if why := m.unknown(); why != "" && !m.nothing() {
			s.err = &failure.UnknownWidthError{Font: m.state.fontOperand, Reason: why}
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
func (s *streamFilter) operand(op *content.Operation, i int) string {
	o, ok := op.Operand(i)
	if !ok {
		return "0"
	}
	return string(s.data[o.Start:o.End])
}

// name records that operand i of an operation that is kept is a resource.
func (s *streamFilter) name(op *content.Operation, i int, category pdf.Name) {
	name, ok := op.Name(i)
	if !ok {
		return
	}
	by := byContent
	if s.hidden > 0 {
		by = byHiddenState
	}
	s.uses[resources.Name{Category: category, Name: pdf.Name(name)}] |= by
}

// finish ends the stream: what is open is closed.
func (s *streamFilter) finish() {
	s.building = false
	for _, p := range s.path { // a path without a painter paints nothing
		if !p.path {
			s.out.add(p)
		}
	}
	if s.unclosed && s.res.changed {
		s.removeMark()
	} else if s.unclosed {
		s.keepMark()
	}
	for i := len(s.sections) - 1; i >= 0; i-- {
		s.leave(s.sections[i].description)
		if s.sections[i].emitted {
			s.write("EMC")
		}
	}
	if s.res.changed && !s.keepState {
		data, hidden := s.out.bytes(s.ctx, s.moves)
		if s.err == nil {
			whole := data
			data, s.res.residue, s.err = s.prune(s.ctx, data, s.scope, hidden, s.start)
			if !pdf.SameStart(whole, data) {
				pdf.GiveBack(whole)
			}
		}
		s.res.data = content.WithoutComments(s.ctx, data, s.scope.Components)
		return
	}
	for k, by := range s.uses {
		s.scope.use(k, by)
	}
	if len(s.unread) > 0 && !s.acceptDamage {
		s.keepWhole()
	}
	s.res.data = s.data
	if s.res.changed {
		data, _ := s.out.bytes(s.ctx, s.moves)
		s.res.data = content.WithoutComments(s.ctx, data, s.scope.Components)
	}
}

// add adds counts; they stop at the largest there is.
func add(a, b int64) int64 {
	if sum := a + b; sum >= a {
		return sum
	}
	return int64(^uint64(0) >> 1)
}
