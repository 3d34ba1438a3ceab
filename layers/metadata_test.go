package layers

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// xmp is a packet with those properties.
func xmp(properties string) string {
	return `<?xpacket begin="" id="W5M0MpCehiHzreSzNTczkc9d"?><x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF
 xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/" xmlns:xmpRights="http://ns.adobe.com/xap/1.0/rights/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/" ` + properties + `</rdf:Description></rdf:RDF></x:xmpmeta><?xpacket end="w"?>`
}

// withMetadata is a document of A and B with a packet.
func withMetadata(packet string) []byte {
	return testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"}, Catalog: "/Metadata 30 0 R",
		Pages:   []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC", Entries: "/Metadata 31 0 R"}},
		Objects: []testpdf.Object{testpdf.Stream(30, "/Type /Metadata /Subtype /XML", packet), testpdf.Stream(31, "/Type /Metadata", "SECRET")},
	})
}

func TestMetadata(t *testing.T) {
	for _, c := range []struct {
		name, packet  string
		want, without []string
		warning       string
	}{
		{"title, creator and rights", xmp(`><dc:title><rdf:Alt><rdf:li xml:lang="x-default">Skirt &amp; top</rdf:li></rdf:Alt></dc:title>
			<dc:creator><rdf:Seq><rdf:li>Tollmere</rdf:li><rdf:li>Others</rdf:li></rdf:Seq></dc:creator>
			<dc:rights><rdf:Alt><rdf:li xml:lang="x-default">For private use</rdf:li></rdf:Alt></dc:rights>`),
			[]string{"Skirt &amp; top</rdf:li>", "<rdf:li>Tollmere</rdf:li><rdf:li>Others</rdf:li>", "For private use"}, nil, ""},
		{"previews and history go", xmp(`xmp:CreatorTool="SECRET"><xmp:Thumbnails><rdf:Alt><rdf:li>SECRET</rdf:li></rdf:Alt></xmp:Thumbnails>
			<dc:title><rdf:Alt><rdf:li>T</rdf:li></rdf:Alt></dc:title><dc:subject>SECRET</dc:subject>`),
			[]string{"<rdf:li>T</rdf:li>"}, []string{"SECRET", "Thumbnails"}, ""},
		{"properties as attributes", xmp(`pdfaid:part="2" pdfaid:conformance="U" xmpRights:Marked="True">`),
			[]string{"<pdfaid:part>2</pdfaid:part>", "<pdfaid:conformance>U", "<xmpRights:Marked>True"}, nil, ""},
		{"PDF/A-1 is not claimed any more", xmp(`><pdfaid:part> 1 </pdfaid:part><pdfaid:conformance>B</pdfaid:conformance><dc:title>T</dc:title>`),
			[]string{"<dc:title>T</dc:title>"}, []string{"pdfaid:part>", "conformance>"}, "PDF/A-1"},
		{"no XML", "SECRET <a", nil, nil, "is no XML"},
		{"nothing to keep", xmp(`xmp:CreatorTool="SECRET">`), nil, nil, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, report := isolateNamed(t, withMetadata(c.packet), "A")
			doc := open(t, out)
			root, _ := doc.file.PDF.Root()
			st := pdf.AsStream(doc.file.PDF, root["Metadata"])
			if (st != nil) != (c.want != nil) {
				t.Fatalf("there is a packet: %t", st != nil)
			}
			for _, w := range c.want {
				if !bytes.Contains(st.Raw, []byte(w)) {
					t.Errorf("%q is missing in %s", w, st.Raw)
				}
			}
			for _, w := range append(c.without, "SECRET") {
				if where := find(t, out).where(w); len(where) > 0 {
					t.Errorf("%q is left in %v", w, where)
				}
			}
			if c.warning != "" && !warned(report, c.warning) {
				t.Errorf("warnings %v, want one with %q", report.Warnings, c.warning)
			}
			if again, _ := isolateNamed(t, out, "A"); c.want != nil && !bytes.Contains(again, st.Raw) {
				t.Error("a packet of ours is not kept as it is")
			}
		})
	}
}

func warned(r *Report, text string) bool {
	for _, w := range r.Warnings {
		if strings.Contains(w.Text, text) {
			return true
		}
	}
	return false
}

