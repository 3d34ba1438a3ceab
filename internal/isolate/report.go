package isolate

import (
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
	"github.com/sizeply/sizeply/internal/survey"
	"github.com/sizeply/sizeply/layers/failure"
	"github.com/sizeply/sizeply/layers/warning"
)

// Report tells what Isolate did.
type Report struct {
	// Kept, Unchanged and Removed are the layers by what became of them, in
	// the order of Layers.
	Kept      []ReportedLayer `json:"kept"`
	Unchanged []ReportedLayer `json:"unchanged"`
	Removed   []ReportedLayer `json:"removed"`
	// Lines are the line styles that were removed, as the selection had them.
	Lines []survey.LineStyle `json:"lines,omitempty"`
	// Pages has one entry for each page. Where no layer was removed, the pages
	// were not read and there is none.
	Pages []PageReport `json:"pages"`
	// Squares are the test squares that are kept, page by page. Warnings tell of
	// those that are not of the size they say, of the whole file, and where
	// none of those in the file is kept.
	Squares []survey.TestSquare `json:"testSquares"`
	// KeptLines are the line styles of all that is drawn on paper, in layers or none, as
	// Lines tells them; nil where they were not asked for, or where the pages draw more
	// than can be counted.
	KeptLines []survey.LineStyle `json:"-"`
	// Residue is what had to stay of removed layers and lines so that the rest looks
	// as before.
	Residue []failure.Residue `json:"residue"`
	// Others counts what else was removed, since it belonged to removed layers or may
	// show them, by kind: "annotation", "attachment", "field" (of a form), "font",
	// "form" (a drawing that pages draw), "image", "metadata", "pattern", "script".
	Others map[string]int `json:"others,omitempty"`
	// Unneeded is how many entries of dictionaries were taken out that no reader needs
	// to show the pages, and that may tell of removed layers.
	Unneeded int `json:"unneeded"`
	// Objects gives the number in the output of each object that was kept.
	Objects map[int]int `json:"-"`
	// Warnings are what a user should know.
	Warnings []warning.Warning `json:"warnings"`

	written *written // for Check
}

// ReportedLayer is a layer with its number in the output.
type ReportedLayer struct {
	Object int    `json:"object"`
	Name   string `json:"name"`
	// Now is the object number in the output, 0 for a removed layer.
	Now int  `json:"now,omitempty"`
	On  bool `json:"on"` // its state in the output
}

// PageReport counts the marks of a page: painted paths, shown texts, images,
// shadings. A form counts each time it is drawn; one that is removed whole is
// one.
type PageReport struct {
	Page    int   `json:"page"` // from 1
	Kept    int64 `json:"kept"`
	Removed int64 `json:"removed"`
	// Blank is true where something is kept of which nothing can be seen in print:
	// it lies outside of the page, is clipped away, or switched off.
	Blank bool `json:"blank,omitempty"`
	// Extent is what the marks that are kept, and that can be seen in print, cover
	// of the page, where [Options].Extents asks for it; nil where there are none, or
	// where that cannot be told.
	Extent *Extent `json:"extent,omitempty"`
}

// An Extent is a rectangle of a page in millimetres at true size, from the lower left
// corner of its crop box, before the page is rotated. Lines reach beyond it by half
// their width.
type Extent struct {
	Left   float64 `json:"left"`
	Bottom float64 `json:"bottom"`
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
}

// Empty reports whether everything that could be seen on the page was removed.
func (p PageReport) Empty() bool { return p.Removed > 0 && (p.Kept == 0 || p.Blank) }

// EmptyPages are the pages on which nothing is left to see, from 1.
func (r *Report) EmptyPages() []int {
	var list []int
	for _, p := range r.Pages {
		if p.Empty() {
			list = append(list, p.Page)
		}
	}
	return list
}

