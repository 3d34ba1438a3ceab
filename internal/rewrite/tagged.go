package rewrite

import (
	"fmt"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// tagging is what a section says of its content to the structure of the
// document (14.7.4) and to readers (14.9).
type tagging struct {
	tag  string // as written
	mcid int    // -1 where it has none
	text bool   // it holds text that stands for its content
	// Where its BDC stands in the output, and the marks before it.
	piece         int
	kept, removed int64
}

// tagging reads a section with an MCID or replacement text; nil where it has
// neither.
func (s *stripper) tagging(op *content.Operation) *tagging {
	if op.Op != content.OpBeginMarkedProps {
		return nil
	}
	t := &tagging{tag: s.operand(op, 0), mcid: -1}
	op.Entries(1, func(k string, v content.Operand) bool {
		n, ok := op.FloatOf(v)
		t.entry(pdf.Name(k), n, ok)
		return true
	})
	if props, _ := s.properties(op); props != nil {
		for k, v := range pdf.AsDict(s.edit, props) {
			n, ok := pdf.AsNumber(s.edit, v)
			t.entry(k, n, ok)
		}
	}
	if t.mcid < 0 && !t.text {
		return nil
	}
	return t
}

// entry takes one entry of a property list: the identifier, or text that
// stands for content: alternate description, replacement text, expansion of an
// abbreviation (14.9.3 to 14.9.5).
func (t *tagging) entry(k pdf.Name, n float64, isNumber bool) {
	switch k {
	case "MCID":
		if isNumber && n >= 0 && n < 1<<31 {
			t.mcid = int(n)
		}
	case "Alt", "ActualText", "E":
		t.text = true
	}
}

// append adds the identifier to a list.
func (t *tagging) append(list []int) []int {
	if t == nil || t.mcid < 0 {
		return list
	}
	return append(list, t.mcid)
}

// leave ends a section. One that lost content loses the text that stands for
// it, one that lost all its identifier too.
func (s *stripper) leave(t *tagging) {
	if t == nil || s.res.removed == t.removed {
		return
	}
	begin := &s.out.pieces[t.piece]
	s.res.changed = true
	switch {
	case s.res.kept == t.kept:
		s.res.gone = t.append(s.res.gone)
		begin.text = t.tag + " BMC"
	case t.mcid < 0:
		begin.text = t.tag + " BMC"
	default:
		s.res.lost = t.append(s.res.lost)
		if t.text {
			begin.text = fmt.Sprintf("%s <</MCID %d>> BDC", t.tag, t.mcid)
		}
	}
}

// Tagged tells which marked content of one stream the structure of the
// document may refer to is not what it was.
type Tagged struct {
	// Stream is the page or form, Parents its StructParents.
	Stream  pdf.Ref
	Parents int
	// Gone are the identifiers of content that went, Lost of content of which
	// a part went.
	Gone, Lost []int
}

// tagged records the identifiers of one stream.
func (w *walker) tagged(ref pdf.Ref, dict pdf.Dict, out stripped) {
	if len(out.gone)+len(out.lost) == 0 {
		return
	}
	w.res.Tagged = append(w.res.Tagged, Tagged{
		Stream: ref, Parents: pdf.AsInt(w.edit, dict["StructParents"], -1), Gone: out.gone, Lost: out.lost,
	})
}