// TestMetadataOrder: PDF/A-2 wants a named configuration whose order has every
// group (ISO 19005-2, 6.9).
func TestMetadataOrder(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B", "C"}, Catalog: "/Metadata 30 0 R", OCProperties: "<</OCGs [5 0 R 6 0 R 7 0 R] /D <</Order [5 0 R]>>>>",
		Pages:   []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC"}},
		Objects: []testpdf.Object{testpdf.Stream(30, "", xmp(`pdfaid:part="2">`))},
	})
	out, report := isolateNamed(t, file, "A", "C")
	doc := open(t, out)
	config := doc.file.Config
	order := pdf.AsArray(doc.file.PDF, config["Order"])
	want := pdf.Array{pdf.Ref(report.Objects[5]), pdf.Ref(report.Objects[7])}
	if config["Name"] == nil || len(order) != 2 || order[0] != want[0] || order[1] != want[1] {
		t.Errorf("name %v, order %v, want %v", config["Name"], order, want)
	}
}

// TestMetadataOfDemo: the rights statement of the demo pattern stays, in its
// metadata and on the page.
func TestMetadataOfDemo(t *testing.T) {
	file, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	out, _ := isolateNamed(t, file, "Size 14", "Text")
	doc := open(t, out)
	root, _ := doc.file.PDF.Root()
	st := pdf.AsStream(doc.file.PDF, root["Metadata"])
	if st == nil || !bytes.Contains(st.Raw, []byte("<dc:rights>")) || !bytes.Contains(st.Raw, []byte("Tollmere skirt")) {
		t.Errorf("the packet has lost its title or rights")
	}
	if info := pdf.AsDict(doc.file.PDF, doc.file.PDF.Info()); info["Title"] == nil || info["Author"] == nil {
		t.Errorf("the document information is %v", info)
	}
}

// TestNoAttachments: name trees that name nothing (7.9.6) are not worth a
// warning; some programs write them into every file.
func TestNoAttachments(t *testing.T) {
	for _, tree := range []string{"<</Names []>>", "<<>>", "<</Kids []>>", "<</Kids [<</Limits [() ()] /Names []>>]>>"} {
		file := testpdf.Build(testpdf.Doc{
			Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC"}},
			Catalog: "/Names <</EmbeddedFiles 30 0 R /AP " + tree + ">>", Objects: []testpdf.Object{testpdf.Obj(30, tree)},
		})
		if _, report := isolateNamed(t, file, "A"); len(report.Warnings) > 0 {
			t.Errorf("%s: %v", tree, report.Warnings)
		}
	}
}

func TestAttachments(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"}, Catalog: "/AF [30 0 R] /Collection <</View /T>> /Names <</EmbeddedFiles <</Names [(x) 30 0 R]>> /Dests <</Names []>>>>",
		Pages: []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC", Entries: "/AF [30 0 R] /Annots [32 0 R 33 0 R]"}},
		Objects: []testpdf.Object{
			testpdf.Obj(30, "<</Type /Filespec /F (x) /EF <</F 31 0 R>>>>"), testpdf.Stream(31, "/Type /EmbeddedFile", "SECRET"),
			testpdf.Obj(32, "<</Type /Annot /Subtype /FileAttachment /Rect [0 0 9 9] /FS 30 0 R>>"),
			testpdf.Obj(33, "<</Type /Annot /Subtype /Link /Rect [0 0 9 9]>>"),
		},
	})
	out, report := isolateNamed(t, file, "A")
	if where := find(t, out).where("SECRET"); len(where) > 0 {
		t.Errorf("the attached file is left in %v", where)
	}
	if !warned(report, "attached files were taken out") {
		t.Errorf("warnings %v", report.Warnings)
	}
	doc := open(t, out)
	root, _ := doc.file.PDF.Root()
	if root["Collection"] != nil || root["AF"] != nil || pdf.AsDict(doc.file.PDF, root["Names"])["Dests"] == nil {
		t.Errorf("the catalog is %v", root)
	}
	if annots := pdf.AsArray(doc.file.PDF, doc.file.PDF.Pages()[0].Dict["Annots"]); len(annots) != 1 {
		t.Errorf("%d annotations, want the link alone", len(annots))
	}

	original := open(t, file)
	var kept bytes.Buffer
	sel, opt := Selection{Layers: []int{0}}, &IsolateOptions{KeepAttachments: true}
	if _, err := original.Isolate(context.Background(), &kept, sel, opt); err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(kept.Bytes(), []byte("SECRET")) {
		t.Error("the attached file is gone, although it is to stay")
	}
	if err := Verify(context.Background(), bytes.NewReader(kept.Bytes()), original, sel, opt); err != nil {
		t.Errorf("verify: %v", err)
	}
}