// residue lists what had to stay of removed layers; it gives a *failure.ResidueError
// where that is not allowed.
func (e *editor) residue(res *rewrite.Result) ([]failure.Residue, error) {
	list := []failure.Residue{}
	for _, x := range res.Residue {
		list = append(list, failure.Residue{Page: x.Page, Kind: x.Kind.String(), Name: x.Name})
	}
	if e.opt.NoResidue && len(list) > 0 {
		return nil, &failure.ResidueError{Residue: list}
	}
	return list, nil
}

// report tells of layers, pages and warnings. numbers are those of the objects
// in the output, seen is what can be seen of pages.
func (e *editor) report(res *rewrite.Result, numbers map[pdf.Ref]pdf.Ref, seen *survey.Search) *Report {
	r := &Report{
		Kept: []ReportedLayer{}, Unchanged: []ReportedLayer{}, Removed: []ReportedLayer{},
		Pages: []PageReport{}, Objects: make(map[int]int, len(numbers)), Unneeded: e.unneeded,
	}
	if e.filters() {
		r.Others = e.inventory(numbers)
	}
	for was, now := range numbers {
		r.Objects[int(was)] = int(now)
	}
	for _, g := range e.doc.Groups {
		l := ReportedLayer{
			Object: int(g.Ref), Name: g.Layer.Name,
			Now: int(numbers[g.Ref]), On: e.printed(g.Ref) == optional.True,
		}
		switch e.states[g.Ref] {
		case optional.True:
			r.Kept = append(r.Kept, l)
		case optional.Undecided:
			r.Unchanged = append(r.Unchanged, l)
		default:
			r.Removed = append(r.Removed, l)
		}
	}
	for i, p := range res.Pages {
		page := PageReport{Page: p.Number, Kept: p.Kept, Removed: p.Removed}
		ref := e.doc.PDF.Pages()[i].Ref
		page.Blank = p.Kept > 0 && seen.Blank(ref)
		if at := seen.Extent(ref); e.opt.Extents && !at.IsEmpty() {
			const mm = 1 / paint.UnitsPerMillimetre
			page.Extent = &Extent{at.Left * mm, at.Bottom * mm, (at.Right - at.Left) * mm, (at.Top - at.Bottom) * mm}
		}
		r.Pages = append(r.Pages, page)
	}
	r.Warnings = append(e.doc.Warnings(), e.warnings...)
	r.Warnings = append(r.Warnings, res.Warnings...)
	return r
}

// addSquares tells of a file that is not of true size, and of a choice that
// leaves nothing to measure on paper.
func (r *Report) addSquares(doc *optional.Document, found []survey.TestSquare) {
	r.Squares = []survey.TestSquare{}
	var byLine []int // pages
	for _, s := range found {
		if !s.True() {
			r.Warnings = append(r.Warnings, s.Warning())
		}
		inRemoved := func(l ReportedLayer) bool { return slices.Contains(s.Layers, l.Object) }
		switch {
		case slices.ContainsFunc(r.Removed, inRemoved):
		case survey.DrawSquare(r.Lines, s):
			byLine = append(byLine, s.Page)
		default:
			r.Squares = append(r.Squares, s)
		}
	}
	slices.Sort(byLine)
	for _, page := range slices.Compact(byLine) {
		w := warning.New(warning.SquaresRemoved, nil, "a test square is drawn in the line of a size that is left out, "+
			"and went with it: state more of that line in the chart, as its width")
		w.Page = page
		r.Warnings = append(r.Warnings, w)
	}
	if len(byLine) > 0 {
		return
	}
	if len(found) == 0 || len(r.Squares) > 0 {
		return
	}
	var names, quoted []string
	for _, g := range doc.Groups {
		if slices.Contains(found[0].Layers, g.Layer.Object) {
			names, quoted = append(names, g.Layer.Name), append(quoted, fmt.Sprintf("%q", g.Layer.Name))
		}
	}
	in := strings.Join(quoted, ", ")
	if len(names) == 1 {
		in = " (layer " + in + ")"
	} else if len(names) > 1 {
		in = " (layers " + in + ")"
	}
	r.Warnings = append(r.Warnings, warning.New(warning.SquaresRemoved, names, "the test squares%s "+
		"went with the rest: keep that layer too, so that the print can be measured", in))
}
