package testpdf

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"strings"
)

// A HostileFile is one made to exhaust its reader.
type HostileFile struct {
	Name string
	File func() []byte
}

// HostileFiles are those. Whatever is done with one ends in a right result or an
// error, in no more than ten seconds and 700 MB.
var HostileFiles = []HostileFile{
	{"page content of a gibibyte in a kilobyte", func() []byte {
		return withStream(ContentObject, "/Filter [/FlateDecode /FlateDecode]", Squeezed(Squeezed(zeros(1<<30))))
	}},
	{"page content of a gibibyte in a megabyte", func() []byte {
		return withStream(ContentObject, "/Filter /FlateDecode", Squeezed(zeros(1<<30)))
	}},
	{"page content of 500 MB of operators", func() []byte {
		return withStream(ContentObject, "/Filter /FlateDecode", Squeezed(Repeated("0 0 m 9 9 l S\n", 36<<20)))
	}},
	{"page content of 500 MB by run lengths", func() []byte {
		return withStream(ContentObject, "/Filter /RunLengthDecode", []byte(strings.Repeat("\x81 ", 500<<20/128)))
	}},
	{"font encoding of a gibibyte", func() []byte {
		return withObjects("BT /T 9 Tf (a) Tj ET /OC /B BDC BT /T 9 Tf (b) Tj ET EMC", "/Font <</T 30 0 R>>",
			Obj(30, "<</Type /Font /Subtype /Type0 /BaseFont /T /Encoding 31 0 R /DescendantFonts [32 0 R] /ToUnicode 31 0 R>>"),
			Stream(31, "/Type /CMap /Filter /FlateDecode", string(Squeezed(zeros(1<<30)))),
			Obj(32, "<</Type /Font /Subtype /CIDFontType2 /BaseFont /T>>"))
	}},
	{"one stream as content ten thousand times", func() []byte {
		return Build(Doc{Groups: []string{"A", "B"}, Objects: []Object{
			Obj(PageObject, "<</Type /Page /Parent 2 0 R /MediaBox [0 0 9 9] /Contents ["+strings.Repeat("30 0 R ", 10000)+"]>>"),
			Stream(30, "/Filter /FlateDecode", string(Squeezed(Repeated("0 0 9 9 re f\n", 10000)))),
		}})
	}},
	{"arrays nested a hundred thousand deep in a page", func() []byte { return withPage("/X " + brackets("[", "]", 100000)) }},
	{"dictionaries nested a hundred thousand deep in a page", func() []byte { return withPage("/X " + brackets("<</X ", ">>", 100000)) }},
	{"arrays nested a hundred thousand deep in content", func() []byte {
		return withObjects("P1 "+brackets("[", "]", 100000)+" TJ /OC /B BDC P2 EMC", "")
	}},
	{"q nested a hundred thousand deep", func() []byte {
		return withObjects(strings.Repeat("q ", 100000)+"P1 /OC /B BDC P2 EMC "+strings.Repeat("Q ", 100000), "")
	}},
	{"sections nested a hundred thousand deep", func() []byte {
		return withObjects(strings.Repeat("/OC /B BDC ", 100000)+"P1 "+strings.Repeat("EMC ", 100000)+"P2", "")
	}},
	{"forms nested a hundred thousand deep", func() []byte {
		var objects []Object
		for i := range 100000 {
			objects = append(objects, Form(2000+i, fmt.Sprintf("/Resources <</XObject <</X %d 0 R>>>>", 2001+i), "/X Do P1"))
		}
		return withObjects("/X Do /OC /B BDC P2 EMC", "/XObject <</X 2000 0 R>>", objects...)
	}},
	{"forms that draw the next ten times", func() []byte {
		var objects []Object
		for i := range 40 {
			objects = append(objects, Form(2000+i, fmt.Sprintf("/Resources <</XObject <</X %d 0 R>> /Properties <</B 6 0 R>>>>", 2001+i),
				strings.Repeat("/X Do ", 10)+"/OC /B BDC P1 EMC P2"))
		}
		return withObjects("/X Do /OC /B BDC P2 EMC", "/XObject <</X 2000 0 R>>", objects...)
	}},
	{"forms that draw the next in ten states of the text", func() []byte {
		var objects []Object
		setters := []string{"%d Tc", "%d Tw", "%d0 Tz", "%d TL", "%d Ts", "/F %d Tf", "%d.5 Tc", "%d.5 Tw"}
		for i, setter := range setters {
			content := ""
			for n := range 10 {
				content += fmt.Sprintf(setter+" /X Do ", n+1)
			}
			objects = append(objects, Form(2000+i, fmt.Sprintf("/Resources <</Font <</F 29 0 R>> /XObject <</X %d 0 R>>>>", 2001+i), content))
		}
		objects = append(objects, Form(2000+len(setters), "/Resources <</Properties <</B 6 0 R>>>>", "BT /OC /B BDC (a b) Tj EMC (c) Tj ET"))
		return withObjects("/X Do", "/XObject <</X 2000 0 R>>", objects...)
	}},
	{"soft masks nested a hundred thousand deep", func() []byte {
		var objects []Object
		for i := range 100_000 {
			objects = append(objects, Form(2000+i, fmt.Sprintf("/Group <</S /Transparency>> /Resources <</ExtGState <</G <</SMask <</S /Alpha /G %d 0 R>>>>>>>>", 2001+i), "/G gs P1"))
		}
		return withObjects("/G gs P1 /OC /B BDC P2 EMC", "/ExtGState <</G <</SMask <</S /Alpha /G 2000 0 R>>>>>>", objects...)
	}},
	{"ring of twenty forms that draw the next ten times", func() []byte {
		var objects []Object
		for i := range 20 {
			objects = append(objects, Form(2000+i, fmt.Sprintf("/Resources <</XObject <</X %d 0 R /Y 2000 0 R>>>>", 2000+(i+1)%20), "P1 "+strings.Repeat("/X Do /Y Do ", 10)))
		}
		pages := ""
		for i := range 20 {
			pages += fmt.Sprintf("/X%d Do ", i)
		}
		names := "/XObject <<"
		for i := range 20 {
			names += fmt.Sprintf("/X%d %d 0 R ", i, 2000+i)
		}
		return withObjects(pages+"/OC /B BDC P2 EMC", names+">>", objects...)
	}},
	{"form that draws itself", func() []byte {
		return withObjects("/X Do /OC /B BDC P2 EMC", "/XObject <</X 30 0 R>>", Form(30, "/Resources <</XObject <</X 30 0 R>>>>", "P1 /X Do"))
	}},
	{"two hundred thousand groups", func() []byte {
		var refs strings.Builder
		objects := []Object{}
		for i := range 200000 {
			objects = append(objects, Obj(2000+i, fmt.Sprintf("<</Type /OCG /Name (%d)>>", i)))
			fmt.Fprintf(&refs, "%d 0 R ", 2000+i)
		}
		return Build(Doc{
			OCProperties: "<</OCGs [" + refs.String() + "] /D <</Order [" + refs.String() + "] /OFF [" + refs.String() + "]>>>>",
			Objects:      objects,
			Pages:        []Page{{Content: "/OC /X BDC P1 EMC P2", Resources: "<</Properties <</X 2000 0 R>>>>"}},
		})
	}},
	{"page tree that holds itself", func() []byte {
		return Build(Doc{Groups: []string{"A", "B"}, Objects: []Object{
			Obj(PagesObject, "<</Type /Pages /Count 99 /Kids [2 0 R 3 0 R 2 0 R]>>")}})
	}},
	{"page that is there a million times", func() []byte {
		return Build(Doc{Groups: []string{"A", "B"}, Objects: []Object{
			Obj(PagesObject, "<</Type /Pages /Count 1000000 /Kids ["+strings.Repeat("3 0 R ", 1_000_000)+"]>>")}})
	}},
	{"page tree that doubles forty times", func() []byte { return withTree("/Pages", "Kids", 2000, 40) }},
	{"order that holds itself", func() []byte {
		return Build(Doc{OCProperties: "<</OCGs [5 0 R 6 0 R] /D <</Order 30 0 R>>>>", Groups: []string{"A", "B"},
			Objects: []Object{Obj(30, "[5 0 R 30 0 R [30 0 R 30 0 R] 6 0 R]")}, Pages: []Page{{Content: "/OC /B BDC P1 EMC P2"}}})
	}},
	{"expression that doubles sixty times", func() []byte {
		var objects []Object
		for i := range 60 {
			objects = append(objects, Obj(2000+i, fmt.Sprintf("[/And %d 0 R %[1]d 0 R]", 2001+i)))
		}
		objects = append(objects, Obj(2060, "[/Not 6 0 R]"), Obj(30, "<</Type /OCMD /VE 2000 0 R>>"))
		return withObjects("/OC /M BDC P1 EMC /OC /B BDC P2 EMC", "/Properties <</M 30 0 R /B 6 0 R>>", objects...)
	}},
	{"structure a hundred thousand deep", func() []byte {
		objects := []Object{Obj(40, "<</Type /StructTreeRoot /K 2000 0 R /ParentTree <</Nums [0 [2000 0 R]]>>>>")}
		for i := range 100000 {
			objects = append(objects, Obj(2000+i, fmt.Sprintf("<</S /P /P %d 0 R /K %d 0 R>>", 1999+i, 2001+i)))
		}
		objects = append(objects, Obj(102000, "<</S /P /P 101999 0 R /Pg 3 0 R /K 0>>"))
		return Build(Doc{Groups: []string{"A", "B"}, Catalog: "/StructTreeRoot 40 0 R", Objects: objects,
			Pages: []Page{{Content: "/OC /B BDC /P <</MCID 0>> BDC P1 EMC EMC P2", Entries: "/StructParents 0"}}})
	}},
	{"parent tree that doubles sixty times", func() []byte {
		objects := []Object{Obj(40, "<</Type /StructTreeRoot /K [<</S /P /Pg 3 0 R /K [0 1]>>] /ParentTree 2000 0 R>>")}
		for i := range 60 {
			objects = append(objects, Obj(2000+i, fmt.Sprintf("<</Kids [%d 0 R %[1]d 0 R]>>", 2001+i)))
		}
		objects = append(objects, Obj(2060, "<</Nums [0 [null null]]>>"))
		return Build(Doc{Groups: []string{"A", "B"}, Catalog: "/StructTreeRoot 40 0 R", Objects: objects,
			Pages: []Page{{Content: "/OC /B BDC /P <</MCID 0>> BDC P1 EMC EMC /P <</MCID 1>> BDC P2 EMC", Entries: "/StructParents 0"}}})
	}},
	{"actions that follow each other in a ring", func() []byte {
		return Build(Doc{Groups: []string{"A", "B"}, Catalog: "/OpenAction 30 0 R", Pages: []Page{{Content: "/OC /B BDC P1 EMC P2"}},
			Objects: []Object{
				Obj(30, "<</S /SetOCGState /State [/ON 6 0 R] /Next [31 0 R 31 0 R]>>"),
				Obj(31, "<</S /SetOCGState /State [/ON 6 0 R] /Next [30 0 R 30 0 R]>>")}})
	}},
	{"fields that hold each other", func() []byte {
		return Build(Doc{Groups: []string{"A", "B"}, Catalog: "/AcroForm <</Fields [30 0 R 31 0 R]>>", Pages: []Page{{Content: "/OC /B BDC P1 EMC P2"}},
			Objects: []Object{Obj(30, "<</T (a) /Kids [31 0 R 31 0 R]>>"), Obj(31, "<</T (b) /Kids [30 0 R 30 0 R]>>")}})
	}},
	{"two megabytes of the word stream in an object", func() []byte {
		return withObjects("/OC /B BDC P1 EMC P2", "", Obj(30, "("+strings.Repeat("stream ", 300000)+")"))
	}},
	{"two megabytes of the bare word stream in an object", func() []byte {
		return withObjects("/OC /B BDC P1 EMC P2", "", Obj(30, "["+strings.Repeat("stream ", 300000)+"]"))
	}},
	{"eight megabytes of strings in an object", func() []byte {
		return withObjects("/OC /B BDC P1 EMC P2", "", Obj(30, "["+strings.Repeat("(a) ", 2000000)+"]"))
	}},
	{"two megabytes of strings in an object", func() []byte {
		return withObjects("/OC /B BDC P1 EMC P2", "", Obj(30, "["+strings.Repeat("(a) ", 500000)+"]"))
	}},
	{"resources of a million names", func() []byte {
		var b strings.Builder
		for i := range 1000000 {
			fmt.Fprintf(&b, "/F%d 29 0 R ", i)
		}
		return withObjects("BT /F1 9 Tf (a) Tj ET /OC /B BDC P1 EMC P2", "/Font <<"+b.String()+">>")
	}},
	{"million small paths in hidden content", func() []byte {
		return withObjects("/OC /B BDC "+strings.Repeat("0 0 m 9 9 l S ", 1000000)+"EMC P2", "")
	}},
	{"million changes of the font before visible text", func() []byte {
		return withObjects("BT "+strings.Repeat("/OC /B BDC /F 9 Tf (a) Tj EMC ", 300000)+"(b) Tj ET", "")
	}},
	{"clip of a million rectangles", func() []byte {
		return withObjects("/OC /B BDC "+strings.Repeat("0 0 9 9 re ", 1000000)+"W n EMC P2", "")
	}},
	{"dash of a million numbers, ten times over", func() []byte {
		return withObjects(strings.Repeat("["+strings.Repeat("1 2 ", 50000)+"] 0 d 0 0 m 9 9 l S ", 10)+"/OC /B BDC P1 EMC", "")
	}},
	{"two hundred thousand colours", func() []byte {
		var b strings.Builder
		for i := range 200000 {
			fmt.Fprintf(&b, "%.3f %.3f %.3f RG 0 0 m 9 9 l S ", float64(i%100)/100, float64(i/100%100)/100, float64(i/10000)/20)
		}
		return withObjects(b.String()+"/OC /B BDC P1 EMC", "")
	}},
	{"hundred thousand squares and labels", func() []byte {
		var b strings.Builder
		for i := range 100000 {
			fmt.Fprintf(&b, "%d %d 72 72 re S BT /F 9 Tf %[1]d %d Td (1 inch test square) Tj ET ", i%1000*80, i/1000*80, i/1000*80+9)
		}
		return withObjects(b.String()+"/OC /B BDC P1 EMC", "")
	}},
	{"hundred thousand lines that make squares", func() []byte {
		var b strings.Builder
		for i := range 100000 {
			fmt.Fprintf(&b, "%d 0 m %[1]d 72 l S 0 %[1]d m 72 %[1]d l S ", i%300)
		}
		return withObjects(b.String()+"BT /F 9 Tf 9 9 Td (1 inch) Tj ET /OC /B BDC P1 EMC", "")
	}},
	{"colours by a function of a gibibyte", func() []byte {
		return withObjects("/S CS 1 SCN 0 0 m 9 9 l S /OC /B BDC P1 EMC", "/ColorSpace <</S [/Separation /X /DeviceRGB 30 0 R]>>",
			Stream(30, "/FunctionType 0 /Domain [0 1] /Range [0 1 0 1 0 1] /Size [300000000] /BitsPerSample 8 /Filter /FlateDecode", string(Squeezed(zeros(1<<30)))))
	}},
	{"colours by a function that is nested a hundred thousand deep", func() []byte {
		return withObjects("/S CS 1 SCN 0 0 m 9 9 l S /OC /B BDC P1 EMC", "/ColorSpace <</S [/Separation /X /DeviceGray 30 0 R]>>",
			Stream(30, "/FunctionType 4 /Domain [0 1] /Range [0 1]", brackets("{", "}", 100000)))
	}},
	{"function of functions that doubles sixty times", func() []byte {
		var objects []Object
		for i := range 60 {
			objects = append(objects, Obj(2000+i, fmt.Sprintf("<</FunctionType 3 /Domain [0 1] /Functions [%d 0 R %[1]d 0 R] /Bounds [.5] /Encode [0 1 0 1]>>", 2001+i)))
		}
		objects = append(objects, Obj(2060, "<</FunctionType 2 /Domain [0 1] /N 1>>"))
		return withObjects("/S CS 1 SCN 0 0 m 9 9 l S /OC /B BDC P1 EMC", "/ColorSpace <</S [/Separation /X /DeviceGray 2000 0 R]>>", objects...)
	}},
	{"form drawn in forty thousand colours", func() []byte {
		var b strings.Builder
		for i := range 40000 {
			fmt.Fprintf(&b, "%.4f %.4f 0 RG /X Do ", float64(i%200)/200, float64(i/200)/200)
		}
		return withObjects(b.String()+"/OC /B BDC P1 EMC", "/XObject <</X 30 0 R>>", Form(30, "", strings.Repeat("0 0 m 9 9 l S ", 100)))
	}},
	{"hundred thousand annotations", func() []byte {
		return withPage("/Annots [" + strings.Repeat("<</Type /Annot /Subtype /Link /Rect [0 0 9 9] /OC 6 0 R>> ", 100000) + "]")
	}},
	{"outline that leads back to itself", func() []byte {
		return Build(Doc{Groups: []string{"A", "B"}, Catalog: "/Outlines 30 0 R", Pages: []Page{{Content: "/OC /B BDC P1 EMC P2"}},
			Objects: []Object{Obj(30, "<</First 31 0 R /Last 31 0 R>>"), Obj(31, "<</Title (a) /Parent 31 0 R /Next 31 0 R /First 31 0 R>>")}})
	}},
	{"tables that lie about the size", func() []byte {
		f := withObjects("/OC /B BDC P1 EMC P2", "")
		return bytes.Replace(f, []byte("/Size "), []byte("/Size 21474836470000"), 1)
	}},
	{"no table at all", func() []byte {
		f := withObjects("/OC /B BDC P1 EMC P2", "")
		return f[:bytes.LastIndex(f, []byte("xref"))-4]
	}},
	{"length beyond the end of the file", func() []byte {
		return bytes.ReplaceAll(withObjects("/OC /B BDC P1 EMC P2", ""), []byte("/Length "), []byte("/Length 99999999"))
	}},
	{"layers nested three hundred thousand deep", func() []byte {
		return withContent("", opened("/OC /A BDC ", 300_000, ""))
	}},
	{"layers nested three million deep", func() []byte {
		return withContent("", opened("/OC /A BDC ", 3_000_000, ""))
	}},
	{"layers nested and closed, with marks", func() []byte {
		return withContent("", opened("/OC /A BDC f ", 1_000_000, "EMC S "))
	}},
	{"removed layers nested three million deep", func() []byte {
		return withContent("", opened("/OC /B BDC ", 3_000_000, ""))
	}},
	{"q five million times", func() []byte { return withContent("", opened("q ", 5_000_000, "")) }},
	{"q and Q five million times", func() []byte { return withContent("", Repeated("q Q ", 5_000_000)) }},
	{"q hundred million times", func() []byte { return withContent("", opened("q\n", 100_000_000, "")) }},
	{"BT five million times", func() []byte { return withContent("", opened("BT ", 5_000_000, "")) }},
	{"three million names", func() []byte { return withContent("", numbered("/a%d gs ", 3_000_000)) }},
	{"three million XObjects that are missing", func() []byte { return withContent("", numbered("/a%d Do ", 3_000_000)) }},
	{"five million removed texts on a line", func() []byte {
		return withContent("BT /F 9 Tf /OC /B BDC ", Repeated("(a)Tj ", 5_000_000))
	}},
	{"three million removed texts of as many fonts", func() []byte {
		return withContent("BT /OC /B BDC ", numbered("/F %d Tf(a)Tj ", 3_000_000))
	}},
	{"three million clips in removed content", func() []byte {
		return withContent("/OC /B BDC ", Repeated("0 0 9 9 re W n ", 3_000_000))
	}},
	{"marks and removed marks in turn", func() []byte { return withContent("", Repeated("/OC /B BDC f EMC f ", 5_000_000)) }},
	{"three million inline images", func() []byte { return withContent("", Repeated("BI /W 1 ID a EI ", 3_000_000)) }},
	{"three million tagged sections", func() []byte { return withContent("", numbered("/P <</MCID %d>> BDC f EMC ", 3_000_000)) }},
	{"text of a hundred million letters", func() []byte {
		return withContent("BT /F 9 Tf (", Repeated("abcdefghij", 10_000_000), ") Tj ET")
	}},
	{"forms that double forty times, with a text", func() []byte {
		return withForms(40, "/X Do /X Do", "BT /F 9 Tf (a) Tj ET /OC /B BDC P1 EMC")
	}},
	{"forms that double forty times, with a line", func() []byte {
		return withForms(40, "/X Do /X Do", "0 0 m 9 9 l S")
	}},
	{"forms that double forty times, in changing states", func() []byte {
		return withForms(40, "/X Do .99 0 0 .99 0 0 cm .5 w .4 g /X Do", "BT /F 9 Tf (a) Tj ET 0 0 m 9 9 l B /OC /B BDC P1 EMC")
	}},
	{"forms that double forty times, in changing layers", func() []byte {
		return withForms(40, "/OC /A BDC /X Do EMC /OC /B BDC /X Do EMC", "BT /F 9 Tf (a b c) Tj ET 0 0 m 9 9 l S")
	}},
	{"forms that draw the next five times, with much of their own", func() []byte {
		return withForms(50, strings.Repeat("/X Do BT /F 9 Tf 9 9 Td (Cut 2) Tj ET 0 0 72 72 re S ", 5), "P1")
	}},
	{"forms that double forty times, with a dash of many numbers", func() []byte {
		return withForms(40, "/X Do /X Do", "["+strings.Repeat("1 2 3 4 5 ", 200)+"1 2] 0 d 0 0 m 9 9 l S")
	}},
	{"forms that double forty times, with many removed styles", func() []byte {
		return withForms(40, "1 0 0 RG /X Do 0 1 0 RG /X Do 0 0 1 RG 2 w /X Do", "0 0 m 9 9 l S")
	}},
	{"cells of patterns that double forty times", func() []byte {
		var objects []Object
		for i := range 40 {
			objects = append(objects, Stream(2000+i, fmt.Sprintf("/PatternType 1 /PaintType 1 /TilingType 1 /BBox [0 0 9 9] "+
				"/XStep 9 /YStep 9 /Resources <</Pattern <</P %d 0 R /Q %[1]d 0 R>> /Properties <</B 6 0 R>>>>", 2001+i),
				"/Pattern cs /P scn 0 0 9 9 re f /Q scn 0 0 9 9 re f /OC /B BDC f EMC"))
		}
		return withObjects("/Pattern cs /P scn 0 0 9 9 re f", "/Pattern <</P 2000 0 R>>", objects...)
	}},
	{"dash of four million numbers", func() []byte {
		return withContent("[", Repeated("1 2 ", 2_000_000), "] 0 d 0 0 m 9 9 l S")
	}},
	{"dash of four million numbers that repeats but for the last", func() []byte {
		return withContent("[", Repeated("1 ", 3_603_600), "2] 0 d 0 0 m 9 9 l S")
	}},
	{"dash of a million numbers, a thousand times over", func() []byte {
		return withContent("[", Repeated("1 2 ", 499_999), "3 4] 0 d ", Repeated("0 0 m 9 9 l S ", 1000))
	}},
	{"twenty thousand dash patterns", func() []byte {
		return withContent("", numbered("[1 2 3 4 5 6 7 %d] 0 d 0 0 m 9 9 l S ", 20_000))
	}},
	{"form drawn in four thousand colours, three hundred times", func() []byte {
		var b strings.Builder
		for i := range 4000 {
			fmt.Fprintf(&b, "%.4f %.4f 0 RG /X Do ", float64(i%200)/200, float64(i/200)/200)
		}
		return withObjects(strings.Repeat(b.String(), 300), "/XObject <</X 30 0 R>>", Form(30, "", "0 0 m 9 9 l S"))
	}},
	{"membership of ten thousand groups, used three hundred thousand times", func() []byte {
		return withObjects(strings.Repeat("/OC /M BDC f EMC ", 300_000), "/Properties <</M 30 0 R /B 6 0 R>>",
			Obj(30, "<</Type /OCMD /OCGs ["+strings.Repeat("5 0 R 6 0 R ", 5000)+"]>>"))
	}},
	{"fifty thousand groups, each in the one before", func() []byte {
		const count = 50_000
		var objects []Object
		var refs, names, open strings.Builder
		for i := range count {
			objects = append(objects, Obj(2000+i, fmt.Sprintf("<</Type /OCG /Name (%d)>>", i)))
			fmt.Fprintf(&refs, "%d 0 R ", 2000+i)
			fmt.Fprintf(&names, "/G%d %d 0 R ", i, 2000+i)
			fmt.Fprintf(&open, "/OC /G%d BDC ", i)
		}
		return Build(Doc{
			OCProperties: "<</OCGs [" + refs.String() + "] /D <<>>>>", Objects: objects,
			Pages: []Page{{
				Content:   open.String() + strings.Repeat("BT /F 9 Tf (a) Tj ET 0 0 72 72 re S ", 20_000),
				Resources: "<</Font <</F 29 0 R>> /Properties <<" + names.String() + ">>>>",
			}},
		})
	}},
	{"a thousand pages of one large stream", func() []byte {
		doc := Doc{Groups: []string{"A", "B"}}
		for range 1000 {
			doc.Pages = append(doc.Pages, Page{Entries: "/Contents 30 0 R"})
		}
		doc.Objects = []Object{Stream(30, "/Filter /FlateDecode", string(Squeezed(Repeated("/OC /B BDC f EMC 0 0 m 9 9 l S\n", 1_000_000))))}
		f := Build(doc)
		return bytes.ReplaceAll(f, []byte("/Contents ["), []byte("/Contentz ["))
	}},
	{"hundred thousand annotations that draw a large form", func() []byte {
		return Build(Doc{Groups: []string{"A", "B"}, Pages: []Page{{Content: "/OC /B BDC P1 EMC P2",
			Entries: "/Annots [" + strings.Repeat("<</Type /Annot /Subtype /Stamp /Rect [0 0 9 9] /AP <</N 30 0 R>>>> ", 100_000) + "]"}},
			Objects: []Object{Form(30, "", strings.Repeat("0 0 m 9 9 l S ", 10_000))}})
	}},
	{"thousand fonts with one encoding of four megabytes", func() []byte {
		var names, content strings.Builder
		objects := []Object{
			Stream(31, "/Type /CMap /Filter /FlateDecode", string(Squeezed(Repeated("1 begincidrange <00> <ff> 0 endcidrange\n", 100_000)))),
			Obj(32, "<</Type /Font /Subtype /CIDFontType2 /BaseFont /T>>"),
		}
		for i := range 1000 {
			fmt.Fprintf(&names, "/F%d %d 0 R ", i, 2000+i)
			fmt.Fprintf(&content, "/F%d 9 Tf (a) Tj ", i)
			objects = append(objects, Obj(2000+i, "<</Type /Font /Subtype /Type0 /BaseFont /T /Encoding 31 0 R /ToUnicode 31 0 R /DescendantFonts [32 0 R]>>"))
		}
		return withObjects("BT "+content.String()+"/OC /B BDC "+content.String()+"EMC ET", "/Font <<"+names.String()+">>", objects...)
	}},
}

