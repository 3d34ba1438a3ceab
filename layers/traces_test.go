package layers

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// A mark is a word that stands in one place of the document of marks, by the
// clause of ISO 32000-2 that gives the place. It is kept for a reason, or removed.
type mark struct{ word, clause, kept string }

// markTable has all the words of markedDoc. "none" stands for a place that the
// standard does not have.
var markTable = []mark{
	{"MarkInfoTitle", "14.3.3", "the title is shown"},
	{"MarkInfoAuthor", "14.3.3", "the author is shown"},
	{"MarkInfoSubject", "14.3.3", ""},
	{"MarkInfoKeywords", "14.3.3", ""},
	{"MarkInfoCreator", "14.3.3", ""},
	{"MarkInfoProducer", "14.3.3", ""},
	{"MarkInfoDate", "14.3.3", ""},
	{"MarkInfoOther", "14.3.3", ""},
	{"MarkXMPTitle", "14.3.2", "the title is shown"},
	{"MarkXMPCreator", "14.3.2", "the author is shown"},
	{"MarkXMPRights", "14.3.2", "the rights statement"},
	{"MarkXMPSubject", "14.3.2", ""},
	{"MarkXMPTool", "14.3.2", ""},
	{"MarkXMPPage", "14.3.2", ""},
	{"MarkXMPForm", "14.3.2", ""},
	{"MarkXMPImage", "14.3.2", ""},
	{"MarkXMPProfile", "14.3.2", ""},
	{"MarkLang", "14.9.2", "the language of what is kept"},
	{"MarkExtension", "7.12", ""},
	{"MarkExtensionURL", "7.12", ""},
	{"MarkLabel", "12.4.2", "pages are found by their labels"},
	{"MarkDestination", "12.3.2.4", "links lead to it"},
	{"MarkOldDestination", "12.3.2.4", "links lead to it"},
	{"MarkScriptName", "7.7.4", ""},
	{"MarkScript", "12.6.4.17", ""},
	{"MarkOpenScript", "12.6.4.17", ""},
	{"MarkPageScript", "12.6.4.17", ""},
	{"MarkFieldScript", "12.6.4.17", ""},
	{"MarkRenditionScript", "12.6.4.14", ""},
	{"MarkOutline", "12.3.3", "a word of the outline is content"},
	{"MarkThread", "12.4.3", "articles are found by their titles"},
	{"MarkThreadSubject", "12.4.3", ""},
	{"MarkThreadMetadata", "14.3.2", ""},
	{"MarkBase", "12.6.4.8", "links lead there"},
	{"MarkLink", "12.6.4.8", "links are kept"},
	{"MarkFile", "12.6.4.3", "links are kept"},
	{"MarkFileDescription", "7.11.3", ""},
	{"MarkParts", "14.12", ""},
	{"MarkPart", "14.12", ""},
	{"MarkLegal", "12.8.5", ""},
	{"MarkSpider", "14.10", ""},
	{"MarkDSS", "12.8.4.3", ""},
	{"MarkPerms", "12.8.6", ""},
	{"MarkCollection", "12.3.5", ""},
	{"MarkAttachment", "7.11.4", ""},
	{"MarkAssociated", "14.13", ""},
	{"MarkPrivate", "14.5", ""},
	{"MarkModified", "14.5", ""},
	{"MarkCondition", "14.11.5", "output intents are kept"},
	{"MarkConditionInfo", "14.11.5", "output intents are kept"},
	{"MarkProfile", "14.11.5", "the profile of an output intent is kept whole"},
	{"MarkSpectral", "14.11.5", ""},
	{"MarkRequirement", "12.11", ""},
	{"MarkConfiguration", "8.11.4.3", ""},
	{"MarkConfigurationCreator", "8.11.4.3", ""},
	{"MarkOtherConfiguration", "8.11.4.3", ""},
	{"MarkOrder", "8.11.4.3", "the heading of layers that are kept"},
	{"MarkRemovedOrder", "8.11.4.3", ""},
	{"MarkGroupCreator", "8.11.4.4", ""},
	{"MarkGroupUser", "8.11.4.4", ""},
	{"MarkGroupElement", "8.11.4.4", ""},
	{"MarkGroupIntent", "8.11.2.3", ""},
	{"MarkViewport", "12.9", "measures are shown by their viewport"},
	{"MarkRatio", "12.9", "measures are shown with their ratio"},
	{"MarkPageID", "7.7.3.3", ""},
	{"MarkTemplate", "7.7.3.3", ""},
	{"MarkComment", "7.2.4", "a stream that loses nothing keeps its bytes"},
	{"MarkLostComment", "7.2.4", ""},
	{"MarkPathComment", "7.2.4", ""},
	{"MarkFormName", "8.10.2", ""},
	{"MarkFormStyle", "14.11.3", ""},
	{"MarkImageName", "8.9.5", ""},
	{"MarkImageID", "8.9.5", ""},
	{"MarkHalftone", "10.6.5", ""},
	{"MarkListTitle", "14.6.2", ""},
	{"MarkListText", "14.9.4", "the text of content that is kept"},
	{"MarkFontName", "9.6", ""},
	{"MarkBaseFont", "9.6", "a font is known by it"},
	{"MarkCharSet", "9.8", ""},
	{"MarkFamily", "9.8", "another font may stand in for it"},
	{"MarkNote", "12.5.6.2", "notes are shown"},
	{"MarkNoteTitle", "12.5.6.2", "notes are shown"},
	{"MarkNoteRich", "12.5.6.2", "notes are shown"},
	{"MarkNoteSubject", "12.5.6.2", "notes are shown"},
	{"MarkNoteName", "12.5.2", ""},
	{"MarkNoteDate", "12.5.2", ""},
	{"MarkNoteCreated", "12.5.6.2", ""},
	{"MarkNoteData", "12.5.6.2", ""},
	{"MarkField", "12.7.4", "fields are known by it"},
	{"MarkFieldTip", "12.7.4", "a field is shown by it"},
	{"MarkFieldExport", "12.7.4", ""},
	{"MarkFieldValue", "12.7.4", "what has been filled in"},
	{"MarkCaption", "12.5.6.19", "captions are shown"},
	{"MarkXFA", "12.7.8", ""},
	{"MarkRole", "14.7.3", "an element that is kept has it"},
	{"MarkUnusedRole", "14.7.3", ""},
	{"MarkRemovedRole", "14.7.3", ""},
	{"MarkClass", "14.7.6.2", "an element that is kept has it"},
	{"MarkRemovedClass", "14.7.6.2", ""},
	{"MarkElement", "14.7.2", ""},
	{"MarkElementText", "14.9.4", "the text of content that is kept"},
	{"MarkElementID", "14.7.2", "elements are found by it"},
	{"MarkRemovedElement", "14.7.2", ""},
	{"MarkUserProperty", "14.7.6.4", ""},
	{"MarkNamespace", "14.7.4", "roles are known by it"},
	{"MarkSchema", "14.7.4.2", ""},
	{"MarkGlyph", "9.6.4", ""},
	{"MarkShownGlyph", "9.6.4", "a glyph of text that is kept"},
	{"MarkUnreachable", "7.5.4", ""},
	{"MarkContentsKey", "none", ""},
	{"MarkTwo", "none", ""},
}

