package rewrite

import (
	"cmp"
	"slices"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// tagging is what a section says of its content to the structure of the
// document (14.7.4) and to readers (14.9).
type tagging struct {
	tag  string // as written
	mcid int    // -1 where it has none
	text bool   // it holds text that stands for its content
	rest string // its property list without that text, "" where nothing is left
	now  string // how it begins in place of what is written, "" for as it is
	// The marks, and the sections that drop, before it.
	kept, removed int64
	hid           int
}

// tagging reads a section with an MCID or replacement text; nil where it has
// neither.
func (s *stripper) tagging(op *content.Operation) *tagging {
	if op.Op != content.OpBeginMarkedProps {
		return nil
	}
	t := &tagging{tag: s.operand(op, 0), mcid: -1}
	var list propertyList
	op.Entries(1, func(k string, v content.Operand) bool {
		n, ok := op.FloatOf(v)
		if t.entry(pdf.Name(k), n, ok) {
			list.raw(pdf.Name(k), op.RawOf(v))
		}
		return true
	})
	if props, _ := s.properties(op); props != nil {
		dict := pdf.AsDict(s.edit, props)
		for _, k := range dict.Keys() {
			n, ok := pdf.AsNumber(s.edit, dict[k])
			if t.entry(k, n, ok) {
				list.object(s.edit, k, dict[k])
			}
		}
	}
	if t.mcid < 0 && !t.text {
		return nil
	}
	t.rest = list.String()
	return t
}

// entry takes one entry of a property list: the identifier, or text that
// stands for content: alternate description, replacement text, expansion of an
// abbreviation (14.9.3 to 14.9.5), pronunciation (14.9.6 of ISO 32000-2). It
// tells whether it may stay when content goes.
func (t *tagging) entry(k pdf.Name, n float64, isNumber bool) bool {
	switch k {
	case "MCID":
		if isNumber && n >= 0 && n < 1<<31 {
			t.mcid = int(n)
		}
	case "Alt", "ActualText", "E", "Phoneme":
		t.text = true
		return false
	}
	return true
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
	switch {
	case t == nil:
	case s.res.removed == t.removed && (s.hid == t.hid || s.res.kept != t.kept || !t.text):
		s.res.whole = t.append(s.res.whole)
	case s.res.kept == t.kept && s.res.removed != t.removed:
		s.res.changed = true
		s.res.gone = t.append(s.res.gone)
		t.now = t.tag + " BMC"
	default:
		s.res.changed = true
		s.res.lost = t.append(s.res.lost)
		if t.text {
			t.now = t.begin()
		}
	}
}

// begin is the beginning of a section without the text that stood for it.
func (t *tagging) begin() string {
	if t.rest == "" {
		return t.tag + " BMC"
	}
	return t.tag + " <<" + t.rest + ">> BDC"
}

// Tagged tells which marked content of one stream the structure of the
// document may refer to is not what it was.
type Tagged struct {
	// Stream is the page or form, by its number in the original.
	Stream pdf.Ref
	// Parents is its StructParents, -1 where it has none.
	Parents int
	// Gone are the identifiers of content that went, Lost of content of which
	// a part went; ascending.
	Gone, Lost []int
}

// tags are the identifiers of one stream in all its versions.
type tags struct {
	parents int
	fates   map[int]tagFate
}

// tagFate is what became of the sections with one identifier.
type tagFate uint8

const (
	tagWhole tagFate = 1 << iota
	tagLost
	tagGone
)

// tagged records the identifiers of one stream.
func (w *walker) tagged(ref pdf.Ref, dict pdf.Dict, out stripped) {
	if len(out.gone)+len(out.lost)+len(out.whole) == 0 {
		return
	}
	t := w.tags[ref]
	if t == nil {
		t = &tags{pdf.AsInt(w.edit, dict["StructParents"], -1), map[int]tagFate{}}
		w.tags[ref] = t
	}
	for fate, list := range map[tagFate][]int{tagWhole: out.whole, tagLost: out.lost, tagGone: out.gone} {
		for _, id := range list {
			t.fates[id] |= fate
		}
	}
}

// settleTags lists what became of identifiers: one is gone where all that bears
// it is.
func (w *walker) settleTags() {
	w.res.Tagged = nil
	for ref, t := range w.tags {
		now := Tagged{Stream: ref, Parents: t.parents}
		for id, fate := range t.fates {
			switch {
			case fate == tagGone:
				now.Gone = append(now.Gone, id)
			case fate != tagWhole:
				now.Lost = append(now.Lost, id)
			}
		}
		if len(now.Gone)+len(now.Lost) > 0 {
			slices.Sort(now.Gone)
			slices.Sort(now.Lost)
			w.res.Tagged = append(w.res.Tagged, now)
		}
	}
	slices.SortFunc(w.res.Tagged, func(a, b Tagged) int { return cmp.Compare(a.Stream, b.Stream) })
}
