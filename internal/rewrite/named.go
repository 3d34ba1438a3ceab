package rewrite

import (
	"bytes"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// Named is a resource name in its category, such as "Font" (ISO 32000-1,
// 7.8.3, Table 33).
type Named struct{ Category, Name pdf.Name }

// NamedBy gives the resource that an operation names; false where it names
// none. An inline image without an end names none.
func NamedBy(op *content.Operation) (Named, bool) {
	if !named(op.Op) || op.Op == content.OpInlineImage && !bytes.HasSuffix(op.Raw(), []byte("EI")) {
		return Named{}, false
	}
	k, ok := resource(op)
	return Named{k.cat, k.name}, ok
}

// Components counts the components of a colour space (8.6); false where that
// is not known.
func Components(src pdf.Objects, space pdf.Object) (int, bool) { return components(src, space) }

// missing records names that nobody has.
func (w *walker) missing(names map[key]use) {
	for k := range names {
		w.res.Missing[Named{k.cat, k.name}] = true
	}
}