// withObjects is a document of two layers with content, further resources and
// objects.
func withObjects(content, resources string, objects ...Object) []byte {
	if !strings.Contains(resources, "/Properties") {
		resources += " /Properties <</A 5 0 R /B 6 0 R>>"
	}
	if !strings.Contains(resources, "/Font") {
		resources += " /Font <</F 29 0 R>>"
	}
	return Build(Doc{Groups: []string{"A", "B"}, Objects: objects, Pages: []Page{{Content: content, Resources: "<<" + resources + ">>"}}})
}

func withPage(entries string) []byte {
	return Build(Doc{Groups: []string{"A", "B"}, Pages: []Page{{Content: "/OC /B BDC P1 EMC P2", Entries: entries}}})
}

func withStream(num int, entries string, data []byte) []byte {
	return Build(Doc{Groups: []string{"A", "B"}, Objects: []Object{Stream(num, entries, string(data))}})
}

// withContent is a document of two layers with a page whose content is compressed:
// a text, then what is read from others, and texts.
func withContent(begin string, parts ...any) []byte {
	list := []io.Reader{strings.NewReader(begin)}
	for _, p := range parts {
		switch p := p.(type) {
		case io.Reader:
			list = append(list, p)
		case string:
			list = append(list, strings.NewReader(p))
		}
	}
	return withStream(ContentObject, "/Filter /FlateDecode", Squeezed(io.MultiReader(list...)))
}

