package rewrite

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
)

// section is an open marked-content sequence (14.6).
type section struct {
	removed     bool // with its content
	emitted     bool // its BDC or BMC is in the output, so its EMC must be
	description *description
}

// marked follows marked content (14.6). Only BDC with the tag OC and a named
// property list is optional content (8.11.3.2); everything else counts for
// the balance alone.
func (s *streamFilter) marked(op *content.Operation) {
	switch op.Op {
	case content.OpBeginMarked:
		s.begin(op, false)
	case content.OpBeginMarkedProps:
		s.beginProps(op)
	case content.OpEndMarked:
		s.end(op)
	default:
		s.point(op)
	}
}

// begin opens a section that hides nothing.
func (s *streamFilter) begin(op *content.Operation, named bool) {
	d := s.describe(op)
	if s.hidden > 0 {
		s.sections = append(s.sections, section{})
		s.res.changed = true
		s.res.tagsRemoved = d.append(s.res.tagsRemoved)
		return
	}
	if named {
		s.name(op, 1, resources.Properties)
	}
	p := s.span(op)
	p.description = d
	s.put(p)
	if d != nil {
		d.kept, d.removed, d.removals = s.res.kept, s.res.removed, s.removals
	}
	s.sections = append(s.sections, section{emitted: true, description: d})
}

// beginProps opens a section with a property list.
func (s *streamFilter) beginProps(op *content.Operation) {
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
	removed := decision == Remove
	switch {
	case !removed && decision != Unwrap || tag != "OC" && s.hidden > 0:
		s.begin(op, true)
		return
	case tag != "OC": // its list is removed
		s.sections = append(s.sections, section{emitted: true})
		s.write(s.operand(op, 0) + " BMC")
	default:
		s.sections = append(s.sections, section{removed: removed})
		if removed {
			s.hidden++
			s.removals++
		}
	}
	s.res.changed = true
}

// properties finds the property list that BDC or DP names; nil where there is
// none or it is written in place, named where there is a name.
func (s *streamFilter) properties(op *content.Operation) (props pdf.Object, named bool) {
	name, ok := op.Name(1)
	if !ok {
		return nil, false
	}
	return s.scope.Lookup(resources.Properties, pdf.Name(name)), true
}

// end closes the innermost section. An EMC with nothing open is dropped where
// the stream changes at all.
func (s *streamFilter) end(op *content.Operation) {
	if len(s.sections) == 0 {
		return
	}
	last := s.sections[len(s.sections)-1]
	s.sections = s.sections[:len(s.sections)-1]
	if last.removed {
		s.hidden--
	}
	s.leave(last.description)
	if last.emitted {
		s.keep(op)
	} else {
		s.res.changed = true
	}
}

// point is MP or DP, which is never a section. One that refers to optional
// content that is removed is removed.
func (s *streamFilter) point(op *content.Operation) {
	removed := s.hidden > 0
	if op.Op == content.OpMarkPointProps && !removed {
		tag, _ := op.Name(0)
		props, named := s.properties(op)
		if removed = s.flatten && tag == "OC"; !removed && props != nil {
			decision, _ := s.decide.Decide(props)
			removed = decision == Remove || decision == Unwrap
		}
		if named && !removed {
			s.name(op, 1, resources.Properties)
		}
	}
	if removed {
		s.res.changed = true
		return
	}
	s.keep(op)
}

// description is what a section says of its content to the structure of the
// document (14.7.4) and to readers (14.9).
type description struct {
	tag  string // as written
	mcid int    // -1 where it has none
	text bool   // it holds text that stands for its content
	rest string // with text: its property list without that, "" where nothing is left
	now  string // how it begins in place of what is written, "" for as it is
	// The marks, and the sections that are removed, before it.
	kept, removed int64
	removals      int
}

// describe reads a section with an MCID or replacement text; nil where it has
// neither.
func (s *streamFilter) describe(op *content.Operation) *description {
	if op.Op != content.OpBeginMarkedProps {
		return nil
	}
	d := &description{tag: s.operand(op, 0), mcid: -1}
	props, _ := s.properties(op)
	dict := pdf.AsDict(s.edit, props)
	read := func(k pdf.Name, n float64, isNumber bool) {
		d.text = d.text || isReplacement(k)
		if k == "MCID" && isNumber && n >= 0 && n < 1<<31 {
			d.mcid = int(n)
		}
	}
	op.Entries(1, func(k string, v content.Operand) bool {
		n, ok := op.FloatOf(v)
		read(pdf.Name(k), n, ok)
		return true
	})
	for k, v := range dict {
		n, ok := pdf.AsNumber(s.edit, v)
		read(k, n, ok)
	}
	switch {
	case !d.text && d.mcid < 0:
		return nil
	case !d.text:
		return d
	}
	var list []string
	op.Entries(1, func(k string, v content.Operand) bool {
		if !isReplacement(pdf.Name(k)) {
			list = append(list, spellName(pdf.Name(k))+" "+string(op.RawOf(v)))
		}
		return true
	})
	for _, k := range dict.Keys() {
		if text, ok := spell(s.edit, dict[k], 0); ok && !isReplacement(k) {
			list = append(list, spellName(k)+" "+text)
		}
	}
	d.rest = strings.Join(list, " ")
	return d
}

