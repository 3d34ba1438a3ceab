package survey

import (
	"context"

	"github.com/sizeply/sizeply/internal/draw"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/parallel"
	"github.com/sizeply/sizeply/internal/pdf"
)

// A page is a picture in place of lines, as a scan is, where images cover so much of
// it and it has so few paths, such as a frame and marks to join tiles at, none of them
// on a layer.
const (
	pictureShare    = 0.6
	maxPicturePaths = 8
	// maxPictureBytes and maxPictureMarks bound what is looked at: drawings are larger.
	maxPictureBytes = 1 << 20
	maxPictureMarks = 50_000
)

// pictured is what a page has of pictures and of lines.
type pictured struct {
	area  float64 // of images within the page, in square points
	paths int
	lined bool // a path is on a layer, or there are more than a picture has
}

// add counts a mark of a page.
func (p *pictured) add(m *draw.Mark) {
	switch m.Kind {
	case draw.Image:
		seen := m.Clipped() // the clip of a page is its crop box at first
		p.area += seen.Width() * seen.Height()
	case draw.PaintedPath:
		p.paths++
		p.lined = p.lined || len(m.Groups) > 0 || p.paths > maxPicturePaths
	}
}

// isPicture reports whether a page is a picture in place of lines.
func (p *pictured) isPicture(page pdf.Page) bool {
	box := page.CropBox
	area := (box.URX - box.LLX) * (box.URY - box.LLY) * page.UserUnit * page.UserUnit
	return !p.lined && p.area >= pictureShare*area
}

// Pictures are the numbers of the pages that are a picture in place of lines, such as
// scans: nothing tells lines in it apart. A page that cannot be read is none. The error
// is the context's.
func Pictures(ctx context.Context, doc *optional.Document) ([]int, error) {
	r := newReader(ctx, doc, aims{pictures: true})
	pages := doc.PDF.Pages()
	found, err := parallel.Map(ctx, pages, doc.Limits.Cores, r.size, func(p pdf.Page) (bool, error) {
		if r.size(p) > maxPictureBytes {
			return false, nil
		}
		f := r.contents(p, maxPictureMarks)
		return f.err == nil && f.pictured.isPicture(p), ctx.Err()
	})
	if err != nil {
		return nil, err
	}
	var list []int
	for i, isPicture := range found {
		if isPicture {
			list = append(list, pages[i].Number)
		}
	}
	return list, nil
}
