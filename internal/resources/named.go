package resources

import (
	"bytes"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// MayName reports whether an operator can name a resource.
func MayName(op content.Op) bool {
	switch op.Class() {
	case content.ClassXObject, content.ClassShading, content.ClassInlineImage, content.ClassMarkedContent,
		content.ClassColour:
		return true
	}
	return op == content.OpFont || op == content.OpGraphicsState
}

// NamedBy gives the resource that an operation names; false where it names
// none. A colour names one where it is a pattern (8.7.3), an inline image where
// its colour space is a resource or could be (8.9.7); an inline image without an
// end names none.
func NamedBy(op *content.Operation) (Name, bool) {
	operand, category := 0, pdf.Name("")
	switch op.Op {
	case content.OpFont:
		category = Font
	case content.OpGraphicsState:
		category = ExtGState
	case content.OpFillSpace, content.OpStrokeSpace:
		category = ColorSpace
	case content.OpFillColour, content.OpFillColourN, content.OpStrokeColour, content.OpStrokeColourN:
		operand, category = op.Count()-1, Pattern
	case content.OpShading:
		category = Shading
	case content.OpDo:
		category = XObject
	case content.OpBeginMarkedProps, content.OpMarkPointProps:
		operand, category = 1, Properties
	case content.OpInlineImage:
		name, ok := inlineSpace(op)
		return Name{ColorSpace, pdf.Name(name)}, ok && bytes.HasSuffix(op.Raw(), []byte("EI"))
	default:
		return Name{}, false
	}
	name, ok := op.Name(operand)
	return Name{category, pdf.Name(name)}, ok
}

// inlineSpace gives the name that an inline image has for its colour space
// (8.9.7, Table 93).
func inlineSpace(op *content.Operation) (name string, ok bool) {
	op.EntriesOf(op.Inline.Dict, func(key string, v content.Operand) bool {
		if key == "CS" || key == "ColorSpace" {
			name, ok = op.NameOf(v)
		}
		return !ok
	})
	return name, ok
}

// Components counts the components of a colour space (8.6); false where that
// is not known.
func Components(src pdf.Objects, space pdf.Object) (int, bool) {
	name, arr := pdf.AsName(src, space), pdf.AsArray(src, space)
	if len(arr) > 0 {
		name = pdf.AsName(src, arr[0])
	}
	switch name {
	case "DeviceGray", "G", "CalGray", "Indexed", "I", "Separation":
		return 1, true
	case "DeviceRGB", "RGB", "CalRGB", "Lab":
		return 3, true
	case "DeviceCMYK", "CMYK":
		return 4, true
	}
	if len(arr) < 2 {
		return 0, false
	}
	switch name {
	case "ICCBased":
		if st := pdf.AsStream(src, arr[1]); st != nil {
			n := pdf.AsInt(src, st.Dict["N"], 0)
			return n, n > 0
		}
	case "DeviceN":
		n := len(pdf.AsArray(src, arr[1]))
		return n, n > 0
	}
	return 0, false
}

// IsDrawing reports whether a stream with that dictionary holds content of its
// own: a form XObject or the cell of a tiling pattern.
func IsDrawing(src pdf.Objects, d pdf.Dict) bool {
	return pdf.AsName(src, d["Subtype"]) == "Form" || pdf.AsInt(src, d["PatternType"], 0) == 1
}
