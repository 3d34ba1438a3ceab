package testpdf

import "slices"

// Renderers that Gaps knows, by name.
const (
	NamePoppler = "poppler" // pdftocairo 22.12
	NamePDFium  = "pdfium"  // as layers/render carries it
	NameMuPDF   = "mupdf"   // mutool 1.21.1
	// The two of witness/package.json.
	NameMuPDFCurrent = "mupdf 1.28" // mupdf 1.28.1
	NamePDFJS        = "pdf.js"     // pdfjs-dist 6.5.438

	NameQPDF = "qpdf" // qpdf 11.3, which reads content but does not draw
)

// Features of documents, as Random names them. Each is something that at least
// one renderer gets wrong or that a fault is likely to hide in.
const (
	FeatureMarkedContent   = "marked content"
	FeatureNested          = "nested sections"
	FeatureNeutral         = "BMC and other tags inside sections"
	FeatureUnclosed        = "section not closed"
	FeatureExtraEMC        = "EMC without a section"
	FeatureContentsArray   = "section across content streams"
	FeatureStraddle        = "q and Q across section borders"
	FeatureHiddenState     = "state set inside sections"
	FeatureHiddenClip      = "clip set inside sections"
	FeatureClipPaint       = "W with a painting operator"
	FeatureMembership      = "OCMD array with P"
	FeatureMembershipOne   = "OCMD of a single group with P"
	FeatureMembershipEmpty = "OCMD without groups"
	FeatureExpression      = "OCMD with VE"
	FeatureDirectOCMD      = "direct OCMD"
	FeatureText            = "text"
	FeatureTrueType        = "embedded TrueType font"
	FeatureHiddenAdvance   = "hidden text before visible text"
	FeatureTextState       = "text state set inside sections"
	FeatureTextCrossing    = "section across BT or ET"
	FeaturePatternText     = "text in a pattern colour"
	FeatureTextClip        = "hidden text in a clipping mode"
	FeatureForm            = "form XObject"
	FeatureFormOC          = "form XObject with OC"
	FeatureFormNested      = "nested forms"
	FeatureFormInherits    = "form without Resources"
	FeatureFormUnclosed    = "section not closed in a form"
	FeatureFormTextState   = "text state of the caller used in a form"
	FeatureImage           = "image XObject"
	FeatureImageOC         = "image XObject with OC"
	FeatureInlineImage     = "inline image"
	FeatureInlineEI        = "EI inside the data of an inline image"
	FeatureShading         = "shading"
	FeatureAlpha           = "ExtGState with CA and ca"
	FeatureSoftMaskHidden  = "soft mask set inside a section"
	FeaturePatternOC       = "sections inside a tiling pattern"
	FeatureMaskOC          = "sections inside a soft mask"
	FeatureType3           = "sections inside a Type 3 glyph"
	FeatureAnnotationOC    = "annotation with OC"
	FeatureUnknownProperty = "section of an unknown property"
	FeatureFewOperands     = "BDC with wrong operands"
	FeatureUnderflow       = "Q without q"
	FeatureUsage           = "Usage dictionaries"
	FeatureShared          = "shared Resources"
	FeatureInherited       = "inherited Resources"
	FeatureRotate          = "Rotate"
	FeatureUserUnit        = "UserUnit"
	FeatureObjectStreams   = "object streams"
)

// Gap is a feature that a renderer does not draw as the standard says.
type Gap struct {
	Feature string
	// Reason is what it does instead.
	Reason string
	// Original says that the gap shows in original files only: Reference
	// writes around it.
	Original bool
}

// Gaps lists what a renderer does not implement, measured with small files.
func Gaps(renderer string) []Gap { return gaps()[renderer] }

// Unfit gives the gaps of a renderer that a document with these features runs
// into. Where there are none, the renderer must draw the reference copy and a
// correct result alike, pixel for pixel.
func Unfit(renderer string, features []string) []Gap {
	var out []Gap
	for _, g := range Gaps(renderer) {
		for _, f := range features {
			if f == g.Feature && !g.Original {
				out = append(out, g)
			}
		}
	}
	return out
}

