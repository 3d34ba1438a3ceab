package layers

import (
	"context"

	"github.com/sizeply/sizeply/internal/steps"
	"github.com/sizeply/sizeply/internal/survey"
)

// What [Document.Inspect] tells.
type (
	// Inspection tells what the layers of a file hold: its Pages; the Layers with their
	// Uses; what stands Outside of all layers, a []Use; the test Squares, Pieces and
	// Private data; Pictures, the numbers of pages that are scans or the like; Shown, the
	// first 100,000 texts on layers, page by page. Warnings tell, besides those of the
	// document, which pages could not be read to their end, so that the figures lack
	// what follows.
	Inspection = survey.Inspection
	// Shown is a Text that a Layer, by its object number, shows on a Page, from 1: as the
	// file has it, so that codes of a font that are not those of ASCII mean nothing. Left
	// and Bottom are the corner of its bounds in points.
	Shown = survey.Shown
	// A TestSquare is a square that is there to be measured after printing, on a Page,
	// from 1, in Layers by object number. Its Side, the mean of Width and Height, is what
	// is measured on paper printed at 100 %, Nominal what its Label says, all in mm; Scale
	// is the one divided by the other, Bounds are in points. True reports whether it is
	// of the size it says, within half a per cent.
	TestSquare = survey.TestSquare
	// A Piece is a pattern piece as the text on it names it: its Name, how to Cut it,
	// such as "Cut 2", and the Page, from 1.
	Piece = survey.Piece
	// PrivateData is what a Program, by the name that it gives itself, left in a file for
	// itself: so many Bytes, on a Page, 0 for none of them. Isolate takes it out.
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
	end := steps.Begin(ctx, "inspect", 0)
	found, err := survey.Inspect(ctx, d.file)
	end(0, err)
	return found, err
}

// Pictures returns the numbers of the pages, from 1, that are a picture in place of
// lines, as a scan is: images cover most of the page, and next to no lines are drawn on
// it. Nothing tells sizes apart in those. A page that cannot be read is none of them. The
// error is the context's.
func (d *Document) Pictures(ctx context.Context) ([]int, error) {
	if err := d.opened(); err != nil {
		return nil, err
	}
	return survey.Pictures(ctx, d.file)
}
