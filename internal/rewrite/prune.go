package rewrite

import (
	"context"
	"sort"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// A pruner takes out of a filtered stream the state that no mark needs: it drags
// fonts, patterns and clips of removed content along. It goes through the
// operations from the last to the first with the parameters that are needed
// behind each, so that a setter is kept only where a later mark sees it.
type pruner struct {
	*rewriter
	ctx    context.Context
	scope  *scope
	data   []byte
	hidden []span // what stands in removed content, ascending

	ops []operation
	// instead names the ExtGState dictionary that takes the place of the one that an
	// operation names, by where that begins.
	instead map[int32]pdf.Name

	need     params // after the operation at hand
	saves    []save
	texts    []bool // for each open text object: something in it is kept
	sections []bool // for each open section: something in it is kept
	pathKept bool   // the path at hand is kept
}

// save is a Q whose q is not reached yet.
type save struct {
	need params // behind the Q
	kept bool   // something in between is kept
}

// prune gives the stream without state that nothing needs, and what is kept of
// removed content. It records the names that the result uses.
// It gives a *failure.LimitError where that has too many operations, and the error of ctx.
func (w *rewriter) prune(
	ctx context.Context, data []byte, sc *scope, hidden []span, text textState,
) ([]byte, []Residue, error) {
	p := &pruner{rewriter: w, ctx: ctx, scope: sc, data: data, hidden: hidden, instead: map[int32]pdf.Name{}}
	if err := p.run(text); err != nil {
		return nil, nil, err
	}
	data, residue := p.write()
	return data, residue, ctx.Err()
}

// run decides on all operations.
func (p *pruner) run(text textState) error {
	if err := p.read(text); err != nil {
		return err
	}
	for i := len(p.ops) - 1; i >= 0; i-- {
		if i%lookEvery == 0 && p.ctx.Err() != nil {
			return p.ctx.Err()
		}
		p.back(&p.ops[i])
	}
	return nil
}

// back decides on one operation, coming from behind.
func (p *pruner) back(o *operation) {
	switch o.effect {
	case sets:
		if p.need&o.sets == 0 {
			return
		}
		if o.op == content.OpGraphicsState {
			p.reduce(o)
		}
		p.keep(o, o.sets&^partial)
	case concats:
		if p.need&ctmParam != 0 {
			p.keep(o, 0)
		}
	case position:
		if p.need&(textPosition|o.sets) != 0 {
			p.keep(o, o.sets)
		}
	case adjusts:
		if p.need&textPosition != 0 {
			p.keep(o, 0)
		}
	case clips:
		if p.need&(clipParam|textPosition) != 0 {
			p.keep(o, o.sets)
			all(p.texts)
		}
	case shows:
		p.keep(o, o.sets)
		all(p.texts)
		all(p.sections)
	case paints:
		p.keep(o, 0)
		p.pathKept = true
		all(p.sections)
	case ends:
		if p.pathKept = o.sets != 0 && p.need&clipParam != 0; p.pathKept {
			p.keep(o, 0)
		}
	case builds:
		if p.pathKept {
			p.keep(o, 0)
			p.need |= ctmParam
		}
	case opens, opensNamed, closes:
		p.bracket(o)
	default:
		p.keep(o, 0)
	}
}

// keep keeps an operation and what it needs. done is what it sets, so that
// nothing before it has to.
func (p *pruner) keep(o *operation, done params) {
	o.kept = true
	p.need = p.need&^done | o.needs
	if n := len(p.saves); n > 0 {
		p.saves[n-1].kept = true
	}
	if o.op.Class() == content.ClassTextPosition { // TD, which sets the leading too, stands in text objects alone
		all(p.texts)
	}
}

// all notes that something is kept in all open brackets. Those around one of which
// that is known are known too.
func all(list []bool) {
	for i := len(list) - 1; i >= 0 && !list[i]; i-- {
		list[i] = true
	}
}

// bracket handles brackets of three kinds, of which the first half decides for
// both. One without its other half is removed, but for text objects, which are
// kept as they are where they are out of order.
func (p *pruner) bracket(o *operation) {
	switch {
	case o.op.Class() == content.ClassTextObject:
		if o.other == 0 {
			p.keep(o, 0)
		} else if o.effect == closes {
			p.texts = append(p.texts, false)
		} else {
			p.open(o, &p.texts)
		}
		if o.other != 0 || o.effect == opens {
			p.need &^= textPosition
		}
	case o.other == 0:
	case o.op == content.OpRestore:
		p.saves = append(p.saves, save{need: p.need})
		p.need &= textPosition
	case o.op == content.OpSave:
		last := p.saves[len(p.saves)-1]
		p.saves = p.saves[:len(p.saves)-1]
		p.need |= last.need
		if last.kept {
			p.keep(o, 0)
		}
		p.ops[o.other-1].kept = o.kept
	case o.effect == closes: // EMC
		p.sections = append(p.sections, false)
	default: // BMC, BDC
		p.open(o, &p.sections)
	}
}

// open decides on a bracket by what is kept between it and its other half.
func (p *pruner) open(o *operation, list *[]bool) {
	n := len(*list)
	if (*list)[n-1] || o.effect == opensNamed {
		p.keep(o, 0)
	}
	*list = (*list)[:n-1]
	p.ops[o.other-1].kept = o.kept
}

// reduce gives a gs of removed content another dictionary where a font or a
// soft mask that it sets is needed no more, but something else is: they would
// bring what only removed content used.
func (p *pruner) reduce(o *operation) {
	name, ok := p.named(o)
	if !ok || !p.wasHidden(o.start) {
		return
	}
	was := p.scope.Find(name)
	gs := pdf.AsDict(p.edit, was)
	now := gs.Clone()
	for _, k := range []pdf.Name{"Font", "SMask"} {
		if gs[k] == nil || k == "SMask" && pdf.AsDict(p.edit, gs[k]) == nil {
			continue
		}
		if p.need&gsParams[k] != 0 {
			return
		}
		delete(now, k)
	}
	if len(now) < len(gs) {
		p.instead[o.start] = p.scope.bindAnew(name, p.shared(was, now))
		o.sets, _ = gsSets(p.edit, now)
		o.needs = 0
	}
}

// named gives the resource that an operation names.
func (p *pruner) named(o *operation) (name resources.Name, ok bool) {
	var op content.Operation
	if !resources.MayName(o.op) || !content.NewScanner(p.data[o.start:o.end]).Next(&op) {
		return name, false
	}
	return resources.NamedBy(&op)
}

// wasHidden reports whether a place stands in removed content.
func (p *pruner) wasHidden(at int32) bool {
	i := sort.Search(len(p.hidden), func(i int) bool { return p.hidden[i].end > int(at) })
	return i < len(p.hidden) && p.hidden[i].start <= int(at)
}

// maskNeeds gives what the group of a soft mask (11.6.5.2) needs of the state
// in which gs sets it, but for the matrix. The standard does not say in which
// state it begins; Poppler and MuPDF take the one of that place.
func (p *pruner) maskNeeds(mask pdf.Object) params {
	st := pdf.AsStream(p.edit.Original(), pdf.AsDict(p.edit, mask)["G"])
	switch {
	case st == nil:
		return 0
	case pdf.AsDict(p.edit, st.Dict["Resources"]) == nil:
		return inherited // its names mean one thing here, another elsewhere
	}
	if need, known := p.maskNeed[st]; known {
		return need
	}
	if p.maskDepth >= maxDepth {
		return inherited
	}
	p.maskNeed[st] = inherited // for one within itself
	need := inherited
	if data, err := pdf.Decode(p.ctx, p.edit, st, p.lim.StreamBytes); err == nil {
		p.maskDepth++
		group := &pruner{
			rewriter: p.rewriter, ctx: p.ctx, data: data,
			scope: newScope(p.edit.Original(), st.Dict["Resources"], p.scope),
		}
		if group.run(textState{}) == nil {
			need = group.need &^ textPosition
		}
		p.maskDepth--
	}
	p.maskNeed[st] = need
	return need
}

// write puts out what is kept, until its context ends.
func (p *pruner) write() (data []byte, residue []Residue) {
	out := output{data: p.data}
	gap, clip := 0, false
	for i := range p.ops {
		if i%lookEvery == 0 && p.ctx.Err() != nil {
			return nil, nil
		}
		o := &p.ops[i]
		if o.kept {
			piece := piece{gap: gap, start: int(o.start), end: int(o.end)}
			if instead, ok := p.instead[o.start]; ok {
				piece.text = spellName(instead) + " gs"
			}
			out.add(piece)
			hidden := p.wasHidden(o.start)
			residue = append(residue, p.use(o, hidden)...)
			clip = clip || hidden && o.op.Class() == content.ClassClip
			if o.op.Class() == content.ClassPaint {
				if clip {
					residue = append(residue, Residue{Kind: ClipResidue})
				}
				clip = false
			}
			if o.effect == clips {
				residue = append(residue, Residue{Kind: TextClipResidue})
			}
		}
		gap = int(o.end)
	}
	data, _ = out.bytes(p.ctx, nil)
	return data, residue
}

// use records the resource that an operation names.
func (p *pruner) use(o *operation, hidden bool) []Residue {
	name, ok := p.named(o)
	if !ok {
		return nil
	}
	by := byContent
	instead, replaced := p.instead[o.start]
	if replaced {
		name.Name, by = instead, byHiddenState
	}
	p.scope.use(name, by)
	if replaced || hidden && p.scope.Find(name) != nil {
		return []Residue{{Kind: StateResidue, Name: string(name.Name)}}
	}
	return nil
}
