// Package font finds how far a shown string moves the text position, and what
// its codes mean as text, without reading any font program.
//
// Start with [Library.Load], which reads a font dictionary, and [Font.Glyphs], which
// gives the codes of a string with their displacements (ISO 32000-1, 9.2.4,
// 9.4.4). A displacement is Known where the file states it: by Widths (9.6),
// by W, DW, W2 and DW2 with a CMap that is in the file (9.7), or by the name
// of a standard 14 font. Everything else is a guess, good enough to place a
// box around text but not to replace the text; [Font.Reason] says why.
// [Library.Decoder] reads the same dictionary for the text.
//
// Where the standard is silent or a file breaks it, a width is Known only where
// viewers agree. Seen in Poppler 22.12 and MuPDF 1.21:
//
//   - A standard 14 font without Widths takes Adobe's metrics by glyph name
//     through its encoding, also under the usual names of its TrueType twins
//     (Arial, TimesNewRoman, CourierNew), but not with a subset tag. Known.
//   - A code of such a font that names no glyph of the metrics is 0 wide in
//     the one, as wide as a substitute glyph in the other. Not Known.
//   - Any other font without Widths takes the widths of its program or of
//     whatever font replaces it. Not Known.
//   - Where Widths is shorter than FirstChar and LastChar say, the rest has
//     the MissingWidth in the one, none in the other. Known if that is 0.
//   - A Type 3 displacement (w, 0) is transformed by FontMatrix; both keep the
//     horizontal component a*w and drop b*w. Known.
//   - Two widths in W for one CID, bytes that are no code: each its own way.
//     Not Known.
//
// MuPDF brings widths to whole thousandths; this package does not.
//
// Load never fails and its work and memory are bounded, whatever the file
// says. A Font never changes, so it is safe for concurrent use.
package font
