package layers

import (
	"fmt"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// carrier is a place beside the content of pages in which something of the
// layer B, or the whole drawing, may stand. Every marker is TRACE.
type carrier struct {
	planted
	// warning is part of the warning that tells of it, "" where there is none.
	warning string
	// kept stands beside it and stays.
	kept string
}

// inLayer is content of B.
const inLayer = "P1 /OC /B BDC BT /F 9 Tf (TRACE) Tj ET EMC"

// ofB are resources in which B has its name.
const ofB = "/Resources <</Font <</F 29 0 R>> /Properties <</B 6 0 R>>>>"

// carriers lists them, each with the clause that has it.
func carriers() []carrier {
	const attached, private, views = "attached files", "private data", "which may show every size"
	file := func(num int) []testpdf.Object {
		return []testpdf.Object{
			testpdf.Obj(num, fmt.Sprintf("<</Type /Filespec /F (TRACE) /EF <</F %d 0 R>>>>", num+1)),
			testpdf.Stream(num+1, "/Type /EmbeddedFile", "TRACE"),
		}
	}
	objects := func(lists ...[]testpdf.Object) (all []testpdf.Object) {
		for _, l := range lists {
			all = append(all, l...)
		}
		return all
	}
	one := func(num int, body string) []testpdf.Object { return []testpdf.Object{testpdf.Obj(num, body)} }
	form := func(num int, entries, content string) []testpdf.Object {
		return []testpdf.Object{testpdf.Form(num, entries, content)}
	}
	in := func(category, entry string) map[string]string { return map[string]string{category: entry} }
	return []carrier{
		// 7.11.4, 14.13 of ISO 32000-2
		{planted{name: "embedded files", catalog: "/Names <</EmbeddedFiles <</Names [(TRACE) 200 0 R]>> /Dests <</Names [(KEPT) [3 0 R /Fit]]>>>>",
			objects: file(200)}, attached, "KEPT"},
		{planted{name: "files of a collection", catalog: "/Collection <</D (TRACE)>> /PageMode /UseAttachments"}, attached, ""},
		{planted{name: "files of the document", catalog: "/AF [200 0 R]", objects: file(200)}, attached, ""},
		{planted{name: "files of a page", page: "/AF 200 0 R", objects: file(200)}, attached, ""},
		{planted{name: "files of a form", content: "/X203 Do", resources: in("XObject", "/X203 203 0 R"),
			objects: objects(file(200), form(203, "/AF [200 0 R]", "P1"))}, attached, ""},
		{planted{name: "files of marked content", content: "/AF /Q204 BDC P1 EMC", resources: in("Properties", "/Q204 <</MCAF [200 0 R]>>"), objects: file(200)}, attached, ""},
		{planted{name: "files of an annotation in place", page: "/Annots [<</Subtype /Link /Rect [0 0 9 9] /AF [200 0 R] /Contents (KEPT)>>]", objects: file(200)}, attached, "KEPT"},
		{planted{name: "file of a link", page: "/Annots [<</Subtype /Link /Rect [0 0 9 9] /A <</S /GoToE /F 200 0 R /D [0 /Fit] /KEPT 1>>>>]",
			objects: objects(one(200, "<</Type /Filespec /F (KEPT) /EF <</F 201 0 R>>>>"), file(200)[1:])}, attached, "KEPT"},
		{planted{name: "file of an annotation, with its replies", page: "/Annots [206 0 R 207 0 R 208 0 R 209 0 R]", objects: objects(file(200),
			one(206, "<</Subtype /FileAttachment /Rect [0 0 9 9] /FS 200 0 R /Contents (TRACE)>>"),
			one(207, "<</Subtype /Popup /Parent 206 0 R /Rect [0 0 9 9] /Contents (TRACE)>>"),
			one(208, "<</Subtype /Text /IRT 206 0 R /Rect [0 0 9 9] /Contents (TRACE)>>"),
			one(209, "<</Subtype /Text /Rect [0 0 9 9] /Contents (KEPT)>>"))}, attached, "KEPT"},
		{planted{name: "replies to an annotation of a layer", page: "/Annots [212 0 R 211 0 R 210 0 R 209 0 R]", objects: objects(
			one(210, "<</Subtype /Text /OC 6 0 R /Rect [0 0 9 9] /Contents (TRACE)>>"),
			one(211, "<</Subtype /Text /IRT 210 0 R /Rect [0 0 9 9] /Contents (TRACE)>>"),
			one(212, "<</Subtype /Popup /Parent 211 0 R /Rect [0 0 9 9] /Contents (TRACE)>>"),
			one(209, "<</Subtype /Text /Rect [0 0 9 9] /Contents (KEPT)>>"))}, "", "KEPT"},

		// 14.3.2, 14.5
		{planted{name: "metadata of a property list in place", content: "/Span /Q220 BDC P1 EMC", resources: in("Properties", "/Q220 <</Metadata 220 0 R /ActualText (KEPT)>>"),
			objects: []testpdf.Object{testpdf.Stream(220, "/Type /Metadata /Subtype /XML", "TRACE")}}, "", "KEPT"},
		{planted{name: "metadata of a font", resources: in("Font", "/F221 <</Type /Font /BaseFont /KEPT /Metadata 220 0 R>>"), content: "BT /F221 9 Tf (x) Tj ET",
			objects: []testpdf.Object{testpdf.Stream(220, "/Type /Metadata /Subtype /XML", "TRACE")}}, "", "KEPT"},
		{planted{name: "private data of an annotation in place", page: "/Annots [<</Subtype /Link /Rect [0 0 9 9] /PieceInfo <</P (TRACE)>> /LastModified (TRACE)>>]"}, private, ""},
		{planted{name: "private data of an appearance", page: "/Annots [<</Subtype /Square /Rect [0 0 9 9] /AP <</N 223 0 R>>>>]",
			objects: form(223, "/PieceInfo <</P (TRACE)>> /LastModified (TRACE)", "P1")}, private, ""},
		{planted{name: "private data of an appearance of a state", page: "/Annots [<</Subtype /Square /Rect [0 0 9 9] /AS /On /AP <</N <</On 224 0 R>>>>>>]",
			objects: form(224, "/PieceInfo <</P (TRACE)>> /LastModified (TRACE)", "P1")}, private, ""},
		{planted{name: "private data of a thing in place", resources: in("ExtGState", "/G222 <</PieceInfo <</P (TRACE)>> /CA .5>>"), content: "q /G222 gs P1 S Q"}, private, ""},

		// 13.5, 12.7.6, 14.10, 14.11.4, 14.11.6, 12.5.5, 8.10.4, 14.11.7
		{planted{name: "alternate presentations", catalog: "/Names <</AlternatePresentations <</Names [(x) <</Subtype /Slideshow /StartResource (TRACE)>>]>>>>"}, views, ""},
		{planted{name: "a page's steps of presenting", page: "/PresSteps <</Type /NavNode /NA <</S /URI /URI (TRACE)>>>>"}, views, ""},
		{planted{name: "named appearances", catalog: "/Names <</AP <</Names [(x) 230 0 R]>>>>", objects: form(230, "", "% TRACE\nP1")}, views, ""},
		{planted{name: "page templates", catalog: "/Names <</Templates <</Names [(x) 231 0 R]>>>>",
			objects: objects(one(231, "<</Type /Template /MediaBox [0 0 9 9] /Contents 232 0 R>>"), []testpdf.Object{testpdf.Stream(232, "", "% TRACE")})}, views, ""},
		{planted{name: "named pages", catalog: "/Names <</Pages <</Names [(TRACE) 3 0 R]>>>>"}, views, ""},
		{planted{name: "captured web pages", catalog: "/SpiderInfo <</V 1 /C [<</URL (TRACE)>>]>> /Names <</IDS <</Names [(TRACE) 1]>> /URLS <</Names [(TRACE) 1]>>>>"}, views, ""},
		{planted{name: "separation", page: "/SeparationInfo <</Pages [3 0 R] /DeviceColorant /TRACE>>"}, views, ""},
		{planted{name: "traps", page: "/Annots [233 0 R]", objects: objects(one(233, "<</Subtype /TrapNet /Rect [0 0 99 99] /AP <</N 234 0 R>>>>"), form(234, "", "% TRACE"))}, views, ""},
		{planted{name: "reference to a page elsewhere", content: "/X235 Do", resources: in("XObject", "/X235 235 0 R"),
			objects: form(235, "/Ref <</F (TRACE) /Page 0>>", "P1")}, views, ""},
		{planted{name: "reference to an image elsewhere", content: "/X236 Do", resources: in("XObject", "/X236 236 0 R"),
			objects: form(236, "/OPI <</2.0 <</F (TRACE)>>>>", "P1")}, views, ""},
		{planted{name: "page that is none of the pages", catalog: "/OpenAction [237 0 R /Fit]",
			objects: objects(one(237, "<</Type /Page /MediaBox [0 0 9 9] /Contents 238 0 R>>"), []testpdf.Object{testpdf.Stream(238, "", "% TRACE")})}, "a page that is none of the file's pages", ""},

		// 12.5.6.19, 12.5.6.23, 12.7.2: drawings that no page draws itself
		{planted{name: "icon of a button", page: "/Annots [<</Subtype /Widget /FT /Btn /Rect [0 0 9 9] /MK <</I 240 0 R /CA (KEPT)>>>>]",
			objects: form(240, ofB, inLayer)}, "", "KEPT"},
		{planted{name: "overlay of a redaction", page: "/Annots [<</Subtype /Redact /Rect [0 0 9 9] /RO 240 0 R>>]", objects: form(240, ofB, inLayer)}, "", "10 10 8 8"},
		{planted{name: "resources of the form", catalog: "/AcroForm <</Fields [] /DR <</XObject <</KEPT 240 0 R>>>>>>", objects: form(240, ofB, inLayer)}, "", "KEPT"},
		{planted{name: "pattern of the form's resources", catalog: "/AcroForm <</Fields [] /DR <</Pattern <</KEPT 241 0 R>>>>>>",
			objects: []testpdf.Object{cell(241, ofB, inLayer)}}, "", "KEPT"},
		{planted{name: "form of the layer among the form's resources", catalog: "/AcroForm <</Fields [] /DR <</XObject <</KEPT 242 0 R>>>>>>",
			objects: form(242, "/OC 6 0 R", "% TRACE\nP1")}, "", ""},
		{planted{name: "widget that is on no page", catalog: "/AcroForm <</Fields [243 0 R]>>",
			objects: objects(one(243, "<</T (TRACE) /Kids [244 0 R]>>"), one(244, "<</Subtype /Widget /Parent 243 0 R /OC 6 0 R /Rect [0 0 9 9]>>"))}, "form fields", ""},

		// 12.7
		{planted{name: "second description of the form", catalog: "/NeedsRendering true /AcroForm <</Fields [] /XFA [(TRACE) 245 0 R] /DA (KEPT)>>",
			objects: []testpdf.Object{testpdf.Stream(245, "", "TRACE")}}, "XFA", "KEPT"},
		{planted{name: "font of a field alone", catalog: "/AcroForm <</DA (/KEPT 9 Tf) /Fields [246 0 R 247 0 R] /DR <</Font <</KEPT <</Type /Font>> /TRACE <</Type /Font>>>>>>>>",
			page: "/Annots [246 0 R 247 0 R]", objects: objects(
				one(246, "<</Subtype /Widget /FT /Tx /T (TRACE) /OC 6 0 R /Rect [0 0 9 9] /DA (0 g /TRACE 9 Tf)>>"),
				one(247, "<</Subtype /Widget /FT /Tx /T (KEPT) /Rect [0 0 9 9]>>"))}, "form fields", "KEPT"},
		{planted{name: "name of a field in an action", catalog: "/AcroForm <</Fields [246 0 R]>>", page: "/Annots [246 0 R 248 0 R]", objects: objects(
			one(246, "<</Subtype /Widget /FT /Tx /T (TRACE) /OC 6 0 R /Rect [0 0 9 9]>>"),
			one(248, "<</Subtype /Link /Rect [0 0 9 9] /A <</S /ResetForm /Fields [(TRACE) (KEPT)]>>>>"))}, "form fields", "KEPT"},
		{planted{name: "hiding of an annotation", page: "/Annots [246 0 R 248 0 R]", objects: objects(
			one(246, "<</Subtype /Square /OC 6 0 R /Rect [0 0 9 9]>>"),
			one(248, "<</Subtype /Link /Rect [0 0 9 9] /A <</S /Hide /T 246 0 R /Marker (TRACE) /Next <</S /URI /URI (KEPT)>>>>>>"))}, "", "KEPT"},

		// 12.8
		{planted{name: "signature below a field", catalog: "/AcroForm <</Fields [250 0 R]>>", objects: objects(
			one(250, "<</FT /Sig /T (KEPT) /Kids [251 0 R]>>"), one(251, "<</T (y) /Parent 250 0 R /V 252 0 R>>"),
			one(252, "<</Type /Sig /Filter /Adobe.PPKLite /Contents (TRACE)>>"))}, "signed", "KEPT"},

		// 8.11.4.4
		{planted{name: "what made a group that stays", objects: one(5, "<</Type /OCG /Name (A) /Usage <</CreatorInfo <</Creator (TRACE) /Subtype /TRACE>>>> /TRACE 1>>")}, "", ""},
	}
}

// TestGoneCarriers looks for each marker in everything that the output holds.
func TestGoneCarriers(t *testing.T) {
	for _, c := range carriers() {
		t.Run(c.name, func(t *testing.T) {
			file := testpdf.Build(plant(c.planted))
			if !find(t, file).has("TRACE") {
				t.Fatal("the marker is not in the input")
			}
			out, report := isolateNamed(t, file, "A", "C")
			if where := find(t, out).where("TRACE"); len(where) > 0 {
				t.Errorf("the marker is left in %v", where)
			}
			if !find(t, out).has(c.kept) {
				t.Errorf("%s is gone", c.kept)
			}
			if c.warning != "" && !warned(report, c.warning) {
				t.Errorf("warnings %v, want one with %q", report.Warnings, c.warning)
			}
			if c.warning == "" && len(report.Warnings) > 0 {
				t.Errorf("warnings %v", report.Warnings)
			}
			again, report := isolateNamed(t, out, "A", "C")
			if report.Removed != nil && len(report.Warnings) > 0 || !find(t, again).has(c.kept) {
				t.Errorf("isolated again: warnings %v", report.Warnings)
			}
		})
	}
}

// TestKeptCarriers: what only looks like a carrier stays.
func TestKeptCarriers(t *testing.T) {
	names := "/AF 300 0 R /Metadata 300 0 R /OPI 300 0 R /Ref 300 0 R /MCAF 300 0 R /PieceInfo 300 0 R /Thumb 300 0 R"
	d := plant(planted{
		name: "resources with such names", content: "/AF Do /Metadata Do /OPI Do /Ref Do /MCAF Do /PieceInfo Do /Thumb Do",
		resources: map[string]string{"XObject": names}, objects: []testpdf.Object{testpdf.Form(300, "", "P1 % KEPT0")},
	}, planted{
		content: "BT /AF 9 Tf (KEPT1) Tj ET", resources: map[string]string{"Font": "/AF <</Type /Font /BaseFont /KEPT2>>"},
		page:    "/B [301 0 R] /VP [<</Type /Viewport /Name (KEPT3) /BBox [0 0 9 9] /Measure <</Type /Measure /R (KEPT4)>>>>] /Annots [304 0 R]",
		catalog: "/Threads [302 0 R] /Outlines 303 0 R /PageMode /UseOutlines /Dests 307 0 R",
		objects: []testpdf.Object{
			testpdf.Obj(301, "<</Type /Bead /T 302 0 R /N 301 0 R /V 301 0 R /P 3 0 R /R [0 0 9 9]>>"),
			testpdf.Obj(302, "<</Type /Thread /F 301 0 R /I <</Title (KEPT6)>>>>"),
			testpdf.Obj(303, "<</First 305 0 R /Last 305 0 R /Count 1>>"),
			testpdf.Obj(305, "<</Title (KEPT7) /Parent 303 0 R /A <</S /GoTo /D [3 0 R /Fit] /Next [<</S /URI /URI (KEPT8)>>]>>>>"),
			testpdf.Obj(304, "<</Subtype /PrinterMark /Rect [0 0 9 9] /AP <</N 306 0 R>> /AS /AF /Contents (KEPT9)>>"),
			testpdf.Obj(306, "<</AF 300 0 R>>"), testpdf.Obj(307, "<</AF [3 0 R /Fit] /KEPT5 [3 0 R /Fit]>>"),
		},
	})
	out, report := isolateNamed(t, testpdf.Build(d), "A", "C")
	if len(report.Warnings) > 0 {
		t.Errorf("warnings %v", report.Warnings)
	}
	for i := range 10 {
		if text := "KEPT" + string(rune('0'+i)); !find(t, out).has(text) {
			t.Errorf("%s is gone", text)
		}
	}
	r := reopened(t, out)
	if got := r.keys(0, "Resources/XObject"); got != "AF MCAF Metadata OPI PieceInfo Ref Thumb" {
		t.Errorf("forms %s", got)
	}
	if got := r.keys(0, "Annots/0/AP/N"); got != "AF" {
		t.Errorf("states %s", got)
	}
	if got := len(pdf.AsArray(r.doc, r.at(0, "B"))); got != 1 {
		t.Errorf("%d beads", got)
	}
}

// TestCatalogWithoutLayers: what a catalog says of optional content goes where
// no layer is left (12.2, Table 150; 12.10 and its Table 264 in ISO 32000-2),
// and stays where one is.
func TestCatalogWithoutLayers(t *testing.T) {
	const catalog = "/PageMode /UseOC /ViewerPreferences <</NonFullScreenPageMode /UseOC /DisplayDocTitle true>>" +
		" /Requirements [<</Type /Requirement /S /OCInteract>> <</Type /Requirement /S /EnableJavaScripts>> <</S /OCAutoStates>>]"
	file := testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Catalog: catalog, Pages: []testpdf.Page{{Content: "P1 /OC /A BDC P2 EMC"}}})
	for _, c := range []struct {
		name string
		sel  Selection
		flat bool
		want bool
	}{
		{"a layer is left", Selection{Layers: []int{0}}, false, true},
		{"none is left", Selection{}, false, false},
		{"flattened", Selection{Layers: []int{0, 1}}, true, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out []byte
			if c.flat {
				out, _ = flattened(t, file, c.sel)
			} else {
				names := []string{"A"}[:len(c.sel.Layers)]
				out, _ = isolateNamed(t, file, names...)
			}
			f := find(t, out)
			for _, text := range []string{"UseOC", "OCInteract", "NonFullScreenPageMode"} {
				if f.has(text) != c.want {
					t.Errorf("%s is there: %t", text, !c.want)
				}
			}
			for _, text := range []string{"EnableJavaScripts", "DisplayDocTitle"} {
				if !f.has(text) {
					t.Errorf("%s is gone", text)
				}
			}
			if f.has("OCAutoStates") && !c.want {
				t.Error("OCAutoStates is left")
			}
		})
	}
}

// TestCarriersStay: where no layer goes, nothing goes.
func TestCarriersStay(t *testing.T) {
	for _, c := range carriers() {
		if strings.HasPrefix(c.name, "what made a group") {
			continue // the list of groups is written anew always
		}
		d := plant(c.planted)
		out, report := isolateNamed(t, testpdf.Build(d), "A", "SECRET", "C")
		if !find(t, out).has("TRACE") || len(report.Warnings) > 0 {
			t.Errorf("%s: gone, or warnings %v", c.name, report.Warnings)
		}
	}
}