// markedDoc is a document of the layers A, which is kept, and B, in which all the
// words of markTable stand.
func markedDoc() testpdf.Doc {
	obj, stream := testpdf.Obj, testpdf.Stream
	script := func(text string) string { return "<</S /JavaScript /JS (" + text + ")>>" }
	packet := func(text string) string { return xmp("><dc:subject>" + text + "</dc:subject>") }
	return testpdf.Doc{
		Groups: []string{"A", "B"},
		Catalog: "/Lang (MarkLang) /Metadata 30 0 R /PageLabels <</Nums [0 <</P (MarkLabel) /S /D>>]>> /Outlines 31 0 R /Threads [33 0 R]" +
			" /Extensions <</ADBE <</BaseVersion /1.7 /ExtensionLevel 3 /MarkExtension true /URL (MarkExtensionURL)>>>>" +
			" /Names <</Dests <</Names [(MarkDestination) [3 0 R /Fit]]>> /JavaScript <</Names [(MarkScriptName) " + script("MarkScript") + "]>>" +
			" /EmbeddedFiles <</Names [(f) <</Type /Filespec /F (MarkAttachment)>>]>>>> /Dests <</MarkOldDestination [3 0 R /Fit]>>" +
			" /OpenAction " + script("MarkOpenScript") + " /URI <</Base (MarkBase)>> /DPartRoot 36 0 R /Legal <</Attestation (MarkLegal)>>" +
			" /SpiderInfo <</V 1 /C [<</URL (MarkSpider)>>]>> /DSS <</VRI <</MarkDSS <<>>>>>> /Perms <</UR3 <</Name (MarkPerms)>>>>" +
			" /Collection <</D (MarkCollection)>> /AF [<</Type /Filespec /F (MarkAssociated)>>]" +
			" /PieceInfo <</MarkPrivate <</LastModified (D:2026) /Private (x)>>>> /LastModified (MarkModified)" +
			" /OutputIntents [<</S /GTS_PDFX /OutputConditionIdentifier (MarkCondition) /Info (MarkConditionInfo) /DestOutputProfile 38 0 R /SpectralData <</MarkSpectral 38 0 R>>>>]" +
			" /Requirements [<</S /EnableJavaScripts /RH [<</S /JS /Script (MarkRequirement)>>]>>] /AcroForm 60 0 R /StructTreeRoot 40 0 R /MarkInfo <</Marked true>> /MarkTwo (MarkTwo)",
		OCProperties: "<</OCGs [5 0 R 6 0 R] /D <</Name (MarkConfiguration) /Creator (MarkConfigurationCreator) /Order [[(MarkOrder) 5 0 R] [(MarkRemovedOrder) 6 0 R]]>>" +
			" /Configs [<</Name (MarkOtherConfiguration) /OFF [6 0 R]>>]>>",
		Pages: []testpdf.Page{{
			Contents: []string{
				"/Span /List BDC P1 EMC /X50 Do /I51 Do q /G gs P2 Q BT /F52 9 Tf (x) Tj /T53 9 Tf (a) Tj ET /P <</MCID 0>> BDC P3 EMC % MarkLostComment\n",
				"0 0 m % MarkPathComment\n9 9 l S /OC /B BDC /P <</MCID 1>> BDC P5 EMC BT /T53 9 Tf (b) Tj ET EMC",
			},
			Resources: "<</Properties <</A 5 0 R /B 6 0 R /List <</Title (MarkListTitle) /ActualText (MarkListText)>>>> /XObject <</X50 50 0 R /I51 51 0 R>>" +
				" /ExtGState <</G <</HT <</HalftoneType 1 /HalftoneName (MarkHalftone) /Frequency 60 /Angle 45 /SpotFunction /Round>>>>>> /Font <</F52 52 0 R /T53 53 0 R>>>>",
			Entries: "/AA <</O " + script("MarkPageScript") + ">> /DPart 37 0 R /ID (MarkPageID) /TemplateInstantiated /MarkTemplate /Metadata 39 0 R /StructParents 0" +
				" /VP [<</BBox [0 0 9 9] /Name (MarkViewport) /Measure <</R (MarkRatio)>>>>] /Annots [61 0 R 62 0 R 63 0 R 64 0 R]",
		}},
		Objects: []testpdf.Object{
			obj(testpdf.GroupObject, "<</Type /OCG /Name (A) /Intent [/View /MarkGroupIntent] /Usage <</CreatorInfo <</Creator (MarkGroupCreator) /Subtype /Artwork>>"+
				" /User <</Type /Ind /Name (MarkGroupUser)>> /PageElement <</Subtype /FG /MarkGroupElement 1>>>>>>"),
			stream(30, "/Type /Metadata /Subtype /XML", xmp(`xmp:CreatorTool="MarkXMPTool"><dc:title>MarkXMPTitle</dc:title><dc:creator>MarkXMPCreator</dc:creator>`+
				`<dc:rights>MarkXMPRights</dc:rights><dc:subject>MarkXMPSubject</dc:subject>`)),
			obj(31, "<</First 32 0 R /Last 32 0 R /Count 1>>"), obj(32, "<</Title (MarkOutline) /Parent 31 0 R /Dest (MarkDestination)>>"),
			obj(33, "<</F 34 0 R /I <</Title (MarkThread) /Subject (MarkThreadSubject)>> /Metadata 35 0 R>>"),
			obj(34, "<</T 33 0 R /N 34 0 R /V 34 0 R /P 3 0 R /R [0 0 9 9]>>"), stream(35, "", "MarkThreadMetadata"),
			obj(36, "<</Type /DPartRoot /DPartRootNode 37 0 R /NodeNameList [/MarkParts]>>"), obj(37, "<</Type /DPart /Start 3 0 R /DPM <</Name (MarkPart)>>>>"),
			stream(38, "/N 3 /Metadata 49 0 R", "MarkProfile"), stream(39, "", packet("MarkXMPPage")), stream(49, "", packet("MarkXMPProfile")),
			obj(40, "<</Type /StructTreeRoot /K [41 0 R 42 0 R] /ParentTree <</Nums [0 [41 0 R 42 0 R]]>> /IDTree <</Names [(MarkElementID) 41 0 R (MarkRemovedElement) 42 0 R]>>"+
				" /RoleMap <</MarkRole /P /MarkUnusedRole /P /MarkRemovedRole /P>> /ClassMap <</MarkClass <</O /Layout /SpaceAfter 3>> /MarkRemovedClass <</O /Layout>>>> /Namespaces [43 0 R]>>"),
			obj(41, "<</S /MarkRole /P 40 0 R /Pg 3 0 R /K 0 /T (MarkElement) /ActualText (MarkElementText) /ID (MarkElementID) /C /MarkClass /NS 43 0 R"+
				" /A <</O /UserProperties /P [<</N (MarkUserProperty) /V 1>>]>>>>"),
			obj(42, "<</S /MarkRemovedRole /P 40 0 R /Pg 3 0 R /K 1 /ID (MarkRemovedElement) /C [/MarkRemovedClass 0]>>"),
			obj(43, "<</Type /Namespace /NS (MarkNamespace) /Schema <</Type /Filespec /F (MarkSchema)>>>>"),
			testpdf.Form(50, "/Name /MarkFormName /MarkStyle (MarkFormStyle) /Metadata 55 0 R", "P4 % MarkComment"),
			picture(51, "/Name /MarkImageName /ID (MarkImageID) /Metadata 56 0 R"),
			obj(52, "<</Type /Font /Subtype /Type1 /BaseFont /MarkBaseFont /Name /MarkFontName /FontDescriptor <</Type /FontDescriptor /FontName /MarkBaseFont /CharSet (MarkCharSet) /FontFamily (MarkFamily)>>>>"),
			obj(53, "<</Type /Font /Subtype /Type3 /FontBBox [0 0 9 9] /FontMatrix [.1 0 0 .1 0 0] /FirstChar 97 /LastChar 98 /Widths [9 9]"+
				" /Encoding <</Differences [97 /MarkShownGlyph /MarkGlyph]>> /CharProcs <</MarkShownGlyph 54 0 R /MarkGlyph 57 0 R>>>>"),
			stream(54, "", testpdf.Marks("9 0 d0 P1")), stream(57, "", testpdf.Marks("9 0 d0 P2")), stream(55, "", packet("MarkXMPForm")), stream(56, "", packet("MarkXMPImage")),
			obj(60, "<</Fields [63 0 R] /XFA (MarkXFA)>>"),
			obj(61, "<</Subtype /Text /Rect [0 0 9 9] /Contents <"+utf16Hex("MarkNote")+"> /T (MarkNoteTitle) /RC (MarkNoteRich) /Subj (MarkNoteSubject) /NM (MarkNoteName) /M (MarkNoteDate)"+
				" /CreationDate (MarkNoteCreated) /ExData <</Type /ExData /Subtype /MarkNoteData>> /MarkContentsKey 1>>"),
			obj(62, "<</Subtype /Link /Rect [0 0 9 9] /A <</S /URI /URI (MarkLink) /Next <</S /GoToR /D [0 /Fit] /F <</F (MarkFile) /Desc (MarkFileDescription)>>>>>>>>"),
			obj(63, "<</Subtype /Widget /FT /Tx /Rect [0 0 9 9] /T (MarkField) /TU (MarkFieldTip) /TM (MarkFieldExport) /V (MarkFieldValue) /MK <</CA (MarkCaption)>> /AA <</C "+script("MarkFieldScript")+">>>>"),
			obj(64, "<</Subtype /Link /Rect [0 0 9 9] /A <</S /Rendition /OP 1 /AN 61 0 R /JS (MarkRenditionScript)>>>>"),
			obj(70, "(MarkUnreachable)"),
			obj(71, "<</Title (MarkInfoTitle) /Author <"+utf16Hex("MarkInfoAuthor")+"> /Subject <"+utf16Hex("MarkInfoSubject")+"> /Keywords (MarkInfoKeywords) /Creator (MarkInfoCreator)"+
				" /Producer (MarkInfoProducer) /ModDate (MarkInfoDate) /MarkInfoOther 1>>"),
		},
		Layout: testpdf.Layout{},
	}
}

