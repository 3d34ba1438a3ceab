// Package warning has what people should know of a file or a result although it is
// no error: sentences, sorted by codes that programs can act on.
package warning

import "fmt"

// A Warning is something that a user should know.
type Warning struct {
	// Code says what it is about, and does not change from version to version. New
	// codes may come.
	Code Code `json:"code"`
	Page int  `json:"page,omitempty"` // from 1; 0: the whole file
	// About holds what the sentence names, each as the file or the chart writes it:
	// layers, sizes or lines; none where it names nothing.
	About []string `json:"about,omitempty"`
	Text  string   `json:"text"` // the sentence
}

// A Code sorts warnings.
type Code string

// Of what was mended or passed over on opening.
const (
	Repaired       Code = "repaired"        // objects of the file could not be read, or were searched for
	NoDefaults     Code = "no-defaults"     // the file does not say which layers are on
	UntypedLayer   Code = "untyped-layer"   // a layer does not say that it is one
	StrayInList    Code = "stray-in-list"   // a list of layers holds something else
	LostLayers     Code = "lost-layers"     // layers that nothing in the file belongs to any more
	UnlistedLayers Code = "unlisted-layers" // layers that the file's list leaves out
)

// Of pages and what they show.
const (
	PageNotRead        Code = "page-not-read"        // what a page holds could not all be found
	SquareNotTrue      Code = "square-not-true"      // a test square has not the size that its label says
	SquaresRemoved     Code = "squares-removed"      // no test square is kept
	UnreadableContent  Code = "unreadable-content"   // drawing that cannot be read whole
	PrinterCodeRemoved Code = "printer-code-removed" // PostScript was left out
	AnnotationEmptied  Code = "annotation-emptied"   // an annotation's appearance belonged to a removed layer
	LayersExclude      Code = "layers-exclude"       // viewers show one of the chosen layers at a time
	DoubtfulMembership Code = "doubtful-membership"  // it is not clear what content belongs to
	NoSecondReader     Code = "no-second-reader"     // the result was seen by one reader alone
)

// Of what left the file besides the other layers.
const (
	FieldsRemoved      Code = "fields-removed"       // form fields
	SignaturesRemoved  Code = "signatures-removed"   // signatures
	MetadataRemoved    Code = "metadata-removed"     // metadata that cannot be read
	ClaimRemoved       Code = "claim-removed"        // a claim to a PDF/A level
	PrivateDataRemoved Code = "private-data-removed" // of drawing programs, and pictures of pages
	AttachmentsRemoved Code = "attachments-removed"  // attached files
	ViewsRemoved       Code = "views-removed"        // presentations, templates, separations
	FormRemoved        Code = "form-removed"         // a form's second description (XFA)
	ScriptsRemoved     Code = "scripts-removed"      // scripts
	OtherPageRemoved   Code = "other-page-removed"   // a page that the page tree does not hold
)

// New makes a warning about a file.
func New(code Code, about []string, format string, args ...any) Warning {
	return Warning{Code: code, About: about, Text: fmt.Sprintf(format, args...)}
}
