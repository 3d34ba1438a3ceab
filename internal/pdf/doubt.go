package pdf

import (
	"fmt"

	"github.com/sizeply/sizeply/layers/failure"
)

// doubts are the objects of which readers make different things.
type doubts struct {
	// torn has what was passed over of objects that cannot be read whole.
	torn map[Ref]string
	// astray has the references of an object that name a generation which the object
	// of that number does not have: to the standard (7.3.10), Poppler and pdf.js they
	// lead to nothing, to PDFium and MuPDF to that object.
	astray map[Ref][]reference
}

// note notes what reading an object has met.
func (s *doubts) note(num Ref, p *parser) {
	delete(s.torn, num)
	delete(s.astray, num)
	if p.torn != "" {
		s.torn[num] = p.torn
	}
	if p.astray != nil {
		s.astray[num] = p.astray
	}
}

// vouch gives a *failure.FormatError for the first object of which readers make
// different things, or that is lost, where pages draw with it or it says which layers
// there are; or the context's error.
func (l *loader) vouch(d *Document, lost map[Ref]bool) error {
	if len(l.torn)+len(l.astray)+len(lost) == 0 {
		return nil
	}
	refuse := func(num Ref, format string, args ...any) error {
		why := fmt.Sprintf(format, args...) + ": download or copy the file again"
		return &failure.FormatError{Object: int(num), Reason: why}
	}
	p := l.drawn(d)
	used, err := Ascending(l.ctx, p.number)
	if err != nil {
		return err
	}
	for _, num := range used {
		if what := l.torn[num]; what != "" {
			return refuse(num, "it is damaged (it has %s), and readers differ on what it says", what)
		}
		for _, r := range l.astray[num] {
			if p.number[r.num] != 0 {
				const why = "it refers to object %d of generation %d, which has another, so readers differ on it"
				return refuse(num, why, r.num, r.gen)
			}
		}
	}
	nowhere, err := Ascending(l.ctx, p.missing)
	if err != nil {
		return err
	}
	for _, num := range nowhere {
		if lost[num] {
			return refuse(num, "it cannot be read where the cross-reference table says, and pages or layers need it")
		}
	}
	return nil
}

// undrawn are the entries that lead to nothing of what is drawn.
var undrawn = map[Name]bool{"Metadata": true, "PieceInfo": true, "Thumb": true, "A": true, "AA": true, "B": true}

// drawn goes through what pages draw with and what says which layers there are.
func (l *loader) drawn(d *Document) *planner {
	p := &planner{ctx: l.ctx, src: d, number: map[Ref]Ref{}, missing: map[Ref]bool{}, skip: undrawn}
	root, catalog := d.Root()
	p.number[catalog] = 1 // as if it had been met
	p.order = append(p.order, 0)
	_ = p.object(root["OCProperties"], 0) // where it ends early, as far as it came
	for _, page := range d.pages {
		p.ref(page.Ref)
	}
	_ = p.all(d.nodes...)
	return p
}
