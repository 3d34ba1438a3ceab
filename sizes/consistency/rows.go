package consistency

import (
	"cmp"
	"slices"

	"github.com/sizeply/sizeply/sizes"
)

// A Row is one name over all files.
type Row struct {
	Layer string     `json:"layer"`
	Kind  sizes.Kind `json:"kind"`
	Sizes []string   `json:"sizes,omitempty"` // labels, of a size
	// Files are in the order of the files.
	Files []Cell `json:"files"`
}

// A Cell says what the layers of one name are in one file.
type Cell struct {
	Layers int `json:"layers"` // how many there are, 0 for none
	Pages  int `json:"pages"`  // on which they hold something
	Marks  int `json:"marks"`
	// Within is true where one of them draws within something else.
	Within bool `json:"within,omitempty"`
}

// rows are the names of all files: sizes in the order of the chart, then the
// others as they come.
func (c *checker) rows() []Row {
	rows := []Row{}
	at := map[string]int{}
	for i, f := range c.files {
		for _, l := range f.layers {
			k, ok := at[l.Name]
			if !ok {
				k = len(rows)
				at[l.Name] = k
				rows = append(rows, Row{Layer: l.Name, Kind: l.answer.Kind, Sizes: l.answer.Sizes, Files: make([]Cell, len(c.files))})
			}
			cell := &rows[k].Files[i]
			cell.Layers++
			cell.Pages += len(l.Holds)
			cell.Within = cell.Within || l.Within
			for _, h := range l.Holds {
				cell.Marks += h.Marks
			}
		}
	}
	labels := c.chart.Labels()
	slices.SortStableFunc(rows, func(a, b Row) int { return cmp.Compare(rank(a, labels), rank(b, labels)) })
	return rows
}

// rank is the place of a row: that of its smallest size, after all sizes for
// what is none.
func rank(r Row, labels []string) int {
	if r.Kind != sizes.KindSize {
		return len(labels)
	}
	return slices.Index(labels, r.Sizes[0])
}
