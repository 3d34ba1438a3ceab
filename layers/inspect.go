package layers

import (
	"context"

	"github.com/sizeply/sizeply/internal/survey"
)

// What [Document.Inspect] tells.
type (
	// Inspection tells what the layers of a file hold.
	Inspection = survey.Inspection
	// Shown is a text that a layer shows.
	Shown = survey.Shown
	// A TestSquare is a square that is there to be measured after printing.
	TestSquare = survey.TestSquare
	// A Piece is a pattern piece as the text on it names it.
	Piece = survey.Piece
	// PrivateData is what a program left in a file for itself; Isolate takes it out.
	PrivateData = survey.PrivateData
)

// Inspect reads every page, with its annotations, and tells what each layer
// holds, and which test squares there are; a warning names those that are not
// of the size they say. Pages are read on all cores, or OpenOptions.Cores; the
// result is the same on any number of them. The error is the context's.
func (d *Document) Inspect(ctx context.Context) (*Inspection, error) {
	if err := d.opened(); err != nil {
		return nil, err
	}
	return survey.Inspect(ctx, d.file)
}
