package oracle

import (
	"image"
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

var gapCases = []drawn{
	{name: testpdf.FeatureMembership + " AllOn", content: "/OC /M30 BDC P1 EMC P2", want: "P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs [5 0 R 6 0 R] /P /AllOn>>")}},
	{name: testpdf.FeatureMembership + " AnyOff", content: "/OC /M30 BDC P1 EMC P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs [5 0 R 6 0 R] /P /AnyOff>>")}},
	{name: testpdf.FeatureMembership + " AllOff", content: "/OC /M30 BDC P1 EMC P2", want: "P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs [5 0 R 6 0 R] /P /AllOff>>")}},
	{name: testpdf.FeatureMembership + " AnyOn", content: "/OC /M30 BDC P1 EMC P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs [5 0 R 6 0 R] /P /AnyOn>>")}},
	{name: testpdf.FeatureMembership + " AllOn on", content: "/OC /M30 BDC P1 EMC P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs [5 0 R 7 0 R] /P /AllOn>>")}},
	{name: testpdf.FeatureMembership + " AnyOff on", content: "/OC /M30 BDC P1 EMC P2", want: "P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs [5 0 R 7 0 R] /P /AnyOff>>")}},
	{name: testpdf.FeatureMembershipOne + " AllOff", content: "/OC /M30 BDC P1 EMC P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs 6 0 R /P /AllOff>>")}},
	{name: testpdf.FeatureMembershipOne + " AnyOff", content: "/OC /M30 BDC P1 EMC P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs 6 0 R /P /AnyOff>>")}},
	{name: testpdf.FeatureMembershipOne + " AllOn", content: "/OC /M30 BDC P1 EMC P2", want: "P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs 6 0 R /P /AllOn>>")}},
	{name: testpdf.FeatureMembershipEmpty + " AnyOff", content: "/OC /M30 BDC P1 EMC P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs [] /P /AnyOff>>")}},
	{name: testpdf.FeatureMembershipEmpty + " null", content: "/OC /M30 BDC P1 EMC P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD /OCGs [null]>>")}},
	{name: testpdf.FeatureMembershipEmpty + " absent", content: "/OC /M30 BDC P1 EMC P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCMD>>")}},
	{name: testpdf.FeatureExpression + " false", content: "/OC /M30 BDC P1 EMC P3", want: "P3", objects: []testpdf.Object{
		testpdf.Obj(30, "<</Type /OCMD /VE [/And 5 0 R 6 0 R]>>")}},
	{name: testpdf.FeatureExpression + " true", content: "/OC /M30 BDC P1 EMC P3", want: "P1 P3", objects: []testpdf.Object{
		testpdf.Obj(30, "<</Type /OCMD /VE [/And 5 0 R [/Not 6 0 R]]>>")}},
	{name: testpdf.FeatureDirectOCMD, content: "/OC /D BDC P1 EMC P2", want: "P2",
		properties: "/D <</Type /OCMD /OCGs [6 0 R]>>"},
	{name: testpdf.FeatureDirectOCMD + " on a form", content: "/X30 Do P2", want: "P2",
		objects: []testpdf.Object{testpdf.Form(30, "/OC <</Type /OCMD /OCGs 6 0 R>>", "P1")}},
	{name: testpdf.FeatureUsage, content: "/OC /A BDC P1 EMC P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Obj(5, "<</Type /OCG /Name (A) /Usage <</View <</ViewState /OFF>> /Print <</PrintState /OFF>>>>>>")}},
	{name: testpdf.FeatureUsage + " ON", content: "/OC /B BDC P1 EMC P2", want: "P2",
		objects: []testpdf.Object{testpdf.Obj(6, "<</Type /OCG /Name (B) /Usage <</View <</ViewState /ON>>>>>>")}},
	{name: testpdf.FeatureTextClip, content: "/OC /B BDC BT /F 60 Tf 5 Tr 5 20 Td (AV) Tj ET EMC 0 0 99 99 re f", want: "BT /F 60 Tf 7 Tr 5 20 Td (AV) Tj ET 0 0 99 99 re f"},
	{name: testpdf.FeaturePatternText, content: "/OC /B BDC BT /Pattern cs /PT scn /F 20 Tf 5 50 Td (aa) Tj ET EMC P1 0 g P2", want: "/Pattern cs /PT scn P1 0 g P2"},
	{name: testpdf.FeatureSoftMaskHidden, content: "/OC /B BDC /S gs EMC P1 P2", want: "/S gs P1 P2"},
	{name: testpdf.FeatureFormUnclosed, content: "/X30 Do P2", want: "P1 P2",
		objects: []testpdf.Object{testpdf.Form(30, "/Resources <</Properties <</B 6 0 R>>>>", "P1 /OC /B BDC P3")}},
	{name: testpdf.FeatureExtraEMC, content: "/OC /B BDC /X30 Do P2 EMC P3", want: "P3",
		objects: []testpdf.Object{testpdf.Form(30, "", "EMC P1")}},
	{name: testpdf.FeatureExtraEMC + " on the page", content: "EMC /OC /B BDC P1 EMC EMC P3", want: "P3"},
	{name: testpdf.FeatureUnclosed, content: "P3 /OC /B BDC P2", want: "P3"},
	{name: testpdf.FeatureFewOperands, content: "/OC /B BDC /Span 3 BDC P1 EMC P2 EMC P3", want: "P3"},
	{name: testpdf.FeatureFewOperands + " none", content: "/OC /B BDC BDC P1 EMC P2 EMC P3", want: "P3"},
	{name: testpdf.FeatureFewOperands + " one", content: "/OC /B BDC /OC BDC P1 EMC P2 EMC P3", want: "P3"},
	{name: testpdf.FeatureUnderflow, content: "Q /OC /B BDC Q P1 EMC P2", want: "P2"},
	{name: testpdf.FeatureUnknownProperty, content: "/OC /B BDC P1 /OC /ZZ BDC P2 EMC P3 EMC P4", want: "P4"},
	{name: testpdf.FeatureHiddenAdvance, content: "BT /F 20 Tf 5 50 Td /OC /B BDC (aaW) Tj EMC (n) Tj ET", want: "BT /F 20 Tf 46.12 50 Td (n) Tj ET"},
	{name: testpdf.FeatureHiddenAdvance + " in Tz", content: "BT /F 20 Tf 50 Tz 2 Tc 3 Tw 5 50 Td /OC /B BDC (a a) Tj [-500 (W)] TJ EMC (n) Tj ET", want: "BT /F 20 Tf 50 Tz 2 Tc 3 Tw 38.84 50 Td (n) Tj ET"},
	{name: testpdf.FeatureTextCrossing, content: "BT /F 20 Tf 5 50 Td /OC /B BDC (aaW) Tj EMC ET P1", want: "P1"},
	{name: testpdf.FeatureTextCrossing + " around BT", content: "/OC /B BDC BT /F 20 Tf EMC 5 50 Td (aaW) Tj ET P1", want: "BT /F 20 Tf 5 50 Td (aaW) Tj ET P1"},
	{name: testpdf.FeatureFormTextState, content: "/F 20 Tf 50 Tz 10 TL 5 Ts /X30 Do", want: "BT /F 20 Tf 50 Tz 10 TL 5 Ts 5 50 Td (aaW) Tj T* (n) Tj ET",
		objects: []testpdf.Object{testpdf.Form(30, "/Resources <</Font <</F 29 0 R>>>>", "BT 5 50 Td (aaW) Tj T* (n) Tj ET")}},
	{name: testpdf.FeaturePatternOC, content: "/Pattern cs /PO scn 0 0 100 100 re f", want: "/Pattern cs /PT scn 0 0 100 100 re f"},
	{name: testpdf.FeatureMaskOC, content: "/T gs P1 P2", want: "/S gs P1 P2"},
	{name: testpdf.FeatureType3, content: "BT /T3 10 Tf 5 50 Td (aa) Tj ET P1", want: "BT /T4 10 Tf 5 50 Td (aa) Tj ET P1"},
	{name: testpdf.FeatureAnnotationOC, content: "P3", want: "P1 P3", annots: "[31 0 R 32 0 R]", objects: annotations()},
	{name: appearanceOC, content: "P3", want: "P3", annots: "[31 0 R]", objects: []testpdf.Object{
		testpdf.Form(33, "/OC 6 0 R", "P1"), testpdf.Obj(31, "<</Type /Annot /Subtype /Square /F 4 /Rect [0 0 100 100] /AP <</N 33 0 R>>>>")}},
	{name: testpdf.FeatureHiddenClip, content: "/OC /B BDC 10 10 15 5 re W f EMC P1 P2", want: "10 10 15 5 re W n P1 P2"},
	{name: testpdf.FeatureClipPaint, content: "10 10 15 5 re W f P1 P2", want: "10 10 15 5 re f 10 10 15 5 re W n P1 P2"},
	{name: testpdf.FeatureFormInherits, content: "/X30 Do P2", want: "P2",
		objects: []testpdf.Object{testpdf.Form(30, "", "/OC /B BDC P1 EMC")}},
	{name: testpdf.FeatureImageOC, content: "q 50 0 0 50 0 50 cm /X30 Do /X31 Do Q P2", want: "q 50 0 0 50 0 50 cm /X31 Do Q P2",
		objects: []testpdf.Object{testpdf.Stream(30, "/Type /XObject /Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace /DeviceGray /OC 6 0 R", "\x00"),
			testpdf.Stream(31, "/Type /XObject /Subtype /Image /Width 1 /Height 1 /BitsPerComponent 8 /ColorSpace /DeviceGray", "\x80")}},
	{name: testpdf.FeatureInlineEI, content: "/OC /B BDC q 50 0 0 50 0 50 cm BI /W 1 /H 4 /BPC 8 /CS /G ID  EI EI Q EMC P2", want: "P2"},
	{name: testpdf.FeatureShading, content: "/OC /B BDC q 0 0 50 50 re W n /SH sh Q EMC P2", want: "P2"},
	{name: unlistedGroup, content: "/OC /M30 BDC P1 EMC P2", want: "P2",
		objects: []testpdf.Object{testpdf.Obj(30, "<</Type /OCG /Name (U)>>")}},
}

