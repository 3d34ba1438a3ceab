package rewrite

import "github.com/sizeply/sizeply/internal/pdf"

// Fate is what becomes of content that belongs to optional content.
type Fate uint8

const (
	// Neutral content belongs to no optional content that counts: it stays
	// as it is.
	Neutral Fate = iota
	// Keep leaves the content in its section.
	Keep
	// Unwrap leaves the content and takes the section away.
	Unwrap
	// Drop takes the content away.
	Drop
)

// A Decider decides on optional content.
type Decider interface {
	// Fate says what becomes of content that belongs to oc: the value of an
	// OC entry, or the property list that a section with the tag OC names.
	// The object is what stands for oc in the output; it counts for Keep and
	// Neutral only. Equal arguments get equal answers.
	Fate(oc pdf.Object) (Fate, pdf.Object)
}

// Warning is a sentence about something on a page.
type Warning struct {
	Page int // from 1; 0 where it is about no page
	Text string
}

// Residue is something of removed content that had to stay so that the rest
// looks as before.
type Residue struct {
	Page int
	Kind ResidueKind
	// Name is the resource name for state, "" for the others.
	Name string
}

// ResidueKind says what kind of thing stayed.
type ResidueKind uint8

const (
	// StateResidue is a resource that only state set in removed content
	// names.
	StateResidue ResidueKind = iota + 1
	// ClipResidue is a clipping path set in removed content.
	ClipResidue
	// TextClipResidue is text of removed content that clips.
	TextClipResidue
)

// String says it in words.
func (k ResidueKind) String() string {
	switch k {
	case StateResidue:
		return "state"
	case ClipResidue:
		return "clip"
	case TextClipResidue:
		return "text clip"
	}
	return "none"
}
