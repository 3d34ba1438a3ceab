package rewrite

import (
	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// params are parameters of the graphics state (8.4.1, Tables 52 and 53; 9.3.1,
// Table 104) and the text position (9.4.1), as far as setting one may or may
// not matter to a later mark.
type params uint64

const (
	ctmParam params = 1 << iota
	clipParam
	fillSpace
	fillColour
	strokeSpace
	strokeColour
	lineWidth
	lineCap
	lineJoin
	miterLimit
	dashPattern
	strokeAdjust // SA
	flatness
	intent
	smoothness // SM
	halftone   // BG, UCR, TR, HT
	overprint  // OP, op, OPM
	blendMode
	softMask
	strokeAlpha // CA
	fillAlpha   // ca
	alphaSource // AIS
	knockout    // TK
	charSpace
	wordSpace
	textScale
	leading
	fontParam // and size
	textRender
	textRise
	textPosition // Tm and Tlm: q and Q leave them alone

	allParams params = 1<<iota - 1
)

const (
	paintParams  = ctmParam | clipParam | intent | smoothness | halftone | overprint | blendMode | softMask | alphaSource
	fillParams   = paintParams | fillSpace | fillColour | fillAlpha | flatness
	strokeParams = paintParams | strokeSpace | strokeColour | strokeAlpha | flatness | lineWidth | lineCap | lineJoin |
		miterLimit | dashPattern | strokeAdjust
	textParams = paintParams | charSpace | wordSpace | textScale | fontParam | textRender | textRise | textPosition | knockout
)

// setters gives what an operator sets as a whole: what was set before does not
// matter any more. cm, W and the operators that move the text position change
// what is there and are not among them.
func setters(op content.Op) params {
	switch op {
	case content.OpLineWidth:
		return lineWidth
	case content.OpLineCap:
		return lineCap
	case content.OpLineJoin:
		return lineJoin
	case content.OpMiterLimit:
		return miterLimit
	case content.OpDash:
		return dashPattern
	case content.OpIntent:
		return intent
	case content.OpFlatness:
		return flatness
	case content.OpFillSpace: // sets the colour too, but not in PDFium
		return fillSpace
	case content.OpFillGrey, content.OpFillRGB, content.OpFillCMYK:
		return fillSpace | fillColour
	case content.OpFillColour, content.OpFillColourN:
		return fillColour
	case content.OpStrokeSpace:
		return strokeSpace
	case content.OpStrokeGrey, content.OpStrokeRGB, content.OpStrokeCMYK:
		return strokeSpace | strokeColour
	case content.OpStrokeColour, content.OpStrokeColourN:
		return strokeColour
	case content.OpCharSpacing:
		return charSpace
	case content.OpWordSpacing:
		return wordSpace
	case content.OpHorizontalScale:
		return textScale
	case content.OpLeading:
		return leading
	case content.OpFont:
		return fontParam
	case content.OpRender:
		return textRender
	case content.OpRise:
		return textRise
	case content.OpTextMatrix, content.OpBeginText:
		return textPosition
	}
	return 0
}

// gsParams gives what the entries of an ExtGState dictionary set (8.4.5, Table
// 58).
var gsParams = map[pdf.Name]params{
	"LW": lineWidth, "LC": lineCap, "LJ": lineJoin, "ML": miterLimit, "D": dashPattern, "RI": intent,
	"OP": overprint, "op": overprint, "OPM": overprint, "Font": fontParam,
	"BG": halftone, "BG2": halftone, "UCR": halftone, "UCR2": halftone, "TR": halftone, "TR2": halftone, "HT": halftone, "HTO": halftone,
	"FL": flatness, "SM": smoothness, "SA": strokeAdjust, "BM": blendMode, "SMask": softMask,
	"CA": strokeAlpha, "ca": fillAlpha, "AIS": alphaSource, "TK": knockout,
}

// gsSets gives what an ExtGState dictionary sets. whole is false where it has
// entries that are not known, so that all of it has to stay.
func gsSets(src pdf.Objects, gs pdf.Dict) (sum params, whole bool) {
	whole = true
	for k, v := range gs {
		p, known := gsParams[k]
		sum |= p
		whole = whole && (known || k == "Type" || pdf.Resolve(src, v) == nil)
	}
	return sum, whole
}

// partial are parameters of which an ExtGState dictionary may set a part, so
// that what was set before still matters.
const partial = overprint | halftone

// paintNeeds gives what painting a path needs (8.5.3, Table 60).
func paintNeeds(op content.Op) params {
	switch op {
	case content.OpStroke, content.OpCloseStroke:
		return strokeParams
	case content.OpFill, content.OpFillCompat, content.OpFillEvenOdd:
		return fillParams
	case content.OpEndPath:
		return 0
	}
	return fillParams | strokeParams
}

// showNeeds gives what showing text in a rendering mode needs (9.3.6, Table
// 106).
func showNeeds(mode int) params {
	switch mode {
	case 0, 4:
		return textParams | fillParams
	case 1, 5:
		return textParams | strokeParams
	case 3, 7:
		return textParams
	}
	return textParams | fillParams | strokeParams
}
