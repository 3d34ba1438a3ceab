package rewrite

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers/failure"
)

// A row is a page's content before and after. What is in A is kept in its
// section, what is in B removed, what is in C kept without its section. Pn stands
// for a small painted square (see testpdf.Marks); streamResources is what the
// page has. What is wanted is compared with white space folded; "=" says that
// the very bytes are kept.
type row struct {
	clause, reason string
	content        string
	want           string
}

// streamResources are fonts F (Helvetica with its widths), G (a is 500 wide, b 300,
// others 250), T (Type 3: a is a unit wide, b half of one), V (vertical, each code
// a unit high), and U (of which no width is known), and what the names say.
const streamResources = "/Font <</F 29 0 R /G 30 0 R /T 31 0 R /V 33 0 R /U 34 0 R>>" +
	" /ExtGState <</Thick <</LW 3>> /Lettered <</LW 3 /Font [30 0 R 10]>> /Masked <</SMask <</S /Luminosity /G 42 0 R>>>>" +
	" /MaskedThick <</LW 3 /SMask <</S /Luminosity /G 42 0 R>>>> /Unmasked <</SMask /None>> /Odd <</Zz 1>>>>" +
	" /Pattern <</Dots 41 0 R>> /Shading <</S 43 0 R>> /ColorSpace <</Cut [/Separation /Cut /DeviceGray 44 0 R]>>" +
	" /XObject <</X 50 0 R /Nothing 51 0 R /Mixed 52 0 R /InB 53 0 R /InC 54 0 R /Image 55 0 R /ImageInB 56 0 R /Mask 57 0 R" +
	" /Text 58 0 R /Self 59 0 R>>" +
	" /Properties <</A 5 0 R /B 6 0 R /C 7 0 R /Note <</MCID 3>>>>"

const image = "/Type /XObject /Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace /DeviceGray"

var streamObjects = []testpdf.Object{
	testpdf.Obj(30, "<</Type /Font /Subtype /Type1 /BaseFont /Own /FirstChar 97 /LastChar 98 /Widths [500 300]"+
		" /FontDescriptor <</Type /FontDescriptor /FontName /Own /Flags 32 /MissingWidth 250>>>>"),
	testpdf.Obj(31, "<</Type /Font /Subtype /Type3 /FontMatrix [.01 0 0 .01 0 0] /FontBBox [0 0 100 100] /FirstChar 97 /LastChar 98"+
		" /Widths [100 50] /Encoding <</Differences [97 /a /b]>> /CharProcs <</a 32 0 R /b 32 0 R>>>>"),
	testpdf.Stream(32, "", "100 0 d0 /OC /B BDC 0 0 9 9 re f EMC 1 1 2 2 re f"),
	testpdf.Obj(33, "<</Type /Font /Subtype /Type0 /BaseFont /V /Encoding /Identity-V /DescendantFonts [35 0 R]>>"),
	testpdf.Obj(34, "<</Type /Font /Subtype /Type0 /BaseFont /U /Encoding /Unknown-H /DescendantFonts [35 0 R]>>"),
	testpdf.Obj(35, "<</Type /Font /Subtype /CIDFontType2 /BaseFont /V /CIDSystemInfo <</Registry (A) /Ordering (I) /Supplement 0>>>>"),
	testpdf.Stream(41, "/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 9 9] /XStep 9 /YStep 9", testpdf.Marks("/OC /B BDC P1 EMC 1 1 2 2 re f")),
	testpdf.Form(42, "/Group <</S /Transparency /CS /DeviceGray>>", "1 g P1 /OC /B BDC P2 EMC"),
	testpdf.Obj(43, "<</ShadingType 2 /ColorSpace /DeviceGray /Coords [0 0 1 1] /Function 44 0 R>>"),
	testpdf.Obj(44, "<</FunctionType 2 /Domain [0 1] /C0 [0] /C1 [1] /N 1>>"),
	testpdf.Form(50, "", "P1"),
	testpdf.Form(51, "", "/OC /B BDC P1 EMC"),
	testpdf.Form(52, "", "P1 /OC /B BDC P2 EMC"),
	testpdf.Form(53, "/OC 6 0 R", "P1"),
	testpdf.Form(54, "/OC 7 0 R", "P1"),
	testpdf.Stream(55, image, "x"),
	testpdf.Stream(56, image+" /OC 6 0 R", "x"),
	testpdf.Stream(57, "/Type /XObject /Subtype /Image /Width 1 /Height 1 /BitsPerComponent 1 /ImageMask true", "x"),
	testpdf.Form(58, "", "BT /OC /B BDC (ab) Tj EMC (a) Tj ET"),
	testpdf.Form(59, "", "P1 /Self Do"),
}