const gapResources = " /Pattern <</PT 40 0 R /PO 41 0 R>> /ExtGState <</S 42 0 R /T 43 0 R>> /Shading <</SH 44 0 R>> "

func gapObjects() []testpdf.Object {
	return []testpdf.Object{
		testpdf.Stream(40, "/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 10 10] /XStep 10 /YStep 10 /Resources <<>>", "1 0 0 rg 0 0 5 5 re f"),
		testpdf.Stream(41, "/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 10 10] /XStep 10 /YStep 10 /Resources <</Properties <</B 6 0 R>>>>", "1 0 0 rg 0 0 5 5 re f /OC /B BDC 0 0 1 rg 5 5 4 4 re f EMC"),
		testpdf.Obj(42, "<</SMask <</Type /Mask /S /Luminosity /G 45 0 R>>>>"),
		testpdf.Obj(43, "<</SMask <</Type /Mask /S /Luminosity /G 46 0 R>>>>"),
		testpdf.Obj(44, "<</ShadingType 2 /ColorSpace /DeviceRGB /Coords [0 0 100 0] /Function <</FunctionType 2 /Domain [0 1] /C0 [1 0 0] /C1 [0 0 1] /N 1>>>>"),
		testpdf.Form(45, "/Group <</S /Transparency /CS /DeviceGray>> /Resources <<>>", "1 g 0 0 15 100 re f 0.5 g 15 0 8 100 re f"),
		testpdf.Form(46, "/Group <</S /Transparency /CS /DeviceGray>> /Resources <</Properties <</B 6 0 R>>>>", "1 g 0 0 15 100 re f 0.5 g 15 0 8 100 re f /OC /B BDC 1 g 15 0 8 100 re f EMC"),
		testpdf.Obj(47, "<</Type /Font /Subtype /Type3 /FontBBox [0 0 1 1] /FontMatrix [1 0 0 1 0 0] /FirstChar 97 /LastChar 97 /Widths [1] /Encoding <</Type /Encoding /Differences [97 /a]>> /CharProcs <</a 49 0 R>> /Resources <</Properties <</B 6 0 R>>>>>>"),
		testpdf.Obj(48, "<</Type /Font /Subtype /Type3 /FontBBox [0 0 1 1] /FontMatrix [1 0 0 1 0 0] /FirstChar 97 /LastChar 97 /Widths [1] /Encoding <</Type /Encoding /Differences [97 /a]>> /CharProcs <</a 50 0 R>> /Resources <<>>>>"),
		testpdf.Stream(49, "", "1 0 d0 0 0 .4 .4 re f /OC /B BDC .4 .4 .4 .4 re f EMC"),
		testpdf.Stream(50, "", "1 0 d0 0 0 .4 .4 re f"),
	}
}