// utf16Hex is a text string in UTF-16 as hexadecimal digits (7.9.2.2).
func utf16Hex(s string) string {
	text := "FEFF"
	for _, u := range utf16.Encode([]rune(s)) {
		text += fmt.Sprintf("%04X", u)
	}
	return text
}

// markedFile is markedDoc with its document information, which the trailer leads
// to.
func markedFile() []byte {
	file := testpdf.Build(markedDoc())
	return bytes.Replace(file, []byte("/Root 1 0 R"), []byte("/Root 1 0 R /Info 71 0 R"), 1)
}

var markWord = regexp.MustCompile(`Mark[A-Z]\w*`)

// marksOf lists the marks of a file, in strings of both encodings, names, keys and
// decoded streams.
func marksOf(t *testing.T, file []byte) []string {
	t.Helper()
	words := map[string]bool{}
	for _, text := range find(t, file).places {
		for _, text := range []string{text, strings.ReplaceAll(text, "\x00", "")} {
			for _, word := range markWord.FindAllString(text, -1) {
				words[word] = true
			}
		}
	}
	delete(words, "MarkInfo") // a key of the catalog (14.7.1)
	delete(words, "MarkStyle")
	return slices.Sorted(maps.Keys(words))
}

// TestMarks: of words in every place, those are left that are kept for a reason.
func TestMarks(t *testing.T) {
	var all, kept []string
	for _, m := range markTable {
		all = append(all, m.word)
		if m.kept != "" {
			kept = append(kept, m.word)
		}
	}
	slices.Sort(all)
	slices.Sort(kept)
	file := markedFile()
	if got := marksOf(t, file); !slices.Equal(got, all) {
		t.Fatalf("the document has the marks\n%v, want\n%v", got, all)
	}
	out, report := isolateNamed(t, file, "A")
	got := marksOf(t, out)
	for _, m := range markTable {
		if left := slices.Contains(got, m.word); left != (m.kept != "") {
			t.Errorf("%s (%s): it is left: %t, want %t (%s)", m.word, m.clause, left, !left, m.kept)
		}
	}
	t.Logf("%d marks, %d kept for a reason, %d left; %d entries taken out", len(all), len(kept), len(got), report.Unneeded)
	if again, report := isolateNamed(t, out, "A"); report.Unneeded > 0 || !slices.Equal(marksOf(t, again), got) {
		t.Errorf("isolated again, %d entries go", report.Unneeded)
	}
}

