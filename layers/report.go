package layers

import (
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
)

// Report tells what Isolate did.
type Report struct {
	// Kept, Unchanged and Removed are the layers by what became of them, in
	// the order of Layers.
	Kept      []ReportedLayer `json:"kept"`
	Unchanged []ReportedLayer `json:"unchanged"`
	Removed   []ReportedLayer `json:"removed"`
	// Lines are the line styles that went, as the selection had them.
	Lines []LineStyle `json:"lines,omitempty"`
	// Pages has one entry for each page. Where no layer went, the pages were
	// not read and there is none.
	Pages []PageReport `json:"pages"`
	// Squares are the test squares that stay, page by page. Warnings tell of
	// those that are not of the size they say, of the whole file, and where
	// none of those in the file stays.
	Squares []TestSquare `json:"testSquares"`
	// KeptLines are the line styles of what is in the layers of Kept, as Lines
	// tells them; nil where they were not asked for, or where the pages draw more
	// than can be counted.
	KeptLines []LineStyle `json:"-"`
	// Residue is what had to stay of removed layers and lines so that the rest looks
	// as before.
	Residue []Residue `json:"residue"`
	// Objects gives the number in the output of each object that was kept.
	Objects map[int]int `json:"-"`
	// Warnings are what a user should know.
	Warnings []Warning `json:"warnings"`

	made *made // for Check
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
// shadings. A form counts each time it is drawn; one that goes whole is one.
type PageReport struct {
	Page    int   `json:"page"` // from 1
	Kept    int64 `json:"kept"`
	Removed int64 `json:"removed"`
	// Blank is true where something stays of which nothing can be seen in print:
	// it lies outside of the page, is clipped away, or switched off.
	Blank bool `json:"blank,omitempty"`
}

// Empty is true where everything that could be seen on the page went.
func (p PageReport) Empty() bool { return p.Removed > 0 && (p.Kept == 0 || p.Blank) }

// Residue is something of removed layers that stayed.
type Residue struct {
	Page int `json:"page"`
	// Kind is "state" (a resource that only state set in removed content
	// names), "clip" (a clipping path set in removed content) or "text clip"
	// (text that clips what stays).
	Kind string `json:"kind"`
	Name string `json:"name,omitempty"` // of the resource
}

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

// report puts the parts together.
func (c *choice) report(res *rewrite.Result, numbers map[pdf.Ref]pdf.Ref) *Report {
	r := &Report{
		Kept: []ReportedLayer{}, Unchanged: []ReportedLayer{}, Removed: []ReportedLayer{},
		Lines: c.selected, Pages: []PageReport{}, Objects: make(map[int]int, len(numbers)),
	}
	for was, now := range numbers {
		r.Objects[int(was)] = int(now)
	}
	for _, g := range c.doc.Groups {
		l := ReportedLayer{Object: int(g.Ref), Name: g.Layer.Name, Now: int(numbers[g.Ref])}
		switch c.state[g.Ref] {
		case optional.True:
			l.On = true
			r.Kept = append(r.Kept, l)
		case optional.Undecided:
			l.On = g.Layer.Print
			r.Unchanged = append(r.Unchanged, l)
		default:
			r.Removed = append(r.Removed, l)
		}
	}
	for i, p := range res.Pages {
		blank := p.Kept > 0 && c.blank.Blank(c.doc.PDF.Pages()[i].Ref)
		r.Pages = append(r.Pages, PageReport{Page: p.Number, Kept: p.Kept, Removed: p.Removed, Blank: blank})
	}
	r.Residue = residue(res)
	r.Warnings = append(c.doc.Warnings(), c.warn...)
	for _, w := range res.Warnings {
		r.Warnings = append(r.Warnings, Warning{Page: w.Page, Text: w.Text})
	}
	return r
}

// residue lists what had to stay of removed layers.
func residue(res *rewrite.Result) []Residue {
	list := []Residue{}
	for _, x := range res.Residue {
		list = append(list, Residue{Page: x.Page, Kind: x.Kind.String(), Name: x.Name})
	}
	return list
}
