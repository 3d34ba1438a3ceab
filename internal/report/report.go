// Package report writes what is known of a pattern file as one HTML page with
// its pictures in it: the garment first, its sizes and measures, then the
// paper, the pages, and the lines of each size.
//
// Start with [Report] and [Write]. The page needs nothing from elsewhere: no
// script, no font, no picture that is not in it, and says so to the browser.
// It is made for phones and desks, light and dark, screen readers and paper.
// All texts are taken as plain text.
package report

import (
	"bytes"
	_ "embed" // the page and its style
	"encoding/base64"
	"fmt"
	"html/template"
	"image"
	"image/png"
	"io"
)

// Report is what the page tells. Empty parts are left out.
type Report struct {
	Garment string // the name of the pattern
	File    string // the name of the file it is in
	// Isolated is true for a choice of sizes; the page then tells what is kept.
	Isolated bool
	Unit     string   // of body measures
	Measures []string // the names of body measures
	Sizes    []Size   // smallest first
	Pieces   []Piece
	Pages    []Page
	More     int // pages without a picture
	Squares  []Square
	Lines    []Line // the layers, or styles of line, that have pictures
	Findings []string
}

// Size is one size of the chart.
type Size struct {
	Label string
	Role  string // "your size", "one below"; "" for a size that is not chosen
	Yours bool   // it is a wanted size
	Body  []string
	Lines []string // the names of its layers; none where the file has none
}

// Piece is a pattern piece.
type Piece struct {
	Name string
	Cut  string // how often to cut it
	Page int
}

// Page is a page as it is, and as it will be.
type Page struct {
	Number        int
	Centimetres   string // "90.0 × 117.0 cm"
	Inches        string
	Paper         string
	Empty         bool // nothing is left on it
	Before, After image.Image
}

// Square is a test square.
type Square struct {
	Page  int
	Label string // "" for none
	Side  string // what it measures on paper printed at 100 %
	True  bool
}

// Line is a layer of the file.
type Line struct {
	Name    string
	Is      string // "size 14", "every size", "left out"
	Group   Group
	Holds   string
	Extent  string
	Pages   string
	Picture image.Image
}

// Group is what becomes of a line.
type Group int

// The groups, in the order of the page.
const (
	Chosen  Group = iota + 1 // of the chosen sizes
	Every                    // belongs to every size
	Other                    // of other sizes
	Unknown                  // the chart does not know it
	Dropped                  // no print needs it
)

//go:embed page.html
var pageText string

//go:embed page.css
var styleText string

// Write writes the page.
func Write(w io.Writer, r *Report) error {
	t, err := template.New("page").Funcs(template.FuncMap{"picture": picture, "section": r.section}).Parse(pageText)
	if err != nil {
		return fmt.Errorf("reading the page's template: %w", err)
	}
	data := struct {
		*Report
		Style template.CSS
	}{r, template.CSS(styleText)}
	if err := t.Execute(w, data); err != nil {
		return fmt.Errorf("writing the page: %w", err)
	}
	return nil
}

// section gives the lines of a group.
func (r *Report) section(g int) []Line {
	var list []Line
	for _, l := range r.Lines {
		if l.Group == Group(g) {
			list = append(list, l)
		}
	}
	return list
}

// inline is a picture as the page holds it.
type inline struct {
	Source        template.URL
	Width, Height int
}

// picture puts an image into a URL.
func picture(img image.Image) (*inline, error) {
	if img == nil {
		return nil, nil
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		return nil, err
	}
	url := "data:image/png;base64," + base64.StdEncoding.EncodeToString(b.Bytes())
	return &inline{template.URL(url), img.Bounds().Dx(), img.Bounds().Dy()}, nil
}