func gaps() map[string][]Gap {
	return map[string][]Gap{
		NamePoppler: {
			{FeatureTextClip, "hidden glyphs do not join the clip", false},
			{FeatureSoftMaskHidden, "a luminosity mask set while hidden is empty", false},
			{FeatureFewOperands, "the rest of the stream is dropped", false},
			{FeatureUnderflow, "the rest of the page is lost", false},
			{FeatureMembershipOne, "P is ignored", true},
			{FeatureMembershipEmpty, "hides for AnyOn and AnyOff", true},
		},
		NamePDFium: {
			{FeaturePatternOC, "everything is painted", false},
			{FeatureMaskOC, "everything is painted", false},
			{FeatureUnknownProperty, "the section is not counted, so its EMC closes the one around it", false},
			{FeatureFewOperands, "the section is not counted", false},
			{FeatureFormTextState, "TL, Tz and Ts start anew in a form", false},
			{FeatureAnnotationOC, "the entry is ignored", true},
			{FeatureMembershipOne, "P is ignored", true},
			{FeatureUsage, "replaces the state of the configuration", true},
		},
		NameQPDF: {
			{FeatureInlineEI, "takes it for the end of the data, and warns", false},
		},
		NameMuPDF: {
			{FeatureHiddenAdvance, "text behind hidden text in one text object is placed differently", false},
			{FeatureTextCrossing, "hidden text shows where the section ends before ET", false},
			{FeatureFormUnclosed, "the open section goes on behind the form", false},
			{FeatureExtraEMC, "an extra EMC in a form closes the section of its caller", false},
			{FeatureMembership, "AllOn is always visible, AnyOff always hidden", true},
			{FeatureMembershipOne, "AllOn and AnyOff are inverted", true},
			{FeatureMembershipEmpty, "hides for AnyOn and AnyOff", true},
			{FeatureExpression, "always visible", true},
			{FeatureUsage, "a view state of OFF hides", true},
		},
		NameMuPDFCurrent: {
			{FeatureFormUnclosed, "the open section goes on behind the form", false},
			{FeatureExtraEMC, "an extra EMC in a form closes the section of its caller", false},
			{FeatureMembership, "AllOn is always visible, AnyOff always hidden", true},
			{FeatureMembershipOne, "AllOn and AnyOff are inverted", true},
			{FeatureMembershipEmpty, "hides for AnyOff", true},
			{FeatureExpression, "always visible", true},
			{FeatureUsage, "a view state of OFF hides", true},
		},
		NamePDFJS: {
			{FeatureTextClip, "hidden glyphs do not join the clip", false},
			{FeatureSoftMaskHidden, "a mask set while hidden is not applied right", false},
			{FeatureFewOperands, "a section with fewer than two is not counted", false},
			{FeatureMembershipEmpty, "hides for AnyOff", true},
			{FeatureUsage, "a view state of OFF hides", true},
		},
	}
}

// Unsteady gives the gaps of a renderer for features with which it does not
// draw two files of the same look alike to the last pixel, because removed
// content has an influence on how it draws the rest. Only where another
// renderer draws both alike may they explain a difference.
func Unsteady(renderer string, features []string) []Gap {
	var out []Gap
	for _, g := range unsteady[renderer] {
		if slices.Contains(features, g.Feature) {
			out = append(out, g)
		}
	}
	return out
}

var unsteady = map[string][]Gap{
	NamePoppler: {
		{FeatureHiddenState, "a line width can outlive the q and Q or the form that it was set in", false},
		{FeatureImage, "the smoothing of images depends on what was drawn before", false},
	},
	NamePDFium: {
		{FeatureAlpha, "an object in a blend mode or with opacity, even a hidden one, changes how the whole page is smoothed", false},
		{FeatureHiddenAdvance, "positions are added up in single precision, glyph by glyph, and snapped", false},
		{FeatureFormTextState, "TL, Tz and Ts start anew in a form", false},
	},
	NameMuPDFCurrent: {
		{FeatureAlpha, "a blend mode, even on nothing, takes the page through a group, which rounds colours by a level", false},
	},
	NamePDFJS: {
		{FeatureHiddenClip, "a clipping path, even one that cuts nothing off, changes how edges are smoothed", false},
		{FeatureAlpha, "an object in a blend mode or with opacity, even a hidden one, changes how others are smoothed", false},
	},
}
