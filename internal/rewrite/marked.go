package rewrite

import (
	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// marked follows marked content (14.6). Only BDC with the tag OC and a named
// property list is optional content (8.11.3.2); everything else counts for
// the balance alone.
func (s *stripper) marked(op *content.Operation) {
	switch op.Op {
	case content.OpBeginMarked:
		s.begin(op, false)
	case content.OpBeginMarkedProps:
		s.beginProps(op)
	case content.OpEndMarked:
		s.end(op)
	default: // MP, DP: a point, never a section
		s.point(op)
	}
}

// begin opens a section that hides nothing.
func (s *stripper) begin(op *content.Operation, named bool) {
	emit := s.hidden == 0
	t := s.tagging(op)
	s.marks = append(s.marks, section{emitted: emit})
	if !emit {
		s.res.changed = true
		s.res.gone = t.append(s.res.gone)
		return
	}
	if named {
		s.name(op, 1, resources.Properties)
	}
	p := s.span(op)
	p.tagging = t
	s.put(p)
	if t != nil {
		t.kept, t.removed, t.hid = s.res.kept, s.res.removed, s.hid
		s.marks[len(s.marks)-1].tagging = t
	}
}

// beginProps opens a section with a property list.
func (s *stripper) beginProps(op *content.Operation) {
	props, named := s.properties(op)
	tag, _ := op.Name(0)
	if props == nil && !(s.flatten && tag == "OC") {
		s.begin(op, named)
		return
	}
	decision, _ := s.decide.Decide(props)
	if decision == Untouched && s.flatten && tag == "OC" {
		decision = Unwrap
	}
	if tag != "OC" {
		if s.hidden == 0 && (decision == Remove || decision == Unwrap) {
			s.marks = append(s.marks, section{emitted: true}) // its list goes
			s.res.changed = true
			s.write(s.operand(op, 0) + " BMC")
			return
		}
		s.begin(op, true)
		return
	}
	switch decision {
	case Remove:
		s.marks = append(s.marks, section{drop: true})
		s.hidden++
		s.hid++
		s.res.changed = true
	case Unwrap:
		s.marks = append(s.marks, section{})
		s.res.changed = true
	default:
		s.begin(op, true)
	}
}

// properties finds the property list that BDC or DP names; nil where there is
// none or it is written in place, named where there is a name.
func (s *stripper) properties(op *content.Operation) (props pdf.Object, named bool) {
	name, ok := op.Name(1)
	if !ok {
		return nil, false
	}
	return s.scope.Lookup(resources.Properties, pdf.Name(name)), true
}

// end closes the innermost section. An EMC with nothing open is dropped where
// the stream changes at all.
func (s *stripper) end(op *content.Operation) {
	if len(s.marks) == 0 {
		return
	}
	last := s.marks[len(s.marks)-1]
	s.marks = s.marks[:len(s.marks)-1]
	if last.drop {
		s.hidden--
	}
	s.leave(last.tagging)
	if last.emitted {
		s.keep(op)
	} else {
		s.res.changed = true
	}
}

// point is MP or DP. One that refers to optional content that goes, goes.
func (s *stripper) point(op *content.Operation) {
	if s.hidden > 0 {
		s.res.changed = true
		return
	}
	if tag, _ := op.Name(0); s.flatten && tag == "OC" && op.Op == content.OpMarkPointProps {
		s.res.changed = true
		return
	}
	if op.Op == content.OpMarkPointProps {
		if props, named := s.properties(op); props != nil {
			if decision, _ := s.decide.Decide(props); decision == Remove || decision == Unwrap {
				s.res.changed = true
				return
			}
			s.name(op, 1, resources.Properties)
		} else if named {
			s.name(op, 1, resources.Properties)
		}
	}
	s.keep(op)
}