// withForms is a document of two layers with forms that draw the next, X, as
// content says. The page draws the first, and the last has content of its own.
func withForms(count int, content, last string) []byte {
	const resources = "/Font <</F 29 0 R>> /Properties <</A 5 0 R /B 6 0 R>>"
	var objects []Object
	for i := range count {
		objects = append(objects, Form(2000+i, fmt.Sprintf("/Resources <</XObject <</X %d 0 R>> %s>>", 2001+i, resources), content))
	}
	objects = append(objects, Form(2000+count, "/Resources <<"+resources+">>", last))
	return withObjects("/X Do /OC /B BDC P1 EMC P2", "/XObject <</X 2000 0 R>>", objects...)
}

// withTree is a page tree of nodes that hold the next one twice.
func withTree(kind, key string, first, depth int) []byte {
	objects := []Object{Obj(PagesObject, fmt.Sprintf("<</Type %s /Count 9 /%s [%d 0 R %[3]d 0 R]>>", kind, key, first))}
	for i := range depth {
		objects = append(objects, Obj(first+i, fmt.Sprintf("<</Type %s /Parent %d 0 R /Count 9 /%s [%d 0 R %[4]d 0 R]>>", kind, first+i-1, key, first+i+1)))
	}
	objects = append(objects, Obj(first+depth, "<</Type /Page /MediaBox [0 0 9 9]>>"))
	return Build(Doc{Groups: []string{"A", "B"}, Objects: objects})
}