var rows = []row{
	// Marked content (14.6) and optional content (8.11.3.2)
	{"8.11.3.2", "a section is removed with its content", "/OC /B BDC P1 EMC P2", "P2"},
	{"8.11.3.2", "a kept section stays one", "/OC /A BDC P1 EMC", "="},
	{"8.11.3.2", "a section is unwrapped", "/OC /C BDC P1 EMC P2", "P1 P2"},
	{"8.11.3.2", "three sections, three decisions", "/OC /A BDC P1 EMC /OC /B BDC P2 EMC /OC /C BDC P3 EMC", "/OC /A BDC P1 EMC P3"},
	{"8.11.3.2", "content is visible only where all sections around it are", "/OC /C BDC P1 /OC /B BDC P2 EMC P3 EMC", "P1 P3"},
	{"8.11.3.2", "what is kept within a removed section is removed with it", "/OC /B BDC /OC /A BDC P1 EMC /OC /C BDC P2 EMC EMC P3", "P3"},
	{"14.6.1", "unwrapping takes the EMC of the section, not of one within it", "/OC /C BDC /T BMC P1 EMC P2 EMC", "/T BMC P1 EMC P2"},
	{"14.6.1", "sections of other tags close first", "/OC /B BDC /T BMC P1 EMC P2 EMC P3", "P3"},
	{"14.6.1", "EMC without a section is of no use", "EMC EMC P1 /OC /B BDC P2 EMC", "P1"},
	{"14.6.1", "an unwrapped section that is never closed", "P1 /OC /C BDC P2", "P1 P2"},
	{"14.6.1", "a removed section that is never closed", "P1 /OC /B BDC P2 q", "P1"},
	{"14.6.1", "a kept section that is never closed is closed", "/OC /A BDC P1 /OC /B BDC P2 EMC", "/OC /A BDC P1 EMC"},
	{"14.6.2", "another tag loses a property list that is optional content", "/Span /C BDC P1 EMC /T /B BDC P2 EMC", "/Span BMC P1 EMC /T BMC P2 EMC"},
	{"14.6.1", "a point that refers to a removed group", "/OC /B DP /OC /C DP /OC /A DP P1", "/OC /A DP P1"},
	{"14.6.1", "points within removed content", "/OC /B BDC /T MP /T /Note DP P1 EMC P2", "P2"},
	{"14.6.1", "a section in which nothing is left", "/OC /A BDC /T BMC EMC EMC P1 /OC /B BDC P2 EMC", "P1"},
	{"14.7.4", "one with an identifier may be referred to", "/P <</MCID 2>> BDC EMC /OC /B BDC P1 EMC P2", "/P <</MCID 2>> BDC EMC P2"},
	{"14.7.4", "unless all its marks were removed", "/P <</MCID 2>> BDC /OC /B BDC P1 EMC EMC P2", "P2"},
	{"14.7.4", "one of which a part was removed keeps its identifier", "/P /Note BDC P1 /OC /B BDC P2 EMC EMC", "/P /Note BDC P1 EMC"},
	{"14.9.4", "text that stands for what was removed is removed", "/P <</MCID 2 /ActualText (B)>> BDC P1 /OC /B BDC P2 EMC EMC", "/P <</MCID 2>> BDC P1 EMC"},

	// Paths (8.5)
	{"8.5.3", "nothing is removed, so a path without a painter is kept too", "1 1 m 2 2 l n P1", "="},
	{"8.5.3", "a path that nobody paints goes where the stream changes", "1 1 m 2 2 l n /OC /B BDC P1 EMC P2", "P2"},
	{"8.5.2", "every operator of a removed path", "/OC /B BDC 1 1 m 2 2 l 2 2 3 3 4 4 c 5 5 6 6 v 7 7 8 8 y h b* EMC P1", "P1"},
	{"8.11.3.1", "the painter decides: built visible, painted hidden", "1 1 m 9 1 l /OC /B BDC 9 9 l f EMC P1", "P1"},
	{"8.11.3.1", "the painter decides: built hidden, painted visible", "1 1 m /OC /B BDC 9 9 l 9 1 l EMC /OC /C BDC S EMC", "1 1 m 9 9 l 9 1 l S"},
	{"14.6.1", "a kept section within a path holds no mark", "1 1 m /OC /A BDC 9 9 l EMC S /OC /B BDC P1 EMC", "1 1 m 9 9 l S"},
	{"8.5.4", "a clip is state", "/OC /B BDC 0 0 50 50 re W n EMC P1", "0 0 50 50 re W n P1"},
	{"8.5.4", "a clip that is painted too", "/OC /B BDC 0 0 50 50 re W* S EMC P1", "0 0 50 50 re W* n P1"},
	{"8.5.4", "clips intersect, so both are needed", "/OC /B BDC 0 0 50 50 re W n EMC 5 5 9 9 re W n P1", "0 0 50 50 re W n 5 5 9 9 re W n P1"},
	{"8.5.4", "a clip of removed content that nothing is painted in", "q /OC /B BDC 0 0 50 50 re W n P1 EMC Q P2", "P2"},
	{"8.5.4", "a visible clip around nothing", "q 0 0 5 5 re W n /OC /B BDC P1 EMC Q P2", "P2"},
	{"8.5.3", "both halves of a painter are removed", "/OC /B BDC 1 1 m 9 9 l 9 1 l b EMC 1 1 8 8 re B", "1 1 8 8 re B"},

	// Graphics state (8.4)
	{"8.4.2", "q and Q do not care for sections", "/OC /B BDC q 1 g EMC P1 Q P2", "q 1 g P1 Q P2"},
	{"8.4.2", "q and Q around nothing", "q q /OC /B BDC P1 EMC Q 2 w Q P2", "P2"},
	{"8.4.2", "Q without q, and q without Q", "Q P1 /OC /B BDC P2 EMC q P3", "P1 P3"},
	{"8.4.2", "what is set after q is not needed after Q", "1 g q /OC /B BDC 0 g P1 EMC Q P2", "1 g P2"},
	{"8.4.4", "a matrix that something is painted in", "q 2 0 0 2 0 0 cm /OC /B BDC P1 EMC P2 Q", "q 2 0 0 2 0 0 cm P2 Q"},
	{"8.4.4", "matrices are not multiplied", "/OC /B BDC 1 0 0 1 9 9 cm P1 1 0 0 1 -9 -9 cm EMC P2", "1 0 0 1 9 9 cm 1 0 0 1 -9 -9 cm P2"},
	{"8.4.4", "a matrix behind the last mark", "P1 /OC /B BDC 2 0 0 2 0 0 cm P2 EMC", "P1"},
	{"8.5.3.3", "filling needs no line style", "/OC /B BDC 5 w [1] 0 d 1 J 2 j 3 M EMC P1", "P1"},
	{"8.5.3.2", "stroking does", "/OC /B BDC 5 w [1] 0 d 1 J 2 j 3 M P1 EMC 0 0 m 9 9 l S", "5 w [1] 0 d 1 J 2 j 3 M 0 0 m 9 9 l S"},
	{"8.4.3", "the last of two setters counts", "/OC /B BDC 5 w 6 w EMC 7 J 0 0 m 9 9 l S", "6 w 7 J 0 0 m 9 9 l S"},
	{"8.6.8", "a colour that another one replaces", "1 0 0 rg /OC /B BDC 0 1 0 rg P1 EMC P2", "0 1 0 rg P2"},
	{"8.6.8", "filling needs no stroking colour", "/OC /B BDC .5 g 1 0 0 RG P1 EMC P2", ".5 g P2"},
	{"8.6.8", "a colour is one of its space", "/OC /B BDC /Cut cs .5 scn P1 EMC P2", "/Cut cs .5 scn P2"},
	{"8.6.6.4", "a space of removed content alone", "/OC /B BDC /Cut cs .5 scn P1 EMC 0 g P2", "0 g P2"},
	{"8.7.3", "a pattern that something is painted with", "/OC /B BDC /Pattern cs /Dots scn EMC P1", "/Pattern cs /Dots scn P1"},
	{"8.7.3", "a pattern of removed content alone", "/OC /B BDC /Pattern cs /Dots scn P1 EMC 0 g P2", "0 g P2"},
	{"8.4.5", "gs that sets what is needed", "/OC /B BDC /Thick gs EMC 0 0 m 9 9 l S", "/Thick gs 0 0 m 9 9 l S"},
	{"8.4.5", "gs that sets what is not", "/OC /B BDC /Thick gs EMC P1", "P1"},
	{"8.4.5", "gs of whose entries only the width is needed", "/OC /B BDC /Lettered gs EMC 0 0 m 9 9 l S", "/Lettered_2 gs 0 0 m 9 9 l S"},
	{"8.4.5", "gs of which the font is needed", "/OC /B BDC /Lettered gs EMC BT (a) Tj ET", "/Lettered gs BT (a) Tj ET"},
	{"8.4.5", "gs with an entry that nobody knows", "/OC /B BDC /Odd gs EMC P1", "/Odd gs P1"},
	{"11.6.5.3", "a soft mask that something is painted through", "/OC /B BDC /Masked gs EMC P1", "/Masked gs P1"},
	{"11.6.5.3", "a soft mask that is taken off again", "/OC /B BDC /Masked gs P1 EMC /Unmasked gs P2", "/Unmasked gs P2"},
	{"11.6.5.3", "the group of a mask is drawn in the matrix of gs", "/OC /B BDC 2 0 0 2 0 0 cm /Masked gs EMC q P1 Q", "2 0 0 2 0 0 cm /Masked gs q P1 Q"},
	{"8.6.5.8, 10.6.2", "intent and flatness", "/OC /B BDC /Saturation ri 2 i P1 EMC P2", "/Saturation ri 2 i P2"},
	{"7.8.2", "BX and EX stay in balance, unknown operators go", "/OC /B BDC BX zz EX EMC P1", "BX EX P1"},

	// XObjects, shadings, inline images (8.7.4.2, 8.8 to 8.10)
	{"8.10.1", "a form within removed content", "/OC /B BDC /X Do EMC P1", "P1"},
	{"8.11.3.3", "a form that is removed", "/InB Do P1", "P1"},
	{"8.11.3.3", "an image that is removed", "P1 /ImageInB Do /Image Do", "P1 /Image Do"},
	{"8.11.3.3", "a form that is unwrapped changes itself", "/InC Do P1", "="},
	{"8.10.1", "a form of which a part is removed changes itself", "/Mixed Do", "="},
	{"8.10.1", "a form of which nothing is left", "/Nothing Do P1", "P1"},
	{"8.10.1", "a form that draws itself", "/Self Do /OC /B BDC P1 EMC", "/Self Do"},
	{"8.10.1", "a form inherits everything", "/OC /B BDC 3 w 1 0 0 rg EMC /X Do", "3 w 1 0 0 rg /X Do"},
	{"8.9.5", "an image needs no colour", "/OC /B BDC 1 0 0 rg EMC /Image Do", "/Image Do"},
	{"8.9.6.2", "an image mask is painted with the fill colour", "/OC /B BDC 1 0 0 rg 1 0 0 RG EMC /Mask Do", "1 0 0 rg /Mask Do"},
	{"8.7.4.2", "a shading within removed content", "/OC /B BDC /S sh EMC P1", "P1"},
	{"8.7.4.2", "a shading needs no colour", "/OC /B BDC 1 0 0 rg EMC /S sh", "/S sh"},
	{"8.9.7", "an inline image is one mark, whatever its data", "/OC /B BDC BI /W 4 /H 1 /CS /G /BPC 8 ID  EI  EI EMC P1", "P1"},
	{"8.9.7", "an inline image needs the state it is in", "/OC /B BDC 9 0 0 9 0 0 cm 3 w EMC BI /W 1 /H 1 /CS /G /BPC 8 ID x EI", "9 0 0 9 0 0 cm BI /W 1 /H 1 /CS /G /BPC 8 ID x EI"},

	// Text (9.3, 9.4)
	{"9.4.4", "visible text stands where it stood", "BT /F 10 Tf /OC /B BDC (Wai) Tj EMC (A) Tj ET", "BT /F 10 Tf [-1722] TJ (A) Tj ET"},
	{"9.4.4", "also where it is an array", "BT /F 10 Tf /OC /B BDC (Wai) Tj EMC [(A) 5 (V)] TJ ET", "BT /F 10 Tf [-1722] TJ [(A) 5 (V)] TJ ET"},
	{"9.4.2", "a move sets the position anew", "BT /F 10 Tf /OC /B BDC (Wai) Tj EMC 0 -9 Td (A) Tj ET", "BT /F 10 Tf 0 -9 Td (A) Tj ET"},
	{"9.4.2", "so does a matrix, which the moves before it do not matter to", "BT /F 10 Tf /OC /B BDC 5 5 Td (W) Tj EMC 1 0 0 1 9 9 Tm (A) Tj ET", "BT /F 10 Tf 1 0 0 1 9 9 Tm (A) Tj ET"},
	{"9.4.1", "nothing follows in the text object", "BT /F 10 Tf (A) Tj /OC /B BDC (W) Tj EMC ET", "BT /F 10 Tf (A) Tj ET"},
	{"9.4.2", "hidden moves apply", "BT /F 10 Tf /OC /B BDC 5 5 Td (W) Tj EMC 1 1 Td (A) Tj ET", "BT /F 10 Tf 5 5 Td 1 1 Td (A) Tj ET"},
	{"9.4.3", "the next line begins all the same", "BT /F 10 Tf 9 TL /OC /B BDC (a) ' EMC (A) Tj ET", "BT /F 10 Tf 9 TL T* [-556] TJ (A) Tj ET"},
	{"9.4.3", "spacing that a show operator sets outlives it", "BT /F 10 Tf 9 TL /OC /B BDC 3 1 (a a) \" EMC (A) ' ET", "BT /F 10 Tf 9 TL 3 Tw 1 Tc T* (A) ' ET"},
	{"9.4.2", "a move that sets the leading too", "BT /F 9 Tf /OC /B BDC 0 -8 TD EMC 1 0 0 1 5 5 Tm (a) Tj T* (b) Tj ET", "BT /F 9 Tf 0 -8 TD 1 0 0 1 5 5 Tm (a) Tj T* (b) Tj ET"},
	{"9.3.2, 9.3.3", "spacing counts", "BT /F 10 Tf 1 Tc 2 Tw /OC /B BDC (a a) Tj EMC (A) Tj ET", "BT /F 10 Tf 1 Tc 2 Tw [-1890] TJ (A) Tj ET"},
	{"9.4.3", "numbers of an array count", "BT /F 10 Tf /OC /B BDC [(a) 56 (a)] TJ EMC (A) Tj ET", "BT /F 10 Tf [-1056] TJ (A) Tj ET"},
	{"9.4.4", "in another font and size", "BT /G 20 Tf /OC /B BDC (ab) Tj EMC /F 10 Tf (A) Tj ET", "BT /F 10 Tf [-1600] TJ (A) Tj ET"},
	{"9.3.4", "in another scale", "BT /F 10 Tf /OC /B BDC (a) Tj EMC 200 Tz (A) Tj ET", "BT /F 10 Tf 200 Tz [-278] TJ (A) Tj ET"},
	{"9.8.1", "a code without a width has the one of the descriptor", "BT /G 10 Tf /OC /B BDC (z) Tj EMC (a) Tj ET", "BT /G 10 Tf [-250] TJ (a) Tj ET"},
	{"9.6.5", "widths of a Type 3 font go through its matrix", "BT /T 7 Tf /OC /B BDC (ab) Tj EMC (a) Tj ET", "BT /T 7 Tf [-1500] TJ (a) Tj ET"},
	{"9.7.4.3", "vertical writing moves down", "BT /V 10 Tf /OC /B BDC <00010002> Tj EMC <0001> Tj ET", "BT /V 10 Tf [2000] TJ <0001> Tj ET"},
	{"9.7.4.3", "which horizontal text cannot express", "BT /V 10 Tf /OC /B BDC <0001> Tj EMC /F 10 Tf (A) Tj ET", "BT /V 10 Tf [1000] TJ /F 10 Tf (A) Tj ET"},
	{"9.4.4", "nor text of size 0", "BT /F 0 Tf 2 Tc /OC /B BDC (a) Tj EMC (A) Tj ET", "BT 2 Tc /F 1 Tf [-2000] TJ /F 0 Tf (A) Tj ET"},
	{"9.4.4", "unknown widths do not matter where nothing follows on the line", "BT /U 10 Tf /OC /B BDC (ab) Tj EMC 0 -9 Td (ab) Tj ET", "BT /U 10 Tf 0 -9 Td (ab) Tj ET"},
	{"9.3.1", "text state outlives the text object", "/OC /B BDC BT /F 10 Tf 3 Ts ET EMC BT (A) Tj ET", "/F 10 Tf 3 Ts BT (A) Tj ET"},
	{"8.4.1", "but not Q", "q /OC /B BDC BT /F 10 Tf (a) Tj ET EMC Q BT /G 9 Tf (a) Tj ET", "BT /G 9 Tf (a) Tj ET"},
	{"14.6.1", "a section may end within a text object", "/OC /B BDC BT /F 10 Tf (a) Tj EMC (A) Tj ET", "BT /F 10 Tf [-556] TJ (A) Tj ET"},
	{"14.6.1", "sections within a text object", "BT /OC /A BDC /F 10 Tf (A) Tj EMC /OC /B BDC (a) Tj EMC ET", "BT /OC /A BDC /F 10 Tf (A) Tj EMC ET"},
	{"9.3.6", "invisible text moves on too", "BT /F 10 Tf 3 Tr /OC /B BDC (a) Tj EMC 0 Tr (A) Tj ET", "BT /F 10 Tf 0 Tr [-556] TJ (A) Tj ET"},
	{"9.3.6", "text that clips is kept as a clip", "/OC /B BDC BT /F 60 Tf 5 Tr (A) Tj ET EMC P1", "BT /F 60 Tf 7 Tr (A) Tj ET P1"},
	{"9.3.6", "unless nothing is painted in it", "q /OC /B BDC BT /F 60 Tf 7 Tr (A) Tj ET EMC Q P1", "P1"},
	{"9.3.6", "glyphs of a Type 3 font never clip", "/OC /B BDC BT /T 9 Tf 7 Tr (a) Tj ET EMC P1", "P1"},
	{"9.6.5", "they inherit what they do not set", "/OC /B BDC 3 w EMC BT /T 9 Tf (a) Tj ET", "3 w BT /T 9 Tf (a) Tj ET"},
	{"9.3.6", "outlined text needs a line style", "/OC /B BDC 3 w 1 0 0 rg EMC BT /F 9 Tf 1 Tr (a) Tj ET", "3 w BT /F 9 Tf 1 Tr (a) Tj ET"},
	{"8.10.1", "a form inherits the font", "BT /G 10 Tf ET /Text Do /OC /B BDC P1 EMC", "/G 10 Tf /Text Do"},
}

