package layers

import "github.com/sizeply/sizeply/internal/testpdf"

// A contentCase is a page's content before and after isolating the layers A
// and C of A, B and C. Pn stands for a small painted square (see
// testpdf.Marks). The font F is Helvetica with its published widths. What is
// wanted is compared with white space folded; "=" says that the very bytes
// stay. State that hidden content sets stays in place (ISO 32000-1, 8.11.3.1).
type contentCase struct {
	name, clause string
	content      string
	want         string
	verbatim     string   // with all state left in place, where that differs
	features     []string // that renderers are known to miss; see testpdf.Gaps
}

var contentCases = []contentCase{
	// Marked content
	{"dropped section", "8.11.3.2", "/OC /B BDC P1 EMC P2", "P2", "", nil},
	{"kept section", "8.11.3.2", "/OC /A BDC P1 EMC P2", "=", "", nil},
	{"nothing on the page is dropped", "8.11.3.2", "q 1 0 0 rg % a comment\nP1 Q", "=", "", nil},
	{"kept around dropped", "8.11.3.2 Note 2", "/OC /A BDC P1 /OC /B BDC P2 EMC P3 EMC", "/OC /A BDC P1 P3 EMC", "", nil},
	{"dropped around kept", "8.11.3.2 Note 2", "/OC /B BDC /OC /A BDC P1 EMC P2 EMC P3", "P3", "", nil},
	{"other tag with a group as property list", "8.11.3.2", "/Span /B BDC P1 EMC P2", "/Span BMC P1 EMC P2", "", nil},
	{"tag and name with escapes", "7.3.5", "P1 /#4FC /#42 BDC P2 EMC", "P1", "", nil},
	{"lower-case tag", "8.11.3.2", "/oc /A BDC P1 EMC /OC /B BDC P2 EMC", "/oc /A BDC P1 EMC", "", nil},
	{"BMC with the tag OC", "8.11.3.2", "/OC BMC P1 EMC", "=", "", nil},
	{"property list in place", "8.11.3.2", "/OC <</Type/OCG/Name(B)>> BDC P1 EMC", "=", "", nil},
	{"unknown property list", "8.11.3.2", "/OC /ZZ BDC P1 EMC", "=", "", nil},
	{"unknown property list keeps the balance", "14.6.1", "/OC /B BDC P1 /OC /ZZ BDC P2 EMC P3 EMC P4", "P4", "", []string{testpdf.FeatureUnknownProperty}},
	{"BMC keeps the balance", "14.6.1", "/OC /B BDC /Artifact BMC P1 EMC P2 EMC P3", "P3", "", nil},
	{"EMC too many", "14.6.1", "EMC /OC /B BDC P1 EMC EMC P2", "P2", "", nil},
	{"section never closed", "14.6.1", "P1 /OC /B BDC P2", "P1", "", nil},
	{"kept section never closed is closed", "14.6.1", "/OC /A BDC P1 /OC /B BDC P2", "/OC /A BDC P1 EMC", "", nil},
	{"marked point hidden", "14.6.1", "/OC /B BDC /T MP P1 EMC P2", "P2", "", nil},
	{"marked point of a dropped group", "14.6.1", "/OC /B DP P1", "P1", "", nil},
	{"marked point of a kept group", "14.6.1", "/OC /A DP P1 /OC /B BDC P2 EMC", "/OC /A DP P1", "", nil},
	{"comment inside a dropped section goes", "7.2.3", "P1 /OC /B BDC % size 14\n P2 % outline\n 1 0 0 rg % red\n EMC P3", "P1 1 0 0 rg P3", "", nil},
	{"comment beside one goes", "7.2.3", "P1 % here\n/OC /B BDC P2 EMC % there\nP3 % end\nP4", "P1 P3 P4", "", nil},

	// Graphics state
	{"q and Q cross the border", "8.4.2", "/OC /B BDC q 1 g P1 EMC P2 Q P3", "q 1 g P2 Q P3", "", nil},
	{"Q inside a dropped section", "8.4.2", "q 1 0 0 1 0 9 cm /OC /B BDC P1 Q EMC P2", "P2", "q 1 0 0 1 0 9 cm Q P2", nil},
	{"q and Q in neighbouring sections", "8.4.2", "/OC /B BDC q P1 EMC /OC /A BDC P2 Q EMC P3", "q /OC /A BDC P2 Q EMC P3", "", nil},
	{"colour", "8.11.3.1", "/OC /B BDC 1 0 0 rg P1 0 0 1 rg EMC P2", "0 0 1 rg P2", "1 0 0 rg 0 0 1 rg P2", nil},
	{"line style", "8.11.3.1", "/OC /B BDC 2 w [3 1] 0 d P1 EMC 0 0 m 9 9 l S", "2 w [3 1] 0 d 0 0 m 9 9 l S", "", nil},
	{"matrix", "8.11.3.1", "/OC /B BDC 1 0 0 1 30 0 cm P1 EMC P2", "1 0 0 1 30 0 cm P2", "", nil},
	{"digits stay", "7.3.3", "/OC /B BDC P1 EMC 00.50 w 1.50 +2 .5 -0 re S", "00.50 w 1.50 +2 .5 -0 re S", "", nil},
	{"compatibility section", "7.8.2", "/OC /B BDC BX P1 EMC zz EX P2", "BX zz EX P2", "", nil},
	{"unknown operator goes", "7.8.2", "/OC /B BDC BX 1 zz EX EMC P2", "BX EX P2", "", nil},

	// Paths
	{"clip that is painted", "8.5.4", "/OC /B BDC 10 10 50 50 re W* b EMC P2", "10 10 50 50 re W* n P2", "", nil},
	{"clip alone", "8.5.4", "/OC /B BDC 10 10 50 50 re W n EMC P2", "10 10 50 50 re W n P2", "", nil},
	{"clip of several segments", "8.5.4", "/OC /B BDC 1 2 m 3 4 5 6 7 8 c 9 9 l h W n EMC P2", "1 2 m 3 4 5 6 7 8 c 9 9 l h W n P2", "", nil},
	{"path of several segments begun in a dropped section", "8.11.3.1", "/OC /B BDC 1 2 m 3 4 l 5 6 l 7 8 9 1 re EMC S P2", "1 2 m 3 4 l 5 6 l 7 8 9 1 re S P2", "", nil},
	{"path without painter", "8.5.3.1", "/OC /B BDC 1 1 m 2 2 l n EMC P2", "P2", "", nil},
	{"path begun visible, painted hidden", "8.11.3.1", "10 10 m 60 10 l 40 50 l /OC /B BDC f EMC P2", "P2", "", nil},
	{"path begun hidden, painted visible", "8.11.3.1", "/OC /B BDC 10 10 8 8 re EMC 20 10 8 8 re f", "10 10 8 8 re 20 10 8 8 re f", "", nil},
	{"section within a path", "14.6.1", "10 10 m 20 10 l /OC /B BDC 20 20 l EMC 10 20 l f", "10 10 m 20 10 l 20 20 l 10 20 l f", "", nil},
	{"state within a dropped path", "8.2", "/OC /B BDC 1 1 m 1 0 0 RG 2 2 l S EMC P2", "P2", "1 0 0 RG P2", nil},
	{"shading", "8.7.4.2", "/OC /B BDC /S1 sh EMC P1", "P1", "", nil},
	{"inline image", "8.9.7", "/OC /B BDC q 9 0 0 9 0 0 cm BI /W 1 /H 1 /CS /G /BPC 8 ID x EI Q EMC P2", "P2", "q 9 0 0 9 0 0 cm Q P2", nil},
	{"inline image whose data holds EI", "8.9.7", "/OC /B BDC BI /W 4 /H 1 /CS /G /BPC 8 ID  EI  EI EMC P2", "P2", "", nil},

	// Text
	{"hidden text before visible text", "9.4.4", "BT /F 10 Tf 5 50 Td /OC /B BDC (Wai) Tj EMC (AVA) Tj ET", "BT /F 10 Tf 5 50 Td [-1722] TJ (AVA) Tj ET", "", nil},
	{"hidden text before a move", "9.4.2", "BT /F 10 Tf 5 50 Td /OC /B BDC (Wai) Tj EMC 0 -12 Td (AVA) Tj ET", "BT /F 10 Tf 5 50 Td 0 -12 Td (AVA) Tj ET", "", nil},
	{"hidden text last", "9.4.1", "BT /F 10 Tf (AVA) Tj /OC /B BDC (Wai) Tj EMC ET BT /F 10 Tf (W) Tj ET", "BT /F 10 Tf (AVA) Tj ET BT /F 10 Tf (W) Tj ET", "", nil},
	{"hidden text alone", "9.4.1", "BT /OC /B BDC /F 10 Tf (W) Tj EMC ET P1", "P1", "BT /F 10 Tf ET P1", nil},
	{"two hidden texts", "9.4.4", "BT /F 10 Tf /OC /B BDC (W) Tj (ai) Tj EMC (A) Tj ET", "BT /F 10 Tf [-1722] TJ (A) Tj ET", "BT /F 10 Tf [-944] TJ [-778] TJ (A) Tj ET", nil},
	{"hidden text in another size", "9.4.4", "BT /F 10 Tf /OC /B BDC (Wai) Tj EMC /F 8 Tf 50 Tz (A) Tj ET", "BT /F 8 Tf 50 Tz [-4305] TJ (A) Tj ET", "BT /F 10 Tf [-1722] TJ /F 8 Tf 50 Tz (A) Tj ET", nil},
	{"spacing", "9.3.2, 9.3.3", "BT /F 10 Tf 1 Tc 2 Tw 80 Tz /OC /B BDC (a a) Tj EMC (A) Tj ET", "BT /F 10 Tf 1 Tc 2 Tw 80 Tz [-1890] TJ (A) Tj ET", "", nil},
	{"adjusted text", "9.4.3", "BT /F 10 Tf /OC /B BDC [(W) 120 (a) -30.5 (i)] TJ EMC (A) Tj ET", "BT /F 10 Tf [-1632.5] TJ (A) Tj ET", "", nil},
	{"third of a unit", "9.4.4", "BT /F 3 Tf 1 Tc /OC /B BDC (a) Tj EMC (A) Tj ET", "BT /F 3 Tf 1 Tc [-889.3333] TJ (A) Tj ET", "", nil},
	{"negative size", "9.4.4", "BT /F -10 Tf 1 Tc /OC /B BDC (a) Tj EMC (A) Tj ET", "BT /F -10 Tf 1 Tc [-456] TJ (A) Tj ET", "", nil},
	{"size zero", "9.4.4", "BT /F 0 Tf 2 Tc /OC /B BDC (a) Tj EMC (A) Tj ET", "BT 2 Tc /F 1 Tf [-2000] TJ /F 0 Tf (A) Tj ET", "BT /F 0 Tf 2 Tc /F 1 Tf [-2000] TJ /F 0 Tf (A) Tj ET", nil},
	{"next line and show", "9.4.3", "BT /F 10 Tf 12 TL /OC /B BDC (x) ' EMC (AVA) ' ET", "BT /F 10 Tf 12 TL T* (AVA) ' ET", "", nil},
	{"next line, spacing and show", "9.4.3", "BT /F 10 Tf 12 TL /OC /B BDC 2 1 (a a) \" EMC (AVA) Tj ET", "BT /F 10 Tf 12 TL 2 Tw 1 Tc T* [-1890] TJ (AVA) Tj ET", "", nil},
	{"spacing of the quote outlives it", "9.4.3", "BT /F 10 Tf 2 1 (x) \" /OC /B BDC (a) Tj EMC (A) Tj ET", "BT /F 10 Tf 2 1 (x) \" [-656] TJ (A) Tj ET", "", nil},
	{"positions apply", "8.11.3.1", "BT /F 10 Tf 5 50 Td /OC /B BDC 10 0 Td (W) Tj 0 -15 TD EMC (A) Tj T* (V) Tj ET", "BT /F 10 Tf 5 50 Td 10 0 Td 0 -15 TD (A) Tj T* (V) Tj ET", "", nil},
	{"text object crosses the border", "14.6.1", "/OC /B BDC BT /F 10 Tf 5 50 Td (Wai) Tj EMC (AVA) Tj ET", "BT /F 10 Tf 5 50 Td [-1722] TJ (AVA) Tj ET", "", nil},
	{"text state outlives the text object", "9.3.1", "/OC /B BDC BT /F 10 Tf 5 50 Td (W) Tj ET EMC BT 5 20 Td (A) Tj ET", "/F 10 Tf BT 5 20 Td (A) Tj ET", "BT /F 10 Tf 5 50 Td ET BT 5 20 Td (A) Tj ET", nil},
	{"text state and q", "8.4.1", "BT /F 10 Tf ET q BT /F 20 Tf 3 Tc ET Q BT 1 Tc /OC /B BDC (a) Tj EMC (A) Tj ET", "/F 10 Tf BT 1 Tc [-656] TJ (A) Tj ET", "BT /F 10 Tf ET q BT /F 20 Tf 3 Tc ET Q BT 1 Tc [-656] TJ (A) Tj ET", nil},
	{"invisible text", "9.3.6", "BT /F 10 Tf 3 Tr /OC /B BDC (Wai) Tj EMC 0 Tr (AVA) Tj ET", "BT /F 10 Tf 0 Tr [-1722] TJ (AVA) Tj ET", "BT /F 10 Tf 3 Tr [-1722] TJ 0 Tr (AVA) Tj ET", nil},
	{"text that clips stays as a clip", "9.3.6", "/OC /B BDC BT /F 60 Tf 5 Tr 5 20 Td (AV) Tj ET EMC 0 0 99 99 re f", "BT /F 60 Tf 5 20 Td 7 Tr (AV) Tj ET 0 0 99 99 re f", "BT /F 60 Tf 5 Tr 5 20 Td 7 Tr (AV) Tj 5 Tr ET 0 0 99 99 re f", []string{testpdf.FeatureTextClip}},
	{"empty string", "9.4.3", "BT /F 10 Tf /OC /B BDC () Tj EMC (A) Tj ET", "BT /F 10 Tf (A) Tj ET", "", nil},
	{"code without a width", "9.6.2.1", "BT /F 10 Tf /OC /B BDC (\\200) Tj EMC (A) Tj ET", "BT /F 10 Tf (A) Tj ET", "", nil},

	// Text that stands for content
	{"replacement text around a dropped section", "14.9.4", "/Span <</ActualText (secret)>> BDC /OC /B BDC P1 EMC P2 EMC", "/Span BMC P2 EMC", "", nil},
	{"replacement text around what stays", "14.9.4", "/Span <</ActualText (seam)>> BDC P1 EMC /OC /B BDC P2 EMC", "/Span <</ActualText (seam)>> BDC P1 EMC", "", nil},
	{"description with an identifier", "14.9.3", "/P <</MCID 3 /Alt (secret)>> BDC P1 /OC /B BDC P2 EMC EMC", "/P <</MCID 3>> BDC P1 EMC", "", nil},
	{"description two sections out", "14.9.3", "/P <</Alt (secret)>> BDC /T BMC P1 /OC /B BDC P2 EMC EMC EMC P3", "/P BMC /T BMC P1 EMC EMC P3", "", nil},
	{"replacement text of a section that is not closed", "14.9.4", "P3 /Span <</ActualText (secret)>> BDC P1 /OC /B BDC P2", "P3 /Span BMC P1 EMC", "", nil},

	// State that nothing needs any more, and state that something does
	{"colour set before a dropped section", "8.11.3.1", "1 0 0 rg /OC /B BDC P1 EMC 0 g P2", "0 g P2", "1 0 0 rg 0 g P2", nil},
	{"colour within q and Q", "8.4.2", "q /OC /B BDC 1 0 0 rg P1 EMC Q P2", "P2", "q 1 0 0 rg Q P2", nil},
	{"colour that outlives its section", "8.11.3.1", "/OC /B BDC 1 0 0 rg EMC P2", "1 0 0 rg P2", "", nil},
	{"stroke colour before a fill", "8.5.3.3", "/OC /B BDC 1 0 0 RG P1 EMC P2", "P2", "1 0 0 RG P2", nil},
	{"both colours", "8.5.3.3", "/OC /B BDC 1 0 0 RG 0 1 0 rg P1 EMC 1 1 5 5 re B", "1 0 0 RG 0 1 0 rg 1 1 5 5 re B", "", nil},
	{"line width before a fill", "8.5.3.3", "/OC /B BDC 5 w P1 EMC P2", "P2", "5 w P2", nil},
	{"cap, join and miter limit", "8.4.3", "/OC /B BDC 1 J 1 j 4 M P1 EMC 0 0 m 9 9 l S", "1 J 1 j 4 M 0 0 m 9 9 l S", "", nil},
	{"the last width counts", "8.4.3.2", "/OC /B BDC 2 w 3 w EMC 0 0 m 9 9 l S", "3 w 0 0 m 9 9 l S", "2 w 3 w 0 0 m 9 9 l S", nil},
	{"dash that hidden content ends", "8.4.3.6", "[3] 0 d /OC /B BDC [] 0 d P1 EMC 0 0 m 9 9 l S", "[] 0 d 0 0 m 9 9 l S", "[3] 0 d [] 0 d 0 0 m 9 9 l S", nil},
	{"colour space and colour", "8.6.8", "/OC /B BDC /DeviceRGB cs 1 0 0 sc EMC P2", "/DeviceRGB cs 1 0 0 sc P2", "", nil},
	{"colour space alone sets the colour", "8.6.8", "1 0 0 rg /OC /B BDC /DeviceGray cs EMC P2", "1 0 0 rg /DeviceGray cs P2", "", nil},
	{"colour space under a dead colour", "8.6.8", "/OC /B BDC /DeviceRGB cs 1 0 0 sc P1 EMC 0 g P2", "0 g P2", "/DeviceRGB cs 1 0 0 sc 0 g P2", nil},
	{"intent and flatness", "8.6.5.8, 10.6.2", "/OC /B BDC /Perceptual ri 5 i EMC P2", "/Perceptual ri 5 i P2", "", nil},
	{"matrix at the end", "8.4.4", "P1 /OC /B BDC 2 0 0 2 0 0 cm P2 EMC", "P1", "P1 2 0 0 2 0 0 cm", nil},
	{"matrix within q and Q", "8.4.2", "q /OC /B BDC 2 0 0 2 0 0 cm P1 EMC Q P2", "P2", "q 2 0 0 2 0 0 cm Q P2", nil},
	{"clip within q and Q", "8.5.4", "q /OC /B BDC 0 0 5 5 re W n P1 EMC Q P2", "P2", "q 0 0 5 5 re W n Q P2", nil},
	{"clip at the end", "8.5.4", "P1 /OC /B BDC 0 0 5 5 re W n P2 EMC", "P1", "P1 0 0 5 5 re W n", nil},
	{"clip with the matrix it is drawn in", "8.5.4", "/OC /B BDC 2 0 0 2 0 0 cm 0 0 50 50 re W n EMC P2", "2 0 0 2 0 0 cm 0 0 50 50 re W n P2", "", nil},
	{"clip around a dropped section", "8.5.4", "q 0 0 5 5 re W n /OC /B BDC P1 EMC Q P2", "P2", "q 0 0 5 5 re W n Q P2", nil},
	{"q and Q around nothing", "8.4.2", "q q /OC /B BDC P1 EMC Q 1 g Q P2", "P2", "q q Q 1 g Q P2", nil},
	{"q and Q around something", "8.4.2", "q 1 0 0 rg P1 /OC /B BDC P2 EMC Q P3", "q 1 0 0 rg P1 Q P3", "", nil},
	{"q without Q", "8.4.2", "q /OC /B BDC P1 EMC P2", "P2", "q P2", nil},
	{"Q without q", "8.4.2", "/OC /B BDC P1 EMC Q P2", "P2", "Q P2", []string{testpdf.FeatureUnderflow}},
	{"text object that is left empty", "9.4.1", "/OC /B BDC BT /F 9 Tf (a) Tj ET EMC P2", "P2", "BT /F 9 Tf ET P2", nil},
	{"spacing of dropped text", "9.3.2", "BT /F 9 Tf 3 Tc (a) Tj /OC /B BDC 5 Tc (b) Tj EMC ET", "BT /F 9 Tf 3 Tc (a) Tj ET", "BT /F 9 Tf 3 Tc (a) Tj 5 Tc ET", nil},
	{"leading for the next line", "9.3.5", "/OC /B BDC BT 12 TL ET EMC BT /F 9 Tf (a) Tj T* (b) Tj ET", "12 TL BT /F 9 Tf (a) Tj T* (b) Tj ET", "BT 12 TL ET BT /F 9 Tf (a) Tj T* (b) Tj ET", nil},
	{"leading set by a move", "9.4.2", "BT /F 9 Tf /OC /B BDC 0 -15 TD (x) Tj EMC 1 0 0 1 5 5 Tm (a) Tj T* (b) Tj ET", "BT /F 9 Tf 0 -15 TD 1 0 0 1 5 5 Tm (a) Tj T* (b) Tj ET", "", nil},
	{"move before a text matrix", "9.4.2", "BT /F 9 Tf /OC /B BDC 5 5 Td (x) Tj EMC 1 0 0 1 9 9 Tm (a) Tj ET", "BT /F 9 Tf 1 0 0 1 9 9 Tm (a) Tj ET", "BT /F 9 Tf 5 5 Td 1 0 0 1 9 9 Tm (a) Tj ET", nil},
	{"rise and scale", "9.3.4, 9.3.7", "/OC /B BDC BT 3 Ts 80 Tz ET EMC BT /F 9 Tf (a) Tj ET", "3 Ts 80 Tz BT /F 9 Tf (a) Tj ET", "BT 3 Ts 80 Tz ET BT /F 9 Tf (a) Tj ET", nil},
	{"line width for outlined text", "9.3.6", "/OC /B BDC 3 w EMC BT /F 9 Tf 1 Tr (a) Tj ET", "3 w BT /F 9 Tf 1 Tr (a) Tj ET", "", nil},
	{"line width before filled text", "9.3.6", "/OC /B BDC 3 w EMC BT /F 9 Tf (a) Tj ET", "BT /F 9 Tf (a) Tj ET", "3 w BT /F 9 Tf (a) Tj ET", nil},
	{"rendering mode before q and after", "8.4.2, 9.3.6", "BT /F 9 Tf 1 Tr ET q BT 0 Tr (a) Tj ET Q /OC /B BDC 3 w P1 EMC BT (b) Tj ET", "/F 9 Tf 1 Tr q BT 0 Tr (a) Tj ET Q 3 w BT (b) Tj ET", "BT /F 9 Tf 1 Tr ET q BT 0 Tr (a) Tj ET Q 3 w BT (b) Tj ET", nil},
	{"kept section that is left empty", "14.6.1", "/OC /A BDC /OC /B BDC P1 EMC EMC P2", "P2", "/OC /A BDC EMC P2", nil},
	{"mark that is left empty", "14.6.1", "/T BMC /OC /B BDC P1 EMC EMC P2", "P2", "/T BMC EMC P2", nil},
	{"colour for an image mask", "8.9.6.2", "/OC /B BDC 1 0 0 rg EMC BI /W 1 /H 1 /IM true ID x EI", "1 0 0 rg BI /W 1 /H 1 /IM true ID x EI", "", nil},
	{"displacement over a change of font", "9.4.4", "BT /F 10 Tf /OC /B BDC (a) Tj /F 20 Tf (a) Tj EMC (A) Tj ET", "BT /F 20 Tf [-834] TJ (A) Tj ET", "BT /F 10 Tf [-556] TJ /F 20 Tf [-556] TJ (A) Tj ET", nil},
	{"displacement over a change of scale", "9.3.4", "BT /F 10 Tf /OC /B BDC (a) Tj EMC 50 Tz (A) Tj ET", "BT /F 10 Tf 50 Tz [-1112] TJ (A) Tj ET", "BT /F 10 Tf [-556] TJ 50 Tz (A) Tj ET", nil},
	{"displacement at no scale", "9.3.4", "BT /F 10 Tf 0 Tz /OC /B BDC (a) Tj EMC 100 Tz (A) Tj ET", "BT /F 10 Tf 100 Tz (A) Tj ET", "BT /F 10 Tf 0 Tz [-556] TJ 100 Tz (A) Tj ET", nil},
}