// TestMarksUnderUnknownKeys: a key that the standard does not have goes from every
// dictionary that it stands in.
func TestMarksUnderUnknownKeys(t *testing.T) {
	doc, err := pdf.Open(context.Background(), bytes.NewReader(markedFile()), pdf.Options{})
	if err != nil {
		t.Fatal(err)
	}
	places := map[string]string{}
	edit := doc.Edit()
	for _, ref := range doc.Refs() {
		edit.Set(ref, withUnknown(doc.Object(ref), fmt.Sprint(ref), places))
	}
	var in bytes.Buffer
	if _, err := edit.Write(context.Background(), &in); err != nil {
		t.Fatal(err)
	}
	out, _ := isolateNamed(t, in.Bytes(), "A")
	left := find(t, out)
	for word, place := range places {
		if left.has(word) {
			t.Errorf("%s of object %s is left", word, place)
		}
	}
	t.Logf("%d dictionaries", len(places))
}

// withUnknown is an object with a key of its own in each dictionary; places tells
// where each stands.
func withUnknown(o pdf.Object, place string, places map[string]string) pdf.Object {
	switch o := o.(type) {
	case pdf.Array:
		now := slices.Clone(o)
		for i, v := range o {
			now[i] = withUnknown(v, fmt.Sprintf("%s/%d", place, i), places)
		}
		return now
	case pdf.Dict:
		now := pdf.Dict{}
		for _, key := range o.Keys() {
			now[key] = withUnknown(o[key], place+"/"+string(key), places)
		}
		word := fmt.Sprintf("Unknown%dEnd", len(places))
		places[word] = place
		now[pdf.Name(word)] = pdf.String(word)
		return now
	case *pdf.Stream:
		dict, _ := withUnknown(o.Dict, place, places).(pdf.Dict)
		return &pdf.Stream{Dict: dict, Raw: o.Raw}
	}
	return o
}
