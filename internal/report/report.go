// Package report writes what is known of a pattern file as one HTML page with
// its pictures in it: the garment first, its sizes and measures, then the
// paper, the pages, and the lines of each size.
//
// Start with [Report] and [Write]. The page needs nothing from elsewhere: no
// script, no font, no picture that is not in it, and says so to the browser.
// It is made for phones and desks, light and dark, screen readers and paper.
// All texts are taken as plain text.
package report

import "image"

// Report is what the page tells. Empty parts are left out.
type Report struct {
	Garment string // the name of the pattern
	File    string // the name of the file it is in
	// Isolated is true for a choice of sizes; the page then tells what stays.
	Isolated bool
	Unit     string   // of body measures
	Measures []string // the names of body measures
	Sizes    []Size   // smallest first
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
