package layers

import (
	"bytes"
	"compress/zlib"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// hostileFile is a file made to exhaust its reader.
type hostileFile struct {
	name string
	file func() []byte
}

// hostileFiles are those. Each ends in a right result or an error, in no more
// than ten seconds and a gibibyte; see TestHostile.
var hostileFiles = []hostileFile{
	{"page content of a gibibyte in a kilobyte", func() []byte {
		return withStream(testpdf.ContentObject, "/Filter [/FlateDecode /FlateDecode]", squeezed(squeezed(zeros(1<<30))))
	}},
	{"page content of a gibibyte in a megabyte", func() []byte {
		return withStream(testpdf.ContentObject, "/Filter /FlateDecode", squeezed(zeros(1<<30)))
	}},
	{"page content of 500 MB of operators", func() []byte {
		return withStream(testpdf.ContentObject, "/Filter /FlateDecode", squeezed(repeated("0 0 m 9 9 l S\n", 36<<20)))
	}},
	{"page content of 500 MB by run lengths", func() []byte {
		return withStream(testpdf.ContentObject, "/Filter /RunLengthDecode", []byte(strings.Repeat("\x81 ", 500<<20/128)))
	}},
	{"font encoding of a gibibyte", func() []byte {
		return withObjects("BT /T 9 Tf (a) Tj ET /OC /B BDC BT /T 9 Tf (b) Tj ET EMC", "/Font <</T 30 0 R>>",
			testpdf.Obj(30, "<</Type /Font /Subtype /Type0 /BaseFont /T /Encoding 31 0 R /DescendantFonts [32 0 R] /ToUnicode 31 0 R>>"),
			testpdf.Stream(31, "/Type /CMap /Filter /FlateDecode", string(squeezed(zeros(1<<30)))),
			testpdf.Obj(32, "<</Type /Font /Subtype /CIDFontType2 /BaseFont /T>>"))
	}},
	{"one stream as content ten thousand times", func() []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Objects: []testpdf.Object{
			testpdf.Obj(testpdf.PageObject, "<</Type /Page /Parent 2 0 R /MediaBox [0 0 9 9] /Contents ["+strings.Repeat("30 0 R ", 10000)+"]>>"),
			testpdf.Stream(30, "/Filter /FlateDecode", string(squeezed(repeated("0 0 9 9 re f\n", 10000)))),
		}})
	}},
	{"arrays nested a hundred thousand deep in a page", func() []byte { return withPage("/X " + deep("[", "]", 100000)) }},
	{"dictionaries nested a hundred thousand deep in a page", func() []byte { return withPage("/X " + deep("<</X ", ">>", 100000)) }},
	{"arrays nested a hundred thousand deep in content", func() []byte {
		return withObjects("P1 "+deep("[", "]", 100000)+" TJ /OC /B BDC P2 EMC", "")
	}},
	{"q nested a hundred thousand deep", func() []byte {
		return withObjects(strings.Repeat("q ", 100000)+"P1 /OC /B BDC P2 EMC "+strings.Repeat("Q ", 100000), "")
	}},
	{"sections nested a hundred thousand deep", func() []byte {
		return withObjects(strings.Repeat("/OC /B BDC ", 100000)+"P1 "+strings.Repeat("EMC ", 100000)+"P2", "")
	}},
	{"forms nested a hundred thousand deep", func() []byte {
		var objects []testpdf.Object
		for i := range 100000 {
			objects = append(objects, testpdf.Form(2000+i, fmt.Sprintf("/Resources <</XObject <</X %d 0 R>>>>", 2001+i), "/X Do P1"))
		}
		return withObjects("/X Do /OC /B BDC P2 EMC", "/XObject <</X 2000 0 R>>", objects...)
	}},
	{"forms that draw the next ten times", func() []byte {
		var objects []testpdf.Object
		for i := range 40 {
			objects = append(objects, testpdf.Form(2000+i, fmt.Sprintf("/Resources <</XObject <</X %d 0 R>> /Properties <</B 6 0 R>>>>", 2001+i),
				strings.Repeat("/X Do ", 10)+"/OC /B BDC P1 EMC P2"))
		}
		return withObjects("/X Do /OC /B BDC P2 EMC", "/XObject <</X 2000 0 R>>", objects...)
	}},
	{"forms that draw the next in ten states of the text", func() []byte {
		var objects []testpdf.Object
		setters := []string{"%d Tc", "%d Tw", "%d0 Tz", "%d TL", "%d Ts", "/F %d Tf", "%d.5 Tc", "%d.5 Tw"}
		for i, setter := range setters {
			content := ""
			for n := range 10 {
				content += fmt.Sprintf(setter+" /X Do ", n+1)
			}
			objects = append(objects, testpdf.Form(2000+i, fmt.Sprintf("/Resources <</Font <</F 29 0 R>> /XObject <</X %d 0 R>>>>", 2001+i), content))
		}
		objects = append(objects, testpdf.Form(2000+len(setters), "/Resources <</Properties <</B 6 0 R>>>>", "BT /OC /B BDC (a b) Tj EMC (c) Tj ET"))
		return withObjects("/X Do", "/XObject <</X 2000 0 R>>", objects...)
	}},
	{"soft masks nested a hundred thousand deep", func() []byte {
		var objects []testpdf.Object
		for i := range 100_000 {
			objects = append(objects, testpdf.Form(2000+i, fmt.Sprintf("/Group <</S /Transparency>> /Resources <</ExtGState <</G <</SMask <</S /Alpha /G %d 0 R>>>>>>>>", 2001+i), "/G gs P1"))
		}
		return withObjects("/G gs P1 /OC /B BDC P2 EMC", "/ExtGState <</G <</SMask <</S /Alpha /G 2000 0 R>>>>>>", objects...)
	}},
	{"ring of twenty forms that draw the next ten times", func() []byte {
		var objects []testpdf.Object
		for i := range 20 {
			objects = append(objects, testpdf.Form(2000+i, fmt.Sprintf("/Resources <</XObject <</X %d 0 R /Y 2000 0 R>>>>", 2000+(i+1)%20), "P1 "+strings.Repeat("/X Do /Y Do ", 10)))
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
		return withObjects("/X Do /OC /B BDC P2 EMC", "/XObject <</X 30 0 R>>", testpdf.Form(30, "/Resources <</XObject <</X 30 0 R>>>>", "P1 /X Do"))
	}},
	{"two hundred thousand groups", func() []byte {
		var refs strings.Builder
		objects := []testpdf.Object{}
		for i := range 200000 {
			objects = append(objects, testpdf.Obj(2000+i, fmt.Sprintf("<</Type /OCG /Name (%d)>>", i)))
			fmt.Fprintf(&refs, "%d 0 R ", 2000+i)
		}
		return testpdf.Build(testpdf.Doc{
			OCProperties: "<</OCGs [" + refs.String() + "] /D <</Order [" + refs.String() + "] /OFF [" + refs.String() + "]>>>>",
			Objects:      objects,
			Pages:        []testpdf.Page{{Content: "/OC /X BDC P1 EMC P2", Resources: "<</Properties <</X 2000 0 R>>>>"}},
		})
	}},
	{"page tree that holds itself", func() []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Objects: []testpdf.Object{
			testpdf.Obj(testpdf.PagesObject, "<</Type /Pages /Count 99 /Kids [2 0 R 3 0 R 2 0 R]>>")}})
	}},
	{"page that is there a million times", func() []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Objects: []testpdf.Object{
			testpdf.Obj(testpdf.PagesObject, "<</Type /Pages /Count 1000000 /Kids ["+strings.Repeat("3 0 R ", 1_000_000)+"]>>")}})
	}},
	{"page tree that doubles forty times", func() []byte { return withTree("/Pages", "Kids", 2000, 40) }},
	{"order that holds itself", func() []byte {
		return testpdf.Build(testpdf.Doc{OCProperties: "<</OCGs [5 0 R 6 0 R] /D <</Order 30 0 R>>>>", Groups: []string{"A", "B"},
			Objects: []testpdf.Object{testpdf.Obj(30, "[5 0 R 30 0 R [30 0 R 30 0 R] 6 0 R]")}, Pages: []testpdf.Page{{Content: "/OC /B BDC P1 EMC P2"}}})
	}},
	{"expression that doubles sixty times", func() []byte {
		var objects []testpdf.Object
		for i := range 60 {
			objects = append(objects, testpdf.Obj(2000+i, fmt.Sprintf("[/And %d 0 R %[1]d 0 R]", 2001+i)))
		}
		objects = append(objects, testpdf.Obj(2060, "[/Not 6 0 R]"), testpdf.Obj(30, "<</Type /OCMD /VE 2000 0 R>>"))
		return withObjects("/OC /M BDC P1 EMC /OC /B BDC P2 EMC", "/Properties <</M 30 0 R /B 6 0 R>>", objects...)
	}},
	{"structure a hundred thousand deep", func() []byte {
		objects := []testpdf.Object{testpdf.Obj(40, "<</Type /StructTreeRoot /K 2000 0 R /ParentTree <</Nums [0 [2000 0 R]]>>>>")}
		for i := range 100000 {
			objects = append(objects, testpdf.Obj(2000+i, fmt.Sprintf("<</S /P /P %d 0 R /K %d 0 R>>", 1999+i, 2001+i)))
		}
		objects = append(objects, testpdf.Obj(102000, "<</S /P /P 101999 0 R /Pg 3 0 R /K 0>>"))
		return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Catalog: "/StructTreeRoot 40 0 R", Objects: objects,
			Pages: []testpdf.Page{{Content: "/OC /B BDC /P <</MCID 0>> BDC P1 EMC EMC P2", Entries: "/StructParents 0"}}})
	}},
	{"parent tree that doubles sixty times", func() []byte {
		objects := []testpdf.Object{testpdf.Obj(40, "<</Type /StructTreeRoot /K [<</S /P /Pg 3 0 R /K [0 1]>>] /ParentTree 2000 0 R>>")}
		for i := range 60 {
			objects = append(objects, testpdf.Obj(2000+i, fmt.Sprintf("<</Kids [%d 0 R %[1]d 0 R]>>", 2001+i)))
		}
		objects = append(objects, testpdf.Obj(2060, "<</Nums [0 [null null]]>>"))
		return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Catalog: "/StructTreeRoot 40 0 R", Objects: objects,
			Pages: []testpdf.Page{{Content: "/OC /B BDC /P <</MCID 0>> BDC P1 EMC EMC /P <</MCID 1>> BDC P2 EMC", Entries: "/StructParents 0"}}})
	}},
	{"actions that follow each other in a ring", func() []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Catalog: "/OpenAction 30 0 R", Pages: []testpdf.Page{{Content: "/OC /B BDC P1 EMC P2"}},
			Objects: []testpdf.Object{
				testpdf.Obj(30, "<</S /SetOCGState /State [/ON 6 0 R] /Next [31 0 R 31 0 R]>>"),
				testpdf.Obj(31, "<</S /SetOCGState /State [/ON 6 0 R] /Next [30 0 R 30 0 R]>>")}})
	}},
	{"fields that hold each other", func() []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Catalog: "/AcroForm <</Fields [30 0 R 31 0 R]>>", Pages: []testpdf.Page{{Content: "/OC /B BDC P1 EMC P2"}},
			Objects: []testpdf.Object{testpdf.Obj(30, "<</T (a) /Kids [31 0 R 31 0 R]>>"), testpdf.Obj(31, "<</T (b) /Kids [30 0 R 30 0 R]>>")}})
	}},
	{"two megabytes of the word stream in an object", func() []byte {
		return withObjects("/OC /B BDC P1 EMC P2", "", testpdf.Obj(30, "("+strings.Repeat("stream ", 300000)+")"))
	}},
	{"two megabytes of the bare word stream in an object", func() []byte {
		return withObjects("/OC /B BDC P1 EMC P2", "", testpdf.Obj(30, "["+strings.Repeat("stream ", 300000)+"]"))
	}},
	{"eight megabytes of strings in an object", func() []byte {
		return withObjects("/OC /B BDC P1 EMC P2", "", testpdf.Obj(30, "["+strings.Repeat("(a) ", 2000000)+"]"))
	}},
	{"two megabytes of strings in an object", func() []byte {
		return withObjects("/OC /B BDC P1 EMC P2", "", testpdf.Obj(30, "["+strings.Repeat("(a) ", 500000)+"]"))
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
			testpdf.Stream(30, "/FunctionType 0 /Domain [0 1] /Range [0 1 0 1 0 1] /Size [300000000] /BitsPerSample 8 /Filter /FlateDecode", string(squeezed(zeros(1<<30)))))
	}},
	{"colours by a function that is nested a hundred thousand deep", func() []byte {
		return withObjects("/S CS 1 SCN 0 0 m 9 9 l S /OC /B BDC P1 EMC", "/ColorSpace <</S [/Separation /X /DeviceGray 30 0 R]>>",
			testpdf.Stream(30, "/FunctionType 4 /Domain [0 1] /Range [0 1]", deep("{", "}", 100000)))
	}},
	{"function of functions that doubles sixty times", func() []byte {
		var objects []testpdf.Object
		for i := range 60 {
			objects = append(objects, testpdf.Obj(2000+i, fmt.Sprintf("<</FunctionType 3 /Domain [0 1] /Functions [%d 0 R %[1]d 0 R] /Bounds [.5] /Encode [0 1 0 1]>>", 2001+i)))
		}
		objects = append(objects, testpdf.Obj(2060, "<</FunctionType 2 /Domain [0 1] /N 1>>"))
		return withObjects("/S CS 1 SCN 0 0 m 9 9 l S /OC /B BDC P1 EMC", "/ColorSpace <</S [/Separation /X /DeviceGray 2000 0 R]>>", objects...)
	}},
	{"form drawn in forty thousand colours", func() []byte {
		var b strings.Builder
		for i := range 40000 {
			fmt.Fprintf(&b, "%.4f %.4f 0 RG /X Do ", float64(i%200)/200, float64(i/200)/200)
		}
		return withObjects(b.String()+"/OC /B BDC P1 EMC", "/XObject <</X 30 0 R>>", testpdf.Form(30, "", strings.Repeat("0 0 m 9 9 l S ", 100)))
	}},
	{"hundred thousand annotations", func() []byte {
		return withPage("/Annots [" + strings.Repeat("<</Type /Annot /Subtype /Link /Rect [0 0 9 9] /OC 6 0 R>> ", 100000) + "]")
	}},
	{"outline that leads back to itself", func() []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Catalog: "/Outlines 30 0 R", Pages: []testpdf.Page{{Content: "/OC /B BDC P1 EMC P2"}},
			Objects: []testpdf.Object{testpdf.Obj(30, "<</First 31 0 R /Last 31 0 R>>"), testpdf.Obj(31, "<</Title (a) /Parent 31 0 R /Next 31 0 R /First 31 0 R>>")}})
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
}

