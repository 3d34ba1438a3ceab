package layers

import "fmt"

// A LostLayersError says that a file has no layers any more (8.11.4.2): it has
// groups of optional content, by these names, and no list of them. It is an
// ErrNoLayers.
type LostLayersError struct{ Names []string }

func (e *LostLayersError) Error() string {
	names := make([]string, len(e.Names))
	for i, n := range e.Names {
		names[i] = fmt.Sprintf("%q", n)
	}
	return fmt.Sprintf("the file has lost its list of layers (optional content), of which it still names %s: nothing can be switched in it", some(names))
}

func (e *LostLayersError) Unwrap() error { return ErrNoLayers }

// NoLayers says why there are no layers to choose from: ErrNoLayers, or a
// *LostLayersError; nil where there are.
func (d *Document) NoLayers() error {
	switch {
	case len(d.props.groups) > 0:
		return nil
	case len(d.props.lost) > 0:
		return &LostLayersError{d.props.lost}
	}
	return ErrNoLayers
}