// byName decides by the names of groups, and removes red strokes where red says
// so.
type byName struct {
	src  pdf.Objects
	keep bool // everything
	red  bool
}

func (d byName) Decide(oc pdf.Object) (Decision, pdf.Object) {
	group := pdf.AsDict(d.src, oc)
	name, _ := pdf.AsString(d.src, group["Name"])
	switch {
	case pdf.AsName(d.src, group["Type"]) != "OCG":
		return Untouched, oc
	case name == "B" && !d.keep:
		return Remove, nil
	case name == "C" && !d.keep:
		return Unwrap, nil
	}
	return Keep, oc
}

func (d byName) RemovedStyles() func(paint.Style) bool {
	if !d.red {
		return nil
	}
	return func(s paint.Style) bool {
		return s.Kind == paint.Stroke && s.Colour == paint.Colour{R: 255, Known: true}
	}
}

// document is a page with some content; the document of a row.
func document(content string) []byte {
	return testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B", "C"}, Objects: streamObjects,
		Pages: []testpdf.Page{{Content: content, Resources: "<<" + streamResources + ">>"}},
	})
}

// rewritten filters a document of one page. page gives its content in the output.
func rewritten(tb testing.TB, file []byte, decide byName, opt Options) (out []byte, page string, res *Result, err error) {
	tb.Helper()
	ctx := context.Background()
	doc, err := pdf.OpenBytes(ctx, file, pdf.Options{})
	if err != nil {
		tb.Fatal(err)
	}
	decide.src = doc
	edit := doc.Edit()
	if res, err = Run(ctx, edit, decide, opt); err != nil {
		return nil, "", nil, err
	}
	var b bytes.Buffer
	if _, err := edit.Write(ctx, &b); err != nil {
		tb.Fatal(err)
	}
	if doc, err = pdf.OpenBytes(ctx, b.Bytes(), pdf.Options{}); err != nil {
		tb.Fatal(err)
	}
	c, err := pdf.PageContent(context.Background(), doc, doc.Pages()[0].Dict, pdf.Limits{})
	if err != nil {
		tb.Fatal(err)
	}
	return b.Bytes(), string(c.Data), res, nil
}

