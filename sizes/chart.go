package sizes

import "slices"

// A Chart is the size chart of one pattern. Its fields may be filled by hand; [Chart.Check] then
// says whether they make sense. A chart that [Read] returns has been checked.
type Chart struct {
	Name  string   `json:"name,omitempty"`
	Unit  Unit     `json:"unit,omitempty"`  // of the body measurements
	Sizes []Size   `json:"sizes"`           // smallest first
	Names string   `json:"names,omitempty"` // the form of layer names, with {label} in it
	Keep  []string `json:"keep,omitempty"`  // names or globs of layers that every print needs
	Drop  []string `json:"drop,omitempty"`  // names or globs of layers that no print needs
	// Accepted is what a check of the files may find without a word.
	Accepted []Acceptance `json:"accepted,omitempty"`
}

// A Size is one step of the chart.
type Size struct {
	Label  string             `json:"label"`            // as written: "08" and "8" stay apart
	Layers []string           `json:"layers,omitempty"` // names or globs; without any, the label is matched
	Line   *Line              `json:"line,omitempty"`   // nil when not stated
	Body   map[string]float64 `json:"body,omitempty"`   // name of a measurement to its value in the chart's unit
	Ranges map[string]Range   `json:"ranges,omitempty"` // the same for ranges; no name stands in both
}

// A Range is the measurements that a size is for, in the chart's unit.
type Range struct {
	From float64 `json:"from"`
	To   float64 `json:"to"` // more than From
}

// A Line is the style in which a size is drawn in a file without layers for its sizes.
type Line struct {
	Colour string    `json:"colour,omitempty"` // "#rrggbb", lower case; empty when not stated
	Dash   []float64 `json:"dash,omitempty"`   // dashes and gaps in turn, in mm; nil: not stated, empty: solid
	Width  float64   `json:"width,omitempty"`  // in mm; 0 when not stated
	Text   bool      `json:"text,omitempty"`   // text and filled shapes in the colour belong to the size too
}

// An Acceptance says that something a check of the files found is meant to be so, and why.
type Acceptance struct {
	Finding string `json:"finding"`         // the id of what was found, such as "layer-empty"
	Layer   string `json:"layer,omitempty"` // a name or glob; empty for any layer
	File    string `json:"file,omitempty"`  // a name or glob, without folders; empty for any file
	Reason  string `json:"reason"`
}

// Covers reports whether the acceptance is about that finding in that layer of
// that file. Names are compared as [Chart.Match] does; a file is named without folders.
func (a Acceptance) Covers(finding, file, layer string) bool {
	covers := func(entry, name string) bool {
		p, _ := newPattern(entry)
		return entry == "" || p.exact == fold(name) || p.matches(newFolded(name))
	}
	return a.Finding == finding && covers(a.File, file) && covers(a.Layer, layer)
}

// Labels returns the labels of the chart, smallest size first.
func (c *Chart) Labels() []string {
	return each(c.Sizes, func(s Size) string { return s.Label })
}

// Neighbours returns the labels of a size and of as many sizes below and above it, in chart order.
// At the ends of the chart there are fewer; a negative number counts as none. The label may be in
// any usual spelling, as in [Chart.Resolve], but must be that of one size.
func (c *Chart) Neighbours(label string, below, above int) ([]string, error) {
	found, err := c.Resolve(label)
	if err != nil {
		return nil, err
	}
	if len(found) > 1 {
		return nil, &AmbiguousSizeError{Want: label, Fits: found}
	}
	labels := c.Labels()
	at := slices.Index(labels, found[0])
	from, to := window(at, below, above, len(labels))
	return labels[from:to], nil
}

// window returns the half-open range of positions around at, cut to n.
func window(at, below, above, n int) (from, to int) {
	below, above = max(below, 0), max(above, 0)
	return at - min(below, at), at + min(above, n-1-at) + 1
}