func brackets(open, shut string, n int) string {
	return strings.Repeat(open, n) + strings.Repeat(shut, n)
}

func zeros(n int64) io.Reader { return io.LimitReader(zeroReader{}, n) }

type zeroReader struct{}

func (zeroReader) Read(p []byte) (int, error) { clear(p); return len(p), nil }

// Repeated gives a text many times over.
func Repeated(text string, times int) io.Reader {
	part := []byte(strings.Repeat(text, 1000))
	list := make([]io.Reader, 0, times/1000)
	for range times / 1000 {
		list = append(list, bytes.NewReader(part))
	}
	return io.MultiReader(list...)
}

// opened gives brackets that open, as many times, and those that close.
func opened(open string, times int, shut string) io.Reader {
	if shut == "" {
		return Repeated(open, times)
	}
	return io.MultiReader(Repeated(open, times), Repeated(shut, times))
}

// numbered gives a text with the numbers from 0 on.
func numbered(format string, times int) io.Reader {
	var b bytes.Buffer
	for i := range times {
		fmt.Fprintf(&b, format, i)
	}
	return &b
}

// Squeezed deflates what in gives, or bytes.
func Squeezed(in any) []byte {
	r, ok := in.(io.Reader)
	if !ok {
		r = bytes.NewReader(in.([]byte))
	}
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	if _, err := io.Copy(w, r); err != nil {
		panic(err)
	}
	if err := w.Close(); err != nil {
		panic(err)
	}
	return b.Bytes()
}