// withObjects is a document of two layers with content, further resources and
// objects.
func withObjects(content, resources string, objects ...testpdf.Object) []byte {
	if !strings.Contains(resources, "/Properties") {
		resources += " /Properties <</A 5 0 R /B 6 0 R>>"
	}
	if !strings.Contains(resources, "/Font") {
		resources += " /Font <</F 29 0 R>>"
	}
	return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Objects: objects, Pages: []testpdf.Page{{Content: content, Resources: "<<" + resources + ">>"}}})
}

func withPage(entries string) []byte {
	return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: "/OC /B BDC P1 EMC P2", Entries: entries}}})
}

func withStream(num int, entries string, data []byte) []byte {
	return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Objects: []testpdf.Object{testpdf.Stream(num, entries, string(data))}})
}

// withTree is a page tree of nodes that hold the next one twice.
func withTree(kind, key string, first, depth int) []byte {
	objects := []testpdf.Object{testpdf.Obj(testpdf.PagesObject, fmt.Sprintf("<</Type %s /Count 9 /%s [%d 0 R %[3]d 0 R]>>", kind, key, first))}
	for i := range depth {
		objects = append(objects, testpdf.Obj(first+i, fmt.Sprintf("<</Type %s /Parent %d 0 R /Count 9 /%s [%d 0 R %[4]d 0 R]>>", kind, first+i-1, key, first+i+1)))
	}
	objects = append(objects, testpdf.Obj(first+depth, "<</Type /Page /MediaBox [0 0 9 9]>>"))
	return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Objects: objects})
}