// isReplacement reports whether an entry of a property list is text that stands
// for content, and is removed with any of it: alternate description,
// replacement text, expansion of an abbreviation (14.9.3 to 14.9.5),
// pronunciation (14.9.6 of ISO 32000-2).
func isReplacement(k pdf.Name) bool {
	return k == "Alt" || k == "ActualText" || k == "E" || k == "Phoneme"
}

// append adds the identifier to a list.
func (d *description) append(list []int) []int {
	if d == nil || d.mcid < 0 {
		return list
	}
	return append(list, d.mcid)
}

// leave ends a section. One that lost content loses the text that stands for
// it, one that lost all its identifier too.
func (s *streamFilter) leave(d *description) {
	switch {
	case d == nil:
	case s.res.removed == d.removed && (s.removals == d.removals || s.res.kept != d.kept || !d.text):
		s.res.tagsWhole = d.append(s.res.tagsWhole)
	case s.res.kept == d.kept && s.res.removed != d.removed:
		s.res.changed = true
		s.res.tagsRemoved = d.append(s.res.tagsRemoved)
		d.now = d.tag + " BMC"
	default:
		s.res.changed = true
		s.res.tagsReduced = d.append(s.res.tagsReduced)
		switch {
		case d.text && d.rest == "":
			d.now = d.tag + " BMC"
		case d.text:
			d.now = d.tag + " <<" + d.rest + ">> BDC"
		}
	}
}

// Tagged tells which marked content of one stream the structure of the
// document may refer to is not what it was.
type Tagged struct {
	// Stream is the page or form, by its number in the original.
	Stream pdf.Ref
	// Parents is its StructParents, -1 where it has none.
	Parents int
	// Removed are the identifiers of content that was removed, Reduced of
	// content of which a part was; ascending.
	Removed, Reduced []int
}

// tags are the identifiers of one stream in all its versions.
type tags struct {
	parents int
	became  map[int]tagResult
}

// tagResult is what became of the sections with one identifier.
type tagResult uint8

const (
	tagWhole tagResult = 1 << iota
	tagReduced
	tagRemoved
)

// tagged records the identifiers of one stream.
func (w *rewriter) tagged(ref pdf.Ref, dict pdf.Dict, out filtered) {
	if len(out.tagsRemoved)+len(out.tagsReduced)+len(out.tagsWhole) == 0 {
		return
	}
	t := w.tags[ref]
	if t == nil {
		t = &tags{pdf.AsInt(w.edit, dict["StructParents"], -1), map[int]tagResult{}}
		w.tags[ref] = t
	}
	lists := map[tagResult][]int{tagWhole: out.tagsWhole, tagReduced: out.tagsReduced, tagRemoved: out.tagsRemoved}
	for became, list := range lists {
		for _, id := range list {
			t.became[id] |= became
		}
	}
}

// settleTags lists what became of identifiers: one is removed where all that
// bears it is.
func (w *rewriter) settleTags() {
	w.res.Tagged = nil
	for ref, t := range w.tags {
		now := Tagged{Stream: ref, Parents: t.parents}
		for id, became := range t.became {
			switch became {
			case tagWhole:
			case tagRemoved:
				now.Removed = append(now.Removed, id)
			default:
				now.Reduced = append(now.Reduced, id)
			}
		}
		if len(now.Removed)+len(now.Reduced) > 0 {
			slices.Sort(now.Removed)
			slices.Sort(now.Reduced)
			w.res.Tagged = append(w.res.Tagged, now)
		}
	}
	slices.SortFunc(w.res.Tagged, func(a, b Tagged) int { return cmp.Compare(a.Stream, b.Stream) })
}

// maxSpelled bounds values within values, and so what leads back to itself.
const maxSpelled = 8

// spell writes an object for a content stream, as in a property list in place
// (14.6.2); ok is false for streams and what holds one.
func spell(src pdf.Objects, o pdf.Object, depth int) (text string, ok bool) {
	if depth > maxSpelled {
		return "", false
	}
	switch o := pdf.Resolve(src, o).(type) {
	case nil:
		return "null", true
	case bool:
		return strconv.FormatBool(o), true
	case pdf.Integer:
		return strconv.FormatInt(int64(o), 10), true
	case pdf.Real:
		return strconv.FormatFloat(float64(o), 'f', -1, 64), true
	case pdf.Numeral:
		return string(o), true
	case pdf.Name:
		return spellName(o), true
	case pdf.String:
		return fmt.Sprintf("<%X>", string(o)), true
	case pdf.Array:
		var list []string
		for _, v := range o {
			text, ok := spell(src, v, depth+1)
			if !ok {
				return "", false
			}
			list = append(list, text)
		}
		return "[" + strings.Join(list, " ") + "]", true
	case pdf.Dict:
		var list []string
		for _, k := range o.Keys() {
			text, ok := spell(src, o[k], depth+1)
			if !ok {
				return "", false
			}
			list = append(list, spellName(k)+" "+text)
		}
		return "<<" + strings.Join(list, " ") + ">>", true
	}
	return "", false
}

// spellName writes a name (7.3.5).
func spellName(n pdf.Name) string {
	var b strings.Builder
	b.WriteByte('/')
	for _, c := range []byte(n) {
		if c <= ' ' || c > '~' || strings.IndexByte("#()<>[]{}/%", c) >= 0 {
			fmt.Fprintf(&b, "#%02X", c)
		} else {
			b.WriteByte(c)
		}
	}
	return b.String()
}
