package layers

import (
	"context"
	"io"

	"github.com/sizeply/sizeply/internal/isolate"
	"github.com/sizeply/sizeply/internal/steps"
	"github.com/sizeply/sizeply/layers/failure"
)

// What [Document.Isolate] is told, and what it tells.
type (
	// A Selection says which layers are kept, by position in Document.Layers:
	// those of Layers, a []int, switched on and printable, those of Unchanged, a
	// []int, in the state that they have for printing. All others are removed. Lines,
	// a []LineStyle of the same file, are removed from the layers that are kept; nil
	// where sizes are told apart by layer, empty and not nil to keep every line, also
	// in a file without layers. A selection that keeps no layer of a file that has
	// some is an error, unless NoLayers, a bool, asks for it. Document, a string, is
	// the Fingerprint of the file that it is for, "" for any: Document.Bind enters it.
	// Bound selections can be written as JSON and read again; others refuse it.
	Selection = isolate.Selection
	// IsolateOptions are what isolating may be told besides the selection. The zero
	// value, and nil, are the normal case. Flatten makes plain content of kept
	// layers; KeepAttachments leaves attached files; NoResidue refuses to keep
	// anything of removed layers; AcceptDamage goes on with what can be read of a
	// page; Decrypt takes the encryption off; KeptLines and Extents ask for those of the Report;
	// Progress, a func(Progress), is called as it goes on.
	IsolateOptions = isolate.Options
	// Progress tells how far a call has come: Page, an int, of Pages in a Step,
	// "isolate" or "verify".
	Progress = isolate.Progress
	// Report tells what Isolate did: which layers are Kept, Unchanged and Removed,
	// each a []ReportedLayer; what each of Pages lost, a []PageReport; the test
	// Squares and KeptLines of what is kept; Others, a map[string]int, what else was
	// removed, by kind; Residue; by Objects, a map[int]int,
	// the numbers in the output of those in the file; Warnings. EmptyPages lists
	// the pages on which nothing is left to see, from 1. Check opens the file that was
	// written afresh and holds it against what was to be written, which gives a
	// *CheckError where something is wrong: whoever isolates calls it before anybody
	// gets the file.
	Report = isolate.Report
	// ReportedLayer is a layer with its object number in the file, its Name, its
	// number Now, 0 where it is removed, and whether it is On.
	ReportedLayer = isolate.ReportedLayer
	// PageReport counts the marks of a Page that are Kept and Removed; Empty reports
	// whether nothing is left to see, Blank whether what is left cannot be seen; Extent,
	// an *Extent, where it was asked for, is the part of the page that it covers.
	PageReport = isolate.PageReport
	// Extent is a rectangle of a page in mm: Left and Bottom from the lower left corner of
	// its crop box, Width and Height.
	Extent = isolate.Extent
	// Residue is something of removed layers that is kept on a Page, since what is
	// kept is drawn with it: its Kind is "state", "clip" or "text clip", its Name
	// that of a resource.
	Residue = failure.Residue
)

// Fingerprint is the SHA-256 of the file, in hexadecimal digits.
func (d *Document) Fingerprint() string {
	if d.opened() != nil {
		return ""
	}
	text, _ := d.file.Fingerprint(context.Background()) // which nobody ends
	return text
}

// Bind checks a selection as Isolate does and ties it to this file, so that it can
// be written as JSON, carried, and read again: it is an error for any other file.
func (d *Document) Bind(sel Selection) (Selection, error) {
	if err := d.opened(); err != nil {
		return Selection{}, err
	}
	return d.isolator.Bind(sel)
}

// Key names what Isolate writes for a selection with these options: of two calls with
// one key, in any process, the bytes are the same, so that a result may be kept by it.
// It is a SHA-256, in hexadecimal digits, over the file, the selection, whatever the
// order in it, the options that count, and a number that rises when a version of this
// module writes other bytes for sound files than the one before. The error is that of
// Bind.
func (d *Document) Key(sel Selection, opt *IsolateOptions) (string, error) {
	if err := d.opened(); err != nil {
		return "", err
	}
	return d.isolator.Key(sel, opt)
}

// Isolate writes the document with the selected layers alone, and without the
// selected line styles, to out and tells what it did. The document stays as it
// is: one open document gives one output after another, also at the same time.
// Equal selections give equal bytes. See the package comment for what is
// promised.
//
// It gives the error of NoLayers for a file without layers where Lines is nil, a
// *PermissionError for one that must not be changed, an *UnknownWidthError where
// a page cannot be kept exact, an *UnreadableError where one cannot be read whole, which
// AcceptDamage accepts, and a *ResidueError where it could with residue
// alone, which is not allowed; ErrNothingKept, a *PositionError,
// *WrongDocumentError or *ForeignLineError for a selection that is not one of this
// file. What was written to out until then is of no use.
func (d *Document) Isolate(ctx context.Context, out io.Writer, sel Selection, opt *IsolateOptions) (*Report, error) {
	if err := d.opened(); err != nil {
		return nil, err
	}
	return d.isolator.Isolate(ctx, out, sel, opt)
}

// Switch writes a copy of the document with all its content in which the
// layers are switched as a selection says: what it chooses is on, what it
// leaves unchanged is as it is for printing, all else is off. It shows what
// Isolate is to give, in a viewer that knows layers. Annotations of layers
// that are off are left out, since some viewers show them all the same. Marks in
// removed line styles are left out too; what they set in the graphics state is
// not. The error is that of NoLayers for a file without layers where Lines is nil,
// or tells what cannot be read or written.
func (d *Document) Switch(ctx context.Context, out io.Writer, sel Selection) error {
	if err := d.opened(); err != nil {
		return err
	}
	return d.isolator.Switch(ctx, out, sel)
}

// Verify opens an isolated file afresh and holds it against the original and
// the selection: the layers that are kept are there in their states and no others,
// every page is there with its boxes and holds what it should, every object is
// reachable, nothing hidden is left, and the bytes are those that Isolate
// writes with the same options. A result that is encrypted is opened with the
// password of the original. It gives the first thing that does not hold, as a
// *CheckError, which is an ErrBadFile; else the error of Isolate for the selection, or
// that of reading the result.
func Verify(ctx context.Context, result io.ReadSeeker, original *Document, sel Selection, opt *IsolateOptions) error {
	if err := original.opened(); err != nil {
		return err
	}
	end := steps.Begin(ctx, "verify", 0)
	err := original.isolator.Verify(ctx, result, sel, opt)
	end(0, err)
	return err
}