func deep(open, shut string, n int) string {
	return strings.Repeat(open, n) + strings.Repeat(shut, n)
}

func zeros(n int64) io.Reader { return io.LimitReader(zeroReader{}, n) }

type zeroReader struct{}

func (zeroReader) Read(p []byte) (int, error) { clear(p); return len(p), nil }

// repeated gives a text many times over.
func repeated(text string, times int) io.Reader {
	part := []byte(strings.Repeat(text, 1000))
	list := make([]io.Reader, 0, times/1000)
	for range times / 1000 {
		list = append(list, bytes.NewReader(part))
	}
	return io.MultiReader(list...)
}

// squeezed deflates what in gives, or bytes.
func squeezed(in any) []byte {
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

const (
	hostileVariable = "SIZEPLY_HOSTILE_FILE"
	hostileTime     = 10 * time.Second
	hostileMemory   = 1 << 30
)

// TestHostile opens, inspects, isolates and checks each file in a process of
// its own, which must end by itself, in time and within memory. The time is a
// bound against hanging, ten times what the slowest takes.
func TestHostile(t *testing.T) {
	if name := os.Getenv(hostileVariable); name != "" {
		fmt.Println(suffer(name))
		return
	}
	if testing.Short() {
		t.Skip("takes processes of a gibibyte")
	}
	t.Parallel()
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range hostileFiles {
		t.Run(h.name, func(t *testing.T) {
			name := filepath.Join(t.TempDir(), "hostile.pdf")
			if err := os.WriteFile(name, h.file(), 0o600); err != nil {
				t.Fatal(err)
			}
			ctx, cancel := context.WithTimeout(context.Background(), hostileTime*6) // other tests run at the same time
			defer cancel()
			cmd := exec.CommandContext(ctx, program, "-test.run=^TestHostile$")
			cmd.Env = append(os.Environ(), hostileVariable+"="+name)
			out, err := cmd.CombinedOutput()
			used := time.Duration(0)
			if cmd.ProcessState != nil {
				used = cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
			}
			text, _, _ := strings.Cut(string(out), "\n")
			if strings.HasPrefix(text, "WRONG") {
				t.Error(text)
			}
			switch peak := peakMemory(cmd.ProcessState); {
			case err != nil:
				t.Errorf("%v after %v: %s", err, used, text)
			case used > 2*hostileTime: // on two cores
				t.Errorf("it took %v of all cores: %s", used, text)
			case peak > hostileMemory:
				t.Errorf("it took %d MB: %s", peak>>20, text)
			default:
				t.Logf("%v, %d MB: %s", used.Round(10*time.Millisecond), peak>>20, text)
			}
		})
	}
}

// suffer does with a file what the command does, and says in one line how it
// ended.
func suffer(name string) string {
	f, err := os.Open(name)
	if err != nil {
		return err.Error()
	}
	defer f.Close()
	ctx := context.Background()
	doc, err := Open(ctx, f, nil)
	if err != nil {
		return "not opened: " + err.Error()
	}
	if _, err := doc.Inspect(ctx); err != nil {
		return "not inspected: " + err.Error()
	}
	var out bytes.Buffer
	report, err := doc.Isolate(ctx, &out, Selection{Layers: []int{0}}, nil)
	if err != nil {
		return "not isolated: " + err.Error()
	}
	if err := report.Check(ctx, bytes.NewReader(out.Bytes())); err != nil {
		return "WRONG: " + err.Error()
	}
	lines, err := doc.Lines(ctx)
	if err != nil {
		return fmt.Sprintf("isolated: %d bytes; no lines: %v", out.Len(), err)
	}
	ProposeLines(lines.Styles)
	if err := doc.Switch(ctx, io.Discard, Selection{Layers: []int{0}}); err != nil {
		return "not switched: " + err.Error()
	}
	return fmt.Sprintf("isolated: %d bytes; %d line styles", out.Len(), len(lines.Styles))
}
