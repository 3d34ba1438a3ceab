package rewrite

import (
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
	"github.com/sizeply/sizeply/layers/failure"
	"github.com/sizeply/sizeply/layers/warning"
)

// maxUnread bounds the sentences on what cannot be read of one page.
const maxUnread = 10

// unread collects what of the content of a page, or of a form with those that it
// draws, cannot be read, a few words each.
//
// What PDFium, Poppler, MuPDF and pdf.js do with such content, by what they draw of the
// files of TestUnreadable in internal/testpdf/oracle, and what is done here:
//
//	fault                                  they                               here
//	Flate data that is wrong, ends early   draw what comes before, more or    refused
//	                                       less of it
//	Flate header that is wrong             differ                             refused
//	Flate checksum that does not fit       draw all                           refused: bytes are not what was written
//	Flate checksum that is cut off         draw all                           read
//	bytes behind the end of Flate data     draw all                           read
//	predictor that is unknown              differ                             refused
//	other filters: data that is wrong      differ                             refused
//	other filters: no end                  draw all                           refused: it may be cut short
//	LZW, RunLength: more behind the end    draw all                           refused: it may be no data of the filter
//	ASCIIHex, ASCII85: more behind it      draw all                           read
//	filter that is unknown or of images    differ                             refused
//	Length that is wrong, data whole       measure it                         read, with a warning
//	data that ends with the file           draw what is there                 refused, but for whole Flate data
//	content stream missing                 differ                             refused
//	XObject missing                        draw the rest                      may be removed
//	XObject that is no form or image       draw the rest                      refused; PostScript is left out
//	operator that is unknown               draw the rest; of many, differ     may be removed
//	stray brackets, operands without end   differ                             may be removed
//	number that ends in a word             differ                             may be removed
//	operands that do not fit               differ                             may be removed
//	token split between parts of Contents  read two tokens, nearly all        two tokens
//
// "May be removed" is refused where what cannot be read may belong to something that is
// removed (see settleUnread), and is passed on as it is where it cannot. Where damage is
// accepted ([Options].AcceptDamage), what can be read is filtered and the rest left out.
type unread []string

// add adds words, each once.
func (u *unread) add(format string, args ...any) {
	if len(*u) >= maxUnread {
		return
	}
	if text := fmt.Sprintf(format, args...); !slices.Contains(*u, text) {
		*u = append(*u, text)
	}
}

// join adds what cannot be read of something that is drawn within.
func (u *unread) join(v unread) {
	for _, text := range v {
		u.add("%s", text)
	}
}

// damaged notes bytes of the content at hand that cannot be read, which may hold
// anything. It gives a *failure.UnreadableError where that is not accepted.
func (w *rewriter) damaged(reason string) error {
	if !w.acceptDamage {
		return &failure.UnreadableError{Page: w.page, Reason: reason}
	}
	w.unread.add("%s", reason)
	return nil
}

// settleUnread ends a page or another drawing of which all has been filtered: what
// cannot be read becomes a *failure.UnreadableError where it may belong to something that is
// removed, else a warning. from is what the drawing finds its resources in.
func (w *rewriter) settleUnread(removes bool, from ...pdf.Object) error {
	reason := strings.Join(w.unread, "; ")
	w.unread = nil
	switch {
	case reason == "":
	case w.acceptDamage:
		w.warnUnread("what cannot be read is left out, so lines may be missing or out of place", reason)
	case removes || w.removed != nil || w.leadsToRemoved(from):
		return &failure.UnreadableError{Page: w.page, Reason: reason}
	default:
		w.warnUnread("it is passed on as it is, since nothing that it draws with belongs to a layer that goes; "+
			"lines may be missing or out of place", reason)
	}
	return nil
}

// warnUnread warns of what cannot be read, and says what becomes of it.
func (w *rewriter) warnUnread(becomes, reason string) {
	w.warn(warning.UnreadableContent, "its drawing cannot be read whole (%s): %s", reason, becomes)
}

// drawnWith lists what the content of a page and the appearances of its annotations find
// their resources in.
func drawnWith(src pdf.Objects, p pdf.Page) []pdf.Object {
	list := []pdf.Object{p.Resources}
	for _, o := range pdf.AsArray(src, p.Dict["Annots"]) {
		list = append(list, pdf.AsDict(src, o)["AP"])
	}
	return list
}

