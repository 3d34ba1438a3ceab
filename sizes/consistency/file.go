package consistency

// A File is one file of a pattern, as far as it matters here.
type File struct {
	Name  string // as the findings call it
	Pages int
	// Layers are in the order of the file.
	Layers []Layer
	// Outside are the pages with content that belongs to no layer, ascending.
	Outside []int
	// Private is what drawing programs left for themselves.
	Private []Private
	// Squares are its test squares. Measured says that they were looked for.
	Squares  []Square
	Measured bool
	// Lines are the looks of its lines, held against a chart that states those of
	// its sizes. Alike are the pairs of sizes whose lines look alike.
	Lines []Line
	Alike []Alike
}

// A Square is a test square.
type Square struct {
	Page   int
	Label  string
	Layers []int // the layers that it is on, by Layer.ID
	// Side is what its side measures on paper, Nominal what it should, in mm.
	Side, Nominal float64
	True          bool // it is of the size that it says
}

// A Line is a line of one look.
type Line struct {
	Look string // in words, such as "teal, dashed 6 2 mm"
	// Sizes are the labels of the sizes whose line it is, Between those of which
	// it fits several about equally well.
	Sizes, Between []string
}

// Alike are two sizes whose lines are hard to tell apart in print.
type Alike struct {
	A, B string // labels
	Grey bool   // only where they are printed without colour
}

// A Layer is one layer of a file.
type Layer struct {
	ID   int    // what tells it from another layer of one name
	Name string // as it stands in the file
	// Above are the headings and layers that it stands under in the list of
	// layers, outermost first.
	Above []string
	// Place is its place in that list, from 1; 0 where it is not in it.
	Place int
	// Hidden is true for a layer that is off when the file is opened,
	// NotPrinted for one that is off in print, Locked for one that cannot be
	// switched, Unlisted for one that no list of layers shows.
	Hidden, NotPrinted, Locked, Unlisted bool
	// Holds is what is on it, one entry for each page with content, ascending.
	Holds []Held
	// Within is true for a layer that also draws where nobody can say where that
	// is seen, such as in a pattern that fills something.
	Within bool
}

// Held is what a layer holds on one page.
type Held struct {
	Page  int // from 1
	Marks int // lines, texts and images
	// Width and Height are those of all marks together, in mm; 0 where that is not
	// known.
	Width, Height float64
	// Texts are the texts among the marks.
	Texts []Text
}

// A Text is a text on a page.
type Text struct {
	Text string
	X, Y float64 // its lower left corner, in mm
}

// Private is what one program left in a file for itself.
type Private struct {
	Program string
	Bytes   int // of what may be a drawing
}

// pages are those on which a layer holds something.
func (l Layer) pages() []int {
	var list []int
	for _, h := range l.Holds {
		list = append(list, h.Page)
	}
	return list
}