func fold(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestRun(t *testing.T) {
	for _, r := range rows {
		t.Run(r.reason, func(t *testing.T) {
			if r.clause == "" {
				t.Fatal("the row names no clause")
			}
			_, got, _, err := rewritten(t, document(r.content), byName{}, Options{})
			if err != nil {
				t.Fatal(err)
			}
			was := testpdf.Marks(r.content)
			if r.want == "=" {
				if got != was {
					t.Errorf("content changed (%s):\n got %q\nwant %q", r.clause, got, was)
				}
			} else if diff := cmp.Diff(fold(testpdf.Marks(r.want)), fold(got)); diff != "" {
				t.Errorf("%s (%s): -want +got\n%s", r.content, r.clause, diff)
			}
		})
	}
}

// checkProperties: rewriting twice is rewriting once, and keeping everything
// changes nothing.
func checkProperties(t *testing.T, content string) {
	t.Helper()
	file := document(content)
	once, first, _, err := rewritten(t, file, byName{}, Options{})
	if err == nil {
		_, second, res, err := rewritten(t, once, byName{}, Options{})
		switch {
		case err != nil:
			t.Errorf("%q: what was rewritten: %v", content, err)
		case first != second:
			t.Errorf("%q: rewritten twice:\n got %q\nwant %q", content, second, first)
		case res.Pages[0].Removed > 0:
			t.Errorf("%q: %d marks are removed from what was rewritten", content, res.Pages[0].Removed)
		}
	}
	_, all, res, err := rewritten(t, file, byName{keep: true}, Options{})
	if err != nil {
		t.Errorf("%q: with everything kept: %v", content, err)
	} else if was := testpdf.Marks(content); all != was || res.Pages[0].Removed > 0 {
		t.Errorf("%q: with everything kept, %d removed:\n got %q\nwant %q", content, res.Pages[0].Removed, all, was)
	}
}

func TestRunProperties(t *testing.T) {
	for _, r := range rows {
		checkProperties(t, r.content)
	}
}

func FuzzRun(f *testing.F) {
	for _, r := range rows {
		f.Add(r.content)
	}
	f.Fuzz(checkProperties)
}

// TestRunForms: forms, cells, glyphs and the groups of masks are filtered as far as
// something in the output uses them, and so are the names in resources.
func TestRunForms(t *testing.T) {
	for _, c := range []struct {
		reason, content string
		category, name  pdf.Name // of the resource
		want            string   // its content; "" where it is gone
	}{
		{"a form loses what is removed", "/Mixed Do", "XObject", "Mixed", "P1"},
		{"a form that is not drawn is gone", "/OC /B BDC /Mixed Do EMC P1", "XObject", "Mixed", ""},
		{"a form that loses nothing", "/X Do /OC /B BDC P1 EMC", "XObject", "X", "P1"},
		{"a form within itself", "/Self Do", "XObject", "Self", "P1 /Self Do"},
		{"text that a form removes is measured in the font that it inherits", "BT /G 10 Tf ET /Text Do", "XObject", "Text", "BT [-800] TJ (a) Tj ET"},
		{"in another one it is another form", "BT /G 10 Tf ET /Text Do BT /F 10 Tf ET /Text Do", "XObject", "Text_2", "BT [-1112] TJ (a) Tj ET"},
		{"a cell of a pattern", "/Pattern cs /Dots scn P1", "Pattern", "Dots", "1 1 2 2 re f"},
		{"a cell that nothing is painted with", "/OC /B BDC /Pattern cs /Dots scn P1 EMC", "Pattern", "Dots", ""},
		{"a font of removed text alone", "/OC /B BDC BT /G 9 Tf (a) Tj ET EMC P1", "Font", "G", ""},
		{"a graphics state of removed content alone", "/OC /B BDC /Masked gs P1 EMC", "ExtGState", "Masked", ""},
		{"a group that is removed", "/OC /B BDC P1 EMC P2", "Properties", "B", ""},
	} {
		t.Run(c.reason, func(t *testing.T) {
			out, _, _, err := rewritten(t, document(c.content), byName{}, Options{})
			if err != nil {
				t.Fatal(err)
			}
			doc, err := pdf.OpenBytes(context.Background(), out, pdf.Options{})
			if err != nil {
				t.Fatal(err)
			}
			all := pdf.AsDict(doc, doc.Pages()[0].Resources)
			o := pdf.AsDict(doc, all[c.category])[c.name]
			if c.want == "" {
				if o != nil {
					t.Errorf("%s is still there", c.name)
				}
				return
			}
			st := pdf.AsStream(doc, o)
			if st == nil {
				t.Fatalf("%s is no stream but %v", c.name, o)
			}
			data, err := pdf.Decode(context.Background(), doc, st, 1<<20)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(fold(testpdf.Marks(c.want)), fold(string(data))); diff != "" {
				t.Errorf("-want +got\n%s", diff)
			}
		})
	}
}

// TestRunResult: marks, residue, identifiers and missing names are told.
func TestRunResult(t *testing.T) {
	const content = "/OC /B BDC 0 0 9 9 re W n BT /F 9 Tf 7 Tr (a) Tj ET /Cut cs .5 scn P1 EMC P2 /Gone Do" +
		" /P <</MCID 1>> BDC P3 /OC /B BDC P4 EMC EMC /P <</MCID 2>> BDC /OC /B BDC P5 EMC EMC /Mixed Do"
	_, _, res, err := rewritten(t, document(content), byName{}, Options{AcceptDamage: true}) // Gone is missing
	if err != nil {
		t.Fatal(err)
	}
	if got, want := res.Pages, []Page{{Number: 1, Kept: 4, Removed: 5}}; !cmp.Equal(got, want) {
		t.Errorf("pages %v, want %v", got, want)
	}
	kinds := ""
	for _, r := range res.Residue {
		kinds += fmt.Sprintf("%d %v %s, ", r.Page, r.Kind, r.Name)
	}
	if want := "1 clip , 1 state F, 1 text clip , 1 state Cut, "; kinds != want {
		t.Errorf("residue %q, want %q", kinds, want)
	}
	if want := []Tagged{{Stream: testpdf.PageObject, Parents: -1, Removed: []int{2}, Reduced: []int{1}}}; !cmp.Equal(res.Tagged, want) {
		t.Errorf("tagged %v, want %v", res.Tagged, want)
	}
	if len(res.Missing) != 1 || len(res.Reduced) != 1 || !res.Reduced[52] {
		t.Errorf("missing %v, reduced %v", res.Missing, res.Reduced)
	}
}

func TestRunUnknownWidth(t *testing.T) {
	_, _, _, err := rewritten(t, document("BT /U 10 Tf /OC /B BDC (ab) Tj EMC (ab) Tj ET"), byName{}, Options{})
	var unknown *failure.UnknownWidthError
	if !errors.As(err, &unknown) || unknown.Font != "/U" {
		t.Errorf("%v", err)
	}
}

// TestRunOptions: state may be kept, and sections removed that refer to nothing.
func TestRunOptions(t *testing.T) {
	for _, c := range []struct {
		opt           Options
		content, want string
	}{
		{Options{KeepState: true}, "/OC /B BDC 1 0 0 rg 2 w P1 EMC 0 g P2", "1 0 0 rg 2 w 0 g P2"},
		{Options{KeepState: true}, "BT /F 9 Tf /OC /B BDC (a) Tj EMC /F 18 Tf (a) Tj ET", "BT /F 9 Tf [-556] TJ /F 18 Tf (a) Tj ET"},
		{Options{Flatten: true}, "/OC /Nobody BDC P1 EMC /OC /Note BDC P2 EMC /T BMC P3 EMC", "P1 P2 /T BMC P3 EMC"},
		{Options{}, "/OC /Nobody BDC P1 EMC", "/OC /Nobody BDC P1 EMC"},
	} {
		_, got, _, err := rewritten(t, document(c.content), byName{}, c.opt)
		if err != nil || fold(got) != testpdf.Marks(c.want) {
			t.Errorf("%+v: %s gives %q, %v, want %q", c.opt, c.content, fold(got), err, c.want)
		}
	}
}

// TestRunStyles: marks are removed for how they are painted, in forms by the state
// that these inherit.
func TestRunStyles(t *testing.T) {
	for _, c := range []struct{ reason, content, want string }{
		{"a red line", "1 0 0 RG 0 0 m 9 9 l S 0 G 1 1 m 8 8 l S", "0 G 1 1 m 8 8 l S"},
		{"no line is red", "0 G 0 0 m 9 9 l S", "="},
		{"the fill is kept", "1 0 0 RG 0 0 9 9 re B", "0 0 9 9 re f"},
		{"what a line clips is still clipped", "1 0 0 RG 0 0 9 9 re W S P1", "0 0 9 9 re W n P1"},
		{"with what is in a layer", "1 0 0 RG /OC /B BDC 0 0 m 9 9 l S EMC 0 0 m 9 9 l S P1", "P1"},
	} {
		_, got, _, err := rewritten(t, document(c.content), byName{red: true}, Options{})
		if c.want == "=" {
			c.want = c.content
		}
		if err != nil || fold(got) != testpdf.Marks(c.want) {
			t.Errorf("%s: %q, %v, want %q", c.reason, fold(got), err, c.want)
		}
	}
}

// seen is an observer that writes down what it sees.
type seen struct {
	lock      sync.Mutex
	read      map[int]string
	filtered  []string
	abandoned bool
}

func (s *seen) PageRead(p pdf.Page, content []byte) {
	s.lock.Lock()
	defer s.lock.Unlock()
	s.read[p.Number] += string(content)
}

func (s *seen) Abandoned() { s.abandoned = true }

func (s *seen) PageFiltered(p pdf.Page, content []byte) {
	s.filtered = append(s.filtered, fmt.Sprintf("%d %s", p.Number, fold(string(content))))
}

// TestRunObserver: pages are seen before and after, the third being the first once
// more.
func TestRunObserver(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"},
		Pages:  []testpdf.Page{{Content: "/OC /B BDC P1 EMC 1 w"}, {Content: "2 w"}},
		Objects: []testpdf.Object{
			testpdf.Obj(testpdf.PagesObject, "<</Type /Pages /Count 3 /Kids [3 0 R 1100 0 R 3 0 R]>>"),
		},
	})
	s := &seen{read: map[int]string{}}
	if _, _, _, err := rewritten(t, file, byName{}, Options{Observer: s}); err != nil {
		t.Fatal(err)
	}
	first := testpdf.Marks("/OC /B BDC P1 EMC 1 w") // page 3 is a copy of page 1
	if want := map[int]string{1: first, 2: "2 w", 3: first}; !cmp.Equal(s.read, want) {
		t.Errorf("read %v, want %v", s.read, want)
	}
	if want := []string{"1 ", "2 2 w", "3 "}; !cmp.Equal(s.filtered, want) {
		t.Errorf("filtered %q, want %q", s.filtered, want)
	}
}

// TestRunAbandoned: where Run fails it says so before it waits for those who read.
func TestRunAbandoned(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: "/OC /B BDC P1 EMC nonsense"}}})
	s := &seen{read: map[int]string{}}
	var unreadable *failure.UnreadableError
	if _, _, _, err := rewritten(t, file, byName{}, Options{Observer: s}); !errors.As(err, &unreadable) || !s.abandoned {
		t.Errorf("error %v, abandoned %t", err, s.abandoned)
	}
}
