package rewrite

import (
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
)

// Decision is what becomes of content that belongs to optional content.
type Decision uint8

const (
	// Untouched content belongs to no optional content that counts: it and the
	// section around it stay as they are.
	Untouched Decision = iota
	// Keep leaves the content in its section.
	Keep
	// Unwrap leaves the content and takes the section away.
	Unwrap
	// Remove takes the content away.
	Remove
)

// A Decider says what is to be removed.
type Decider interface {
	// Decide says what becomes of content that belongs to oc: the value of an
	// OC entry, or the property list that a section with the tag OC names.
	// The object is what stands for oc in the output; it counts for Keep and
	// Untouched only. Equal arguments get equal answers.
	Decide(oc pdf.Object) (Decision, pdf.Object)
	// RemovedStyles gives a function that reports whether marks of a style are
	// removed wherever they are painted, on pages and in the forms that they
	// draw; nil where no mark is removed for that, which is much faster.
	RemovedStyles() func(paint.Style) bool
}

// An Observer sees pages go by.
type Observer interface {
	// PageRead gets each page with its decoded contents as they were, which it
	// must not change: in any order, and from several goroutines at a time.
	// Pages of one object come once. Run returns after the last call.
	PageRead(p pdf.Page, content []byte)
	// PageFiltered gets each page, in order, with what its contents are now;
	// nil where the page has the object of one before.
	PageFiltered(p pdf.Page, content []byte)
	// Abandoned says that Run fails: what PageRead is still at need not be ended,
	// and Run waits for it.
	Abandoned()
}
