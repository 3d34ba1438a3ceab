package pattern

import (
	"fmt"
	"strings"

	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// ErrNoLines says that sizes are to be told apart by lines which the chart does
// not state.
var ErrNoLines = fault.New(fault.ErrBadRequest, "the chart does not say what the lines of its sizes look like: "+
	`give each size a line, such as line: {colour: "#d7263d", dash: [6, 2]}`)

// ErrNoSizes says that a file shows none of the sizes of its chart.
var ErrNoSizes = fault.New(fault.ErrBadRequest,
	"no layer is named after a size of the chart, and the chart states no lines")

// ErrNothingWanted says that without a chart neither a size by its label nor a
// layer is wanted.
var ErrNothingWanted = fault.New(fault.ErrBadRequest,
	"no size is wanted by its label, and no layer by its name or number")

// An UnknownByError says that sizes are to be told apart by what there is not.
type UnknownByError struct{ By By }

func (e *UnknownByError) Error() string {
	return fmt.Sprintf("sizes are told apart by layers, lines or both, not by %q", string(e.By))
}

// Is reports whether target is [layers.ErrBadRequest].
func (*UnknownByError) Is(target error) bool { return target == layers.ErrBadRequest }

// A NoSizesError says that layer names do not tell for certain which sizes there
// are, so that a chart is needed.
type NoSizesError struct {
	Names  []string      // of the layers
	Found  int           // how many sizes they tell
	Doubts []sizes.Doubt // those that matter to what is wanted
}

func (e *NoSizesError) Error() string {
	if e.Found == 0 {
		return "without a chart the layers have to be named after sizes, and here are " + words.Quoted(e.Names)
	}
	return "without a chart the layer names have to leave no size in doubt: " + DoubtsWords(e.Doubts)
}

// Is reports whether target is [layers.ErrBadRequest].
func (*NoSizesError) Is(target error) bool { return target == layers.ErrBadRequest }

// An IncompleteError says that the lines of a file cannot all be found.
type IncompleteError struct{ Warning layers.Warning }

func (e *IncompleteError) Error() string { return "its lines cannot all be found: " + e.Warning.Text }

// Is reports whether target is [layers.ErrBadFile].
func (*IncompleteError) Is(target error) bool { return target == layers.ErrBadFile }

// An AmbiguousLineError says that a line may be that of several sizes.
type AmbiguousLineError struct {
	Style layers.LineStyle
	Sizes []string // labels
	More  int      // how many other lines are ambiguous too
}

func (e *AmbiguousLineError) Error() string {
	more := ""
	if e.More > 0 {
		more = fmt.Sprintf(" (and so do %d more)", e.More)
	}
	return fmt.Sprintf("the %s %s fits the lines of sizes %s about equally well%s; "+
		"state more of their lines in the chart, or more exactly",
		e.Style.Kind, LineWords(&e.Style), words.List(e.Sizes, 12), more)
}

// Is reports whether target is [layers.ErrBadRequest].
func (*AmbiguousLineError) Is(target error) bool { return target == layers.ErrBadRequest }

// A MissingLineError says that a file has no line of a wanted size.
type MissingLineError struct {
	Size string // the label
	Why  Reason // why lines count
	// None is true where the file has no line of any size of the chart.
	None bool
}

func (e *MissingLineError) Error() string {
	why := ""
	if e.Why != Asked {
		why = string(e.Why) + ", and "
	}
	return fmt.Sprintf("%sno line of the file looks as the chart says of size %q", why, e.Size)
}

// Is reports whether target is [layers.ErrBadRequest].
func (*MissingLineError) Is(target error) bool { return target == layers.ErrBadRequest }

// An UnknownLayersError lists the layers that a chart does not know.
type UnknownLayersError struct{ Names []string }

func (e *UnknownLayersError) Error() string {
	return "the chart does not know " + words.Quoted(e.Names) + ": list them under a size's layers, keep or drop"
}

// Is reports whether target is [layers.ErrBadRequest].
func (*UnknownLayersError) Is(target error) bool { return target == layers.ErrBadRequest }

// A NoSuchLayerError says that a file has no layer of a name, or of an object
// number where Name is empty and Object is not 0.
type NoSuchLayerError struct {
	Name    string
	Object  int
	Nearest string         // a name that may be meant, "" where none is close
	Layers  []layers.Layer // those of the file
}

func (e *NoSuchLayerError) Error() string {
	switch {
	case e.Object != 0:
		var list []string
		for i, l := range e.Layers {
			if i == 12 {
				list = append(list, fmt.Sprintf("and %d more", len(e.Layers)-i))
				break
			}
			list = append(list, fmt.Sprintf("%d (%s)", l.Object, words.Printable(l.Name)))
		}
		return fmt.Sprintf("there is no layer with the id %d; the layers are %s",
			e.Object, strings.Join(list, ", "))
	case e.Nearest != "":
		return fmt.Sprintf("there is no layer %q; did you mean %q?", e.Name, e.Nearest)
	}
	return fmt.Sprintf("there is no layer %q; the layers are %s", e.Name, words.Quoted(layers.Names(e.Layers)))
}

// Is reports whether target is [layers.ErrBadRequest].
func (*NoSuchLayerError) Is(target error) bool { return target == layers.ErrBadRequest }