// TestGaps holds the list of what renderers do not implement to what they draw:
// a case comes out otherwise than it should exactly where its feature is listed
// for the renderer, in the reference copy or, where the list says so, in
// originals alone.
func TestGaps(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	for _, r := range Renderers(t) {
		seen := map[string]bool{}
		for _, c := range gapCases {
			plain, orig, ref := c.files(t)
			want := r.first(t, plain)
			diff := testpdf.Compare(want, r.first(t, ref))
			copied := diff.Max > smoothing
			original := testpdf.Compare(want, r.first(t, orig)).Max > smoothing
			gap, listed := gapOf(r.Name, c.name)
			switch {
			case copied && (!listed || gap.Original):
				t.Errorf("%s: %s: the reference copy is drawn otherwise than the standard says: %v", r.Name, c.name, diff)
			case original && !copied && !listed && !slices.Contains(stricter, c.name):
				t.Errorf("%s: %s: the original is drawn otherwise than the standard says", r.Name, c.name)
			}
			if copied || original {
				seen[gap.Feature] = true
			}
		}
		for _, g := range testpdf.Gaps(r.Name) {
			if tried(g.Feature) && !seen[g.Feature] {
				t.Errorf("%s: %s: no case shows this gap any more (%s)", r.Name, g.Feature, g.Reason)
			}
		}
	}
}

