package rewrite

import (
	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
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
	s.marks = append(s.marks, section{emitted: emit})
	if !emit {
		s.res.changed = true
		return
	}
	if named {
		s.name(op, 1, catProperties)
	}
	if bare := s.replacing(op); bare != "" && !s.building {
		p := s.span(op)
		p.alone = true
		s.put(p)
		last := &s.marks[len(s.marks)-1]
		last.bare, last.piece, last.removed = bare, len(s.out.pieces), s.res.removed
		return
	}
	s.keep(op)
}

// replacing gives a BDC without its property list but for the MCID, where that
// list holds text that stands for the content (14.9): it must not tell what is
// removed within. Else it is "".
func (s *stripper) replacing(op *content.Operation) string {
	if op.Op != content.OpBeginMarkedProps {
		return ""
	}
	text, mcid := false, ""
	op.Entries(1, func(k string, v content.Operand) bool {
		text = text || isReplacement(pdf.Name(k))
		if k == "MCID" {
			mcid = string(op.RawOf(v))
		}
		return true
	})
	if props, _ := s.properties(op); props != nil {
		for k, v := range pdf.AsDict(s.edit, props) {
			text = text || isReplacement(k)
			if n, ok := pdf.AsNumber(s.edit, v); ok && k == "MCID" {
				mcid = number(n)
			}
		}
	}
	switch {
	case !text:
		return ""
	case mcid == "":
		return s.operand(op, 0) + " BMC"
	}
	return s.operand(op, 0) + " <</MCID " + mcid + ">> BDC"
}

// isReplacement tells keys of text that stands for content: alternate
// description, replacement text, expansion of an abbreviation (14.9.3 to
// 14.9.5).
func isReplacement(k pdf.Name) bool { return k == "Alt" || k == "ActualText" || k == "E" }

// close takes the replacement text from a section that lost content.
func (s *stripper) close(m section) {
	if m.piece > 0 && s.res.removed > m.removed {
		s.out.pieces[m.piece-1].text = m.bare
		s.res.changed = true
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
	fate, _ := s.decide.Fate(props)
	if fate == Neutral && s.flatten && tag == "OC" {
		fate = Unwrap
	}
	if tag != "OC" {
		if s.hidden == 0 && (fate == Drop || fate == Unwrap) {
			s.marks = append(s.marks, section{emitted: true}) // its list goes
			s.res.changed = true
			s.write(s.operand(op, 0) + " BMC")
			return
		}
		s.begin(op, true)
		return
	}
	switch fate {
	case Drop:
		s.marks = append(s.marks, section{drop: true})
		s.hidden++
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
	return s.scope.lookup(key{catProperties, pdf.Name(name)}), true
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
	s.close(last)
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
			if fate, _ := s.decide.Fate(props); fate == Drop || fate == Unwrap {
				s.res.changed = true
				return
			}
			s.name(op, 1, catProperties)
		} else if named {
			s.name(op, 1, catProperties)
		}
	}
	s.keep(op)
}
