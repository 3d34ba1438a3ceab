package pattern

import (
	"context"
	"errors"
	"fmt"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/warning"
)

// PictureWarnings tell of pages that are pictures in place of lines, as
// [layers.Document.Pictures] finds them; none where there are none.
func PictureWarnings(pictures []int) []layers.Warning {
	if len(pictures) == 0 {
		return nil
	}
	if len(pictures) > 1 {
		return []layers.Warning{warning.New(PicturePages, nil, "%s: their lines cannot be told apart, "+
			"so all sizes on them stay in every print", picturesAre(pictures))}
	}
	w := warning.New(PicturePages, nil, "this page is a picture (a scan or a photo): its lines cannot be told apart, "+
		"so all sizes on it stay in every print")
	w.Page = pictures[0]
	return []layers.Warning{w}
}

// picturesAre says which pages are pictures: "page 3 is a picture (a scan or a photo)".
func picturesAre(pictures []int) string {
	if len(pictures) == 1 {
		return fmt.Sprintf("page %d is a picture (a scan or a photo)", pictures[0])
	}
	return "pages " + words.Pages(pictures) + " are pictures (scans or photos)"
}

// A PicturesError says that nothing tells the sizes of a file apart, since half of its
// pages or more are pictures in place of lines, such as scans. It is Err too.
type PicturesError struct {
	Pages []int // their numbers
	Err   error // what was looked for and not found
}

func (e *PicturesError) Error() string {
	return picturesAre(e.Pages) + ", so that nothing tells the sizes on " +
		words.Plural(len(e.Pages), "it", "them") + " apart"
}

// Unwrap returns what was looked for and not found.
func (e *PicturesError) Unwrap() error { return e.Err }

// explained says of a file in which no sizes were found that it is one of pictures.
func (p *Pattern) explained(ctx context.Context, err error) error {
	var line *MissingLineError
	if !errors.Is(err, layers.ErrNoLayers) && !errors.As(err, &line) {
		return err
	}
	pictures, stopped := p.doc.Pictures(ctx)
	if stopped != nil || len(pictures) == 0 || 2*len(pictures) < len(p.doc.Pages()) {
		return err
	}
	return &PicturesError{pictures, err}
}

// warnOfPictures warns of pages on which nothing can be chosen.
func (c *Choice) warnOfPictures(ctx context.Context, doc *layers.Document) error {
	pictures, err := doc.Pictures(ctx)
	c.Warnings = append(c.Warnings, PictureWarnings(pictures)...)
	return err
}