// smoothing is how far the edges of things may differ, in levels of 255, where a
// form is drawn in place of its content.
const smoothing = 32

// stricter are cases in which more is hidden here than in viewers, on purpose:
// no renderer looks at them, and whoever chooses a layer means them too.
var stricter = []string{unlistedGroup, appearanceOC}

const (
	unlistedGroup = "unlisted group"
	appearanceOC  = "appearance with OC"
)

// tried tells whether a case tries a feature.
func tried(feature string) bool {
	for _, c := range gapCases {
		if strings.HasPrefix(c.name, feature) {
			return true
		}
	}
	return false
}

// gapOf is the gap of a renderer that a case tries: of several features that
// its name begins with the longest.
func gapOf(renderer, name string) (found testpdf.Gap, ok bool) {
	for _, g := range testpdf.Gaps(renderer) {
		if strings.HasPrefix(name, g.Feature) && len(g.Feature) > len(found.Feature) {
			found, ok = g, true
		}
	}
	return found, ok
}

// files are a case as plain content, as it stands, and as a reference copy with
// the layer B off.
func (c drawn) files(t *testing.T) (plain, orig, ref []byte) {
	t.Helper()
	resources := "<</Font <</F 29 0 R /T3 47 0 R /T4 48 0 R>> /Properties <</A 5 0 R /B 6 0 R /C 7 0 R /M30 30 0 R /M31 31 0 R " + c.properties +
		">> /XObject <</X30 30 0 R /X31 31 0 R>>" + gapResources + ">>"
	entries := ""
	if c.annots != "" {
		entries = "/Annots " + c.annots
	}
	objects := append(gapObjects(), c.objects...)
	orig = testpdf.Build(testpdf.Doc{Groups: []string{"A", "B", "C"}, Objects: objects,
		OCProperties: "<</OCGs [5 0 R 6 0 R 7 0 R] /D <</OFF [6 0 R]>>>>",
		Pages:        []testpdf.Page{{Content: c.content, Resources: resources, Entries: entries}}})
	plain = testpdf.Build(testpdf.Doc{Objects: append(objects, testpdf.Obj(6, "null")),
		Pages: []testpdf.Page{{Content: c.want, Resources: resources}}})
	ref, err := testpdf.Reference(orig, chosen)
	if err != nil {
		t.Fatal(err)
	}
	return plain, orig, ref
}

// first draws the first page.
func (r Renderer) first(t *testing.T, file []byte) *image.RGBA {
	t.Helper()
	pages, err := r.Draw(file, 150)
	if err != nil || len(pages) == 0 {
		t.Fatalf("%s: %v", r.Name, err)
	}
	return pages[0]
}
