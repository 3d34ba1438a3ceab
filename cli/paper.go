package cli

import (
	"fmt"
	"strings"

	"github.com/sizeply/sizeply/layers"
)

// pagePaper is the paper of one page for programs.
type pagePaper struct {
	Page int            `json:"page"`
	Is   *layers.Paper  `json:"is,omitempty"` // the sheet of just its size
	Fits []layers.Paper `json:"fits"`
}

func paperOf(pages []layers.Page) []pagePaper {
	list := []pagePaper{}
	for _, p := range pages {
		one := pagePaper{Page: p.Number, Fits: p.Fits()}
		if sheet, ok := p.Paper(); ok {
			one.Is = &sheet
		}
		list = append(list, one)
	}
	return list
}

// pageLines describe the pages; runs of pages of one size are one line.
func pageLines(pages []layers.Page) []string {
	var lines []string
	for i := 0; i < len(pages); {
		j := i
		for j+1 < len(pages) && pages[j+1].Width == pages[i].Width && pages[j+1].Height == pages[i].Height {
			j++
		}
		which := fmt.Sprintf("Page %d", pages[i].Number)
		if j > i {
			which = fmt.Sprintf("Pages %d-%d", pages[i].Number, pages[j].Number)
		}
		lines = append(lines, fmt.Sprintf("%s: %s, %s", which, pageSize(pages[i]), paperWords(pages[i])))
		i = j + 1
	}
	return lines
}

// pageSize writes the size of a page in centimetres and inches.
func pageSize(p layers.Page) string {
	w, h := p.Size()
	return fmt.Sprintf("%.1f x %.1f cm (%.2f x %.2f in)", w/10, h/10, w/25.4, h/25.4)
}

// paperWords says on what a page is printed.
func paperWords(p layers.Page) string {
	if sheet, ok := p.Paper(); ok {
		return sheet.Name
	}
	var names []string
	for _, s := range p.Fits() {
		names = append(names, s.Name)
	}
	switch n := len(names); n {
	case 0:
		return "wider than the usual rolls"
	case 1:
		return "fits " + names[0]
	default:
		return "fits " + strings.Join(names[:n-1], ", ") + " or " + names[n-1]
	}
}

// squares says which test squares a file has.
func (p *program) squares(in *layers.Inspection) {
	if len(in.Squares) == 0 {
		note(p.out, "No test square was found: measure another length that the pattern states.")
		return
	}
	note(p.out, "Print at 100 %% (\"actual size\") and measure a test square before you cut:")
	for _, s := range in.Squares {
		note(p.out, "  page %d: %s, drawn %s%s", s.Page, squareLabel(s), squareSides(s), inLayers(s.Layers, in.Layers))
	}
}

// squareLabel is what a test square says of itself.
func squareLabel(s layers.TestSquare) string {
	if s.Label == "" {
		return "a square without a label"
	}
	return `"` + printable(s.Label) + `"`
}

// squareSides is how large a test square is drawn.
func squareSides(s layers.TestSquare) string {
	if s.True() {
		return fmt.Sprintf("%.2f mm, true to size", s.Side)
	}
	return fmt.Sprintf("%.2f x %.2f mm: %.1f %%, NOT true to size", s.Width, s.Height, 100*s.Scale)
}

// inLayers names the layers of a square.
func inLayers(objects []int, list []layers.Layer) string {
	var names []string
	for _, l := range list {
		for _, o := range objects {
			if l.Object == o {
				names = append(names, l.Name)
			}
		}
	}
	if len(names) == 0 {
		return ""
	}
	return fmt.Sprintf(" (%s %s)", plural(len(names), "layer", "layers"), quoted(names))
}