// leadsToRemoved reports whether something is reached from resource dictionaries, in
// whatever way, that belongs to optional content which is removed, wholly or in part, or
// of which the sections are: an XObject or a property list (8.11.3). Content that cannot
// be read may begin a section of it, or draw it, anywhere. What a search did not find
// is not searched again.
func (w *rewriter) leadsToRemoved(from []pdf.Object) bool {
	doc := w.edit.Original()
	var refs []pdf.Ref
	for todo := slices.Clone(from); len(todo) > 0; {
		o := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if ref, ok := o.(pdf.Ref); ok {
			if w.harmless[ref] {
				continue
			}
			w.harmless[ref] = true
			o = doc.Object(ref)
			refs = append(refs, ref)
		}
		switch o := o.(type) {
		case pdf.Array:
			todo = append(todo, o...)
		case *pdf.Stream:
			todo = append(todo, o.Dict)
		case pdf.Dict:
			lists := pdf.AsDict(doc, o["Properties"])
			changes := func(k pdf.Name) bool { return w.changes(lists[k]) }
			if w.changes(o["OC"]) || slices.ContainsFunc(lists.Keys(), changes) {
				for _, ref := range refs {
					delete(w.harmless, ref)
				}
				return true
			}
			for k, v := range o {
				if k != "Parent" { // to the pages
					todo = append(todo, v)
				}
			}
		}
	}
	return false
}

// changes reports whether content that belongs to oc is anything but kept in its
// section, as it is.
func (w *rewriter) changes(oc pdf.Object) bool {
	if oc == nil {
		return false
	}
	decision, now := w.decide.Decide(oc)
	ref, _ := oc.(pdf.Ref)
	return decision == Remove || decision == Unwrap || !same(now, oc) ||
		!same(w.edit.Object(ref), w.edit.Original().Object(ref))
}

// keepWhole keeps all resources of a stream that cannot be read and is passed on:
// nobody knows which it names. Where damage is accepted, what cannot be read is gone.
func (s *streamFilter) keepWhole() {
	for at := s.scope; at != nil; at = at.parent {
		for _, category := range resources.Categories {
			for name := range pdf.AsDict(s.edit, at.Dict()[category]) {
				if k := (resources.Name{Category: category, Name: name}); at.Has(k) {
					s.scope.use(k, byContent)
				}
			}
		}
	}
}

// unknown passes over an operator that the standard does not have, where it is not
// within BX and EX (7.8.2). It is kept where nothing has to be left out.
func (s *streamFilter) unknown(op *content.Operation) {
	if s.compatible == 0 {
		word := op.Raw()[max(0, op.Operator()-op.Start):]
		s.unread.add("an operator that does not exist, %q", clipped(word))
		if s.acceptDamage {
			s.res.changed = true
			return
		}
	}
	if s.hidden > 0 {
		s.res.changed = true
		return
	}
	s.keep(op)
}

// fit notes operands that do not fit their operator. It reports whether the operation
// is there all the same: where damage is accepted, without operands too many, and only
// where the others are of the right kinds. One that begins a section is there as one
// that means nothing.
func (s *streamFilter) fit(op *content.Operation) bool {
	s.unread.add("the operands of an operator %q are none that it takes", op.Op)
	if !s.acceptDamage {
		return true
	}
	s.res.changed = true
	op.DropExtra()
	s.gap = op.Start
	if op.Fits() {
		return true
	}
	if op.Op == content.OpBeginMarked || op.Op == content.OpBeginMarkedProps {
		s.sections = append(s.sections, section{})
	}
	return false
}

// noteOutside notes text outside of a text object (9.4.1), which readers place
// differently.
func (s *streamFilter) noteOutside(op *content.Operation) {
	switch op.Op.Class() {
	case content.ClassTextObject:
		s.inText = op.Op == content.OpBeginText
	case content.ClassTextShow, content.ClassTextPosition:
		if !s.inText {
			s.unread.add("text outside of a text object")
		}
	}
}

// clipped is a word that is shown to people, cut where it is long.
func clipped(word []byte) string {
	const most = 20
	if len(word) > most {
		return string(word[:most]) + "..."
	}
	return string(word)
}

// noteStray notes bytes that belong to no operation. Between operations that are kept
// they would stay.
func (s *streamFilter) noteStray(scan *content.Scanner) {
	at, found := scan.Stray()
	if !found {
		return
	}
	s.unread.add("what stands at byte %d of a content stream is no operator with its operands", at)
	s.res.changed = s.res.changed || s.acceptDamage
}

// noteMissingObject notes an XObject that is drawn and is not there, or is none.
func (s *streamFilter) noteMissingObject(k resources.Name) {
	if o := s.scope.Find(k); pdf.AsStream(s.edit.Original(), o) == nil {
		s.unread.add("the form or image %q is missing", clipped([]byte(k.Name)))
	}
}

// undrawn leaves out an XObject that is neither a form nor an image: no reader draws
// it, and its bytes may hold anything. PostScript (8.8.2, deprecated) is for printers
// only; what has another Subtype, or none, is damaged.
func (w *rewriter) undrawn(subtype pdf.Name) error {
	if subtype == "PS" {
		w.warn(warning.PrinterCodeRemoved,
			"PostScript for printers is left out: what it draws was not to be seen on a screen")
		return nil
	}
	return w.damaged("an XObject is neither a form nor an image")
}
