package isolate

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"

	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/survey"
	"github.com/sizeply/sizeply/layers/failure"
)

// A Selection says which layers are kept, by position in Layers, and which line
// styles are removed. All other layers are removed, with everything that only they
// show; all other line styles are kept.
type Selection struct {
	// Layers are kept, switched on and printable.
	Layers []int
	// Unchanged are kept in the state that they have for printing, on or off.
	// A position that Layers holds too is chosen.
	Unchanged []int
	// Lines are removed, as Lines has found them: every mark of these styles on the
	// pages and in the forms that they draw. A path that is filled and stroked
	// loses just what is of such a style. What is drawn in a tiling pattern, a
	// soft mask, a glyph or an annotation is kept. Nil where sizes are told apart
	// by layer; an empty list that is not nil keeps every line, also in a file
	// without layers.
	Lines []survey.LineStyle
	// NoLayers says that every layer is to be removed. Without it, a selection that
	// keeps none of a file that has some is an error: it is more likely a mistake,
	// and gives a print without a size.
	NoLayers bool
	// Document is the fingerprint of the file that the selection is for, as
	// [Bind] enters it; "" for any.
	Document string
}

// check says what is wrong with a selection for a document.
func (s *Selection) check(ctx context.Context, doc *optional.Document) error {
	if s.Document != "" {
		fingerprint, err := doc.Fingerprint(ctx)
		if err != nil {
			return err
		}
		if s.Document != fingerprint {
			return &failure.WrongDocumentError{Want: s.Document, Got: fingerprint}
		}
	}
	for _, positions := range [][]int{s.Unchanged, s.Layers} {
		for _, i := range positions {
			if i < 0 || i >= len(doc.Groups) {
				return &failure.PositionError{Position: i, Layers: len(doc.Groups)}
			}
		}
	}
	if len(s.Layers)+len(s.Unchanged) == 0 && len(doc.Groups) > 0 && !s.NoLayers {
		return failure.ErrNothingKept
	}
	return nil
}

// Bind checks a selection and ties it to the document, so that it can be written as
// JSON and read again for this very file.
func (i *Isolator) Bind(sel Selection) (bound Selection, err error) {
	ctx := context.Background() // no more is done than to hash the file
	if err := sel.check(ctx, i.Document); err != nil {
		return Selection{}, err
	}
	if _, err := survey.Painted(ctx, i.Document, sel.Lines); err != nil {
		return Selection{}, err
	}
	sel.Document, err = i.Document.Fingerprint(ctx)
	return sel, err
}

// OutputVersion counts what Isolate has written for one selection of one file: it
// rises with each change of this module that gives other bytes for sound files.
const OutputVersion = 1

// Key is the same for calls that write the same bytes: see Key of package layers.
func (i *Isolator) Key(sel Selection, opt *Options) (string, error) {
	if opt == nil {
		opt = &Options{}
	}
	sel, err := i.Bind(sel)
	if err != nil {
		return "", err
	}
	sel.Layers = slices.Compact(slices.Sorted(slices.Values(sel.Layers)))
	chosen := func(i int) bool { return slices.Contains(sel.Layers, i) }
	sel.Unchanged = slices.DeleteFunc(slices.Compact(slices.Sorted(slices.Values(sel.Unchanged))), chosen)
	sel.NoLayers = false // it lets an empty selection pass and changes nothing else
	removed, err := survey.Painted(context.Background(), i.Document, sel.Lines)
	if err != nil {
		return "", err
	}
	var lines []string
	for style := range removed {
		lines = append(lines, fmt.Sprintf("%+v", style))
	}
	slices.Sort(lines)
	bound, err := json.Marshal(Selection{Layers: sel.Layers, Unchanged: sel.Unchanged, Document: sel.Document})
	if err != nil {
		return "", err
	}
	sum := sha256.New()
	fmt.Fprintf(sum, "%d\n%s\n%t %q\n", OutputVersion, bound, sel.Lines != nil, lines)
	fmt.Fprintln(sum, opt.Flatten, opt.KeepAttachments, opt.NoResidue, opt.AcceptDamage, opt.Decrypt)
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// selectionJSON is a Selection in JSON.
type selectionJSON struct {
	Document  string              `json:"document"`
	Layers    []int               `json:"layers"`
	Unchanged []int               `json:"unchanged"`
	Lines     []survey.SavedStyle `json:"lines"` // null and [] differ
	NoLayers  bool                `json:"noLayers,omitempty"`
}

// MarshalJSON writes a selection that is bound to a file, and refuses others: their
// positions and styles mean nothing without it.
func (s Selection) MarshalJSON() ([]byte, error) {
	if s.Document == "" {
		return nil, fault.New(fault.ErrBadRequest, "a selection is written for one file alone: bind it to that first")
	}
	w := selectionJSON{
		Document: s.Document, NoLayers: s.NoLayers,
		Layers: append([]int{}, s.Layers...), Unchanged: append([]int{}, s.Unchanged...),
	}
	if s.Lines != nil {
		w.Lines = []survey.SavedStyle{}
	}
	for _, l := range s.Lines {
		w.Lines = append(w.Lines, l.Save())
	}
	return json.Marshal(w)
}

// UnmarshalJSON reads what MarshalJSON writes.
func (s *Selection) UnmarshalJSON(data []byte) error {
	var r selectionJSON
	if err := json.Unmarshal(data, &r); err != nil {
		return err
	}
	if r.Document == "" {
		return fault.New(fault.ErrBadRequest, "the selection does not say which file it is for")
	}
	*s = Selection{Layers: r.Layers, Unchanged: r.Unchanged, NoLayers: r.NoLayers, Document: r.Document}
	if r.Lines != nil {
		s.Lines = []survey.LineStyle{}
	}
	for _, l := range r.Lines {
		s.Lines = append(s.Lines, l.Restore(r.Document))
	}
	return nil
}
