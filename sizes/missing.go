package sizes

import (
	"fmt"
	"slices"
)

// layers returns the positions of the names that serve each size.
func (m *Match) layers() [][]int {
	out := make([][]int, len(m.labels))
	at := map[string]int{}
	for i, label := range m.labels {
		at[label] = i
	}
	for _, a := range m.Answers {
		for _, label := range a.Sizes {
			if i, ok := at[label]; ok {
				out[i] = append(out[i], a.Position)
			}
		}
	}
	return out
}

// missing gives the error for wanted sizes without a layer.
func (m *Match) missing(wanted []int, layers [][]int) error {
	var have, lack []string
	for i, label := range m.labels {
		if len(layers[i]) > 0 {
			have = append(have, label)
		} else if slices.Contains(wanted, i) {
			lack = append(lack, label)
		}
	}
	switch {
	case len(have) == 0:
		return &NoMatchError{Names: m.names(), Labels: m.labels, Example: m.expects}
	case len(lack) > 0:
		return &MissingLayerError{Missing: lack, Have: have}
	}
	return nil
}

func (m *Match) names() []string {
	out := make([]string, len(m.Answers))
	for i, a := range m.Answers {
		out[i] = a.Name
	}
	return out
}

// A NoMatchError says that a chart and a file have nothing in common.
type NoMatchError struct {
	Names   []string // of the file
	Labels  []string // of the chart
	Example string   // a layer name that the chart would know
}

func (e *NoMatchError) Error() string {
	names := "no layers at all"
	if len(e.Names) > 0 {
		names = quoteSome(e.Names)
	}
	return fmt.Sprintf("no layer fits a size of the chart: the file has %s; the chart expects names such as %q for its sizes %s",
		names, e.Example, quoteSome(e.Labels))
}

// A MissingLayerError says that wanted sizes have no layer in the file.
type MissingLayerError struct {
	Missing []string // wanted labels without a layer
	Have    []string // labels that have one
}

func (e *MissingLayerError) Error() string {
	return fmt.Sprintf("no layer for %s; the file has layers for %s", sizeWords(e.Missing), sizeWords(e.Have))
}
