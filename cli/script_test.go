package cli

import (
	"archive/zip"
	"bytes"
	"fmt"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"github.com/rogpeppe/go-internal/testscript"

	"github.com/sizeply/sizeply/internal/testpdf"
)

func TestMain(m *testing.M) {
	if os.Getenv(runVariable) != "" {
		runCommand()
	}
	testscript.Main(m, map[string]func(){"sizeply": runCommand})
}

// runCommand is what the program does, on the arguments of this process.
func runCommand() {
	code := Main()
	testpdf.SayPeak()
	os.Exit(code)
}

// TestScripts runs the command as a user does; each file of testdata/script
// is one subject. A script has the demo pattern as skirt.pdf and its chart as
// skirt.yaml, and seven commands more: "demo NAME" copies a file from the
// project's testdata, "file KIND NAME" makes a file (see files), "only NAME..."
// fails unless the folder holds just the named files beside those two, "same A
// B" fails unless two files are equal, "until PATTERN" waits for a file, "pixels
// FILE WIDTH HEIGHT" looks at a PNG file, and "zip ARCHIVE FILE=ENTRY..." makes an
// archive, where +ENTRY locks a file with a password.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(env *testscript.Env) error {
			for name, from := range map[string]string{
				"skirt.pdf":  "../testdata/tollmere-skirt.pdf",
				"skirt.yaml": "../testdata/charts/tollmere.yaml",
			} {
				data, err := os.ReadFile(from)
				if err != nil {
					return err
				}
				if err := os.WriteFile(filepath.Join(env.WorkDir, name), data, 0o666); err != nil {
					return err
				}
			}
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"demo":   copyDemo,
			"file":   makeFile,
			"only":   only,
			"same":   same,
			"until":  until,
			"pixels": pixels,
			"zip":    makeArchive,
		},
		Condition: func(cond string) (bool, error) { return cond == "root" && os.Getuid() == 0, nil },
	})
}

// files are the kinds of files that scripts can make.
var files = map[string]func(skirt []byte) []byte{
	"empty":     func([]byte) []byte { return nil },
	"secret":    func([]byte) []byte { return encryptedFile("secret.pdf") },
	"locked":    func([]byte) []byte { return encryptedFile("locked.pdf") },
	"text":      func([]byte) []byte { return []byte("Dear customer,\nyour pattern is attached.\n") },
	"truncated": func(skirt []byte) []byte { return skirt[:len(skirt)/3] },
	"layered": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"Size 8", "Size 10", "Doodle"}, Pages: []testpdf.Page{{Content: "P1"}}})
	},
	"sizes": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"Size 34", "Size 36", "Size 38", "Size 40", "Size 44", "Size 46", "Logo"},
			Pages: []testpdf.Page{{Content: "P1"}}})
	},
	"doubts": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"Size 38", "Size 40", "Size 40 OLD", "Pocket 40", "Size 34-46"},
			Pages: []testpdf.Page{{Content: "P1"}}})
	},
	// a layer for each piece and size, one that names no size, one with the test square
	"piece-sizes": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{
			Groups: []string{"Front 12", "Front 14", "Front 16", "Back 12", "Back 14", "Back 16", "Hinweise", "Square"},
			Pages:  []testpdf.Page{{Content: "/OC /Front#2012 BDC P1 EMC /OC /Front#2014 BDC P2 EMC /OC /Back#2014 BDC P3 EMC"}},
		})
	},
	// sizes that are headings, with pieces of one name under them
	"heads": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{
			Groups:       []string{"Front", "Back", "Front", "Back", "Doodle"},
			OCProperties: "<</OCGs [5 0 R 6 0 R 7 0 R 8 0 R 9 0 R] /D <</Order [[(Size 8) 5 0 R 6 0 R] [(Size 10) 7 0 R 8 0 R] 9 0 R]>>>>",
			Pages:        []testpdf.Page{{Content: "P1"}},
		})
	},
	"views": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"Size 8 A/B", "Size 8 C/D", "Size 10 A/B", "Size 10 C/D"},
			Pages: []testpdf.Page{{Content: "P1"}}})
	},
	"unsure": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"Size 8", "Size 10", "up to size 14"}, Pages: []testpdf.Page{{Content: "P1"}}})
	},
	// three sizes by dash, and a smallest one that is solid, as a grainline is
	"dashes": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{
			Content: "9 9 70 70 re S 5 20 m 5 40 l S 7 20 m 7 40 l S [6 2] 0 d 9 9 73 73 re S [2 2] 0 d 9 9 76 76 re S [9 1 1 1] 0 d 9 9 79 79 re S",
		}}})
	},
	// the same in lines that close nothing
	"open-dashes": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{
			Content: "9 9 m 79 9 l S 5 20 m 5 40 l S 7 20 m 7 40 l S [6 2] 0 d 9 20 m 82 20 l S [2 2] 0 d 9 30 m 85 30 l S [9 1 1 1] 0 d 9 40 m 88 40 l S",
		}}})
	},
	// the first with one grainline, which leaves it a line like the others
	"solid": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{
			Content: "9 9 70 70 re S 5 20 m 5 40 l S [6 2] 0 d 9 9 73 73 re S [2 2] 0 d 9 9 76 76 re S [9 1 1 1] 0 d 9 9 79 79 re S",
		}}})
	},
	"letters": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"A", "B", "C"}, Pages: []testpdf.Page{{Content: "/OC /A BDC P1 EMC"}}})
	},
	"plain": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{Content: "P1 P2"}}})
	},
	"lost": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"Size 12", "Size 14"}, OCProperties: "none", Pages: []testpdf.Page{{Content: "/OC /Size#2014 BDC P1 EMC"}}})
	},
	"encrypted": func([]byte) []byte {
		zeros := strings.Repeat("00", 32)
		plain := testpdf.Build(testpdf.Doc{
			Groups: []string{"Size 14"}, Pages: []testpdf.Page{{Content: "P1"}},
			Objects: []testpdf.Object{testpdf.Obj(50, "<</Filter /Standard /V 1 /R 2 /P -4 /O <"+zeros+"> /U <"+zeros+">>>")},
		})
		return bytes.Replace(plain, []byte("/Root 1 0 R"), []byte("/Root 1 0 R /Encrypt 50 0 R"), 1)
	},
	// two sizes by colour, of which black has a frame and all that is written too
	"black-size": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{
			Entries: "/MediaBox [0 0 600 800]", Resources: "<</Font <</F 29 0 R>>>>",
			Content: "1 0 0 RG 60 60 300 400 re S 0 G 60 60 310 410 re S 10 10 580 780 re S BT /F 12 Tf 90 90 Td (Front) Tj ET",
		}}})
	},
	// a line of red over one of a red that is no further from either size
	"reds": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{Content: "1 0 0 RG 0 0 m 90 90 l S .98 0 0 RG 0 90 m 90 0 l S .96 0 0 RG 9 0 m 90 0 l S"}}})
	},
	// lines that are drawn in pieces, as filled shapes, and half seen
	"pieces": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{
			Resources: "<</ExtGState <</Half <</CA .5>>>>>>",
			Content:   strings.Repeat("0 0 m 8 0 l S 12 0 m 20 0 l S 24 0 m 32 0 l S 36 0 m 44 0 l S ", 9) + "0 0 1 rg 0 50 90 1 re f /Half gs 1 0 0 RG [6 2] 3 d 2 J 0 9 m 90 9 l S",
		}}})
	},
	// each size has a line of its own, and a shorter black one like all others
	"shared-black": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"Size 12", "Size 14", "Size 16"}, Pages: []testpdf.Page{{
			Content: "/OC /Size#2012 BDC 1 0 0 RG 0 0 m 60 0 l S 0 G 0 9 m 40 9 l S EMC " +
				"/OC /Size#2014 BDC 0 1 0 RG 0 0 m 60 0 l S 0 G 0 9 m 40 9 l S EMC " +
				"/OC /Size#2016 BDC 0 0 1 RG 0 0 m 60 0 l S 0 G 0 9 m 40 9 l S EMC",
		}}})
	},
	"two-pages": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{
			Groups: []string{"Size 14", "Size 16", "Logo"},
			Pages: []testpdf.Page{
				{Content: "/OC /Size#2014 BDC P1 EMC /OC /Logo BDC P2 EMC"},
				{Content: "/OC /Size#2016 BDC P1 EMC"},
			},
		})
	},
	// a pattern on three papers: a cover and tiles, the same for Letter, a sheet
	"all-in-one": func([]byte) []byte { return onPapers("cover", "a4", "a4", "letter", "a0") },
	"on-a4":      func([]byte) []byte { return onPapers("cover", "a4", "a4") },
	"on-a0":      func([]byte) []byte { return onPapers("a0") },
	// a page of lines in layers, and a scan
	"half-scan": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"Size 14", "Size 16"}, Pages: []testpdf.Page{
			{Content: "/OC /Size#2014 BDC P1 EMC /OC /Size#2016 BDC P2 EMC"}, {Content: scanned}}})
	},
	"scan": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{Content: scanned}, {Content: scanned}}})
	},
	// a clipping path set in one layer that the other is drawn with
	"clipped": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{
			Groups: []string{"Size 14", "Size 16"},
			Pages:  []testpdf.Page{{Content: "/OC /Size#2016 BDC 0 0 9 9 re W n P1 EMC /OC /Size#2014 BDC P2 EMC"}},
		})
	},
	// a file that pdfcpu does not read, with a name in UTF-16LE, which it misreads
	"second": func([]byte) []byte {
		return bytes.Replace(testpdf.Build(testpdf.Doc{
			Groups:  []string{"Size 14", "Size 16"},
			Objects: []testpdf.Object{testpdf.Obj(5, "<</Type /OCG /Name <FFFE31003400>>>")},
			Pages:   []testpdf.Page{{Content: "/OC /Size#2016 BDC P1 EMC /OC /Size#2014 BDC P2 EMC"}},
		}), []byte("%PDF-1"), []byte("%PDF-x"), 1)
	},
	"commas": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{
			Groups: []string{"Front, back", "Size 14"},
			Pages:  []testpdf.Page{{Content: "/OC /Front,#20back BDC P1 EMC /OC /Size#2014 BDC P2 EMC"}},
		})
	},
	"same-names": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{
			Groups: []string{"Cut", "Cut", "Size 14"},
			Pages:  []testpdf.Page{{Content: "/OC /Cut BDC P1 EMC /OC /Size#2014 BDC P2 EMC"}},
		})
	},
	// a test square of 5 cm, labelled, on a page that was shrunk to 97 %
	"shrunk": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{Groups: []string{"Size 14"}, Pages: []testpdf.Page{{
			Entries: "/MediaBox [0 0 595 842]",
			Content: ".97 0 0 .97 0 0 cm 100 100 141.7323 141.7323 re S BT /F 10 Tf 110 150 Td (Test square 5 cm x 5 cm) Tj ET /OC /Size#2014 BDC P1 EMC",
		}}})
	},
	// some seconds of work
	"long": func([]byte) []byte {
		page := testpdf.Page{Content: strings.Repeat("/OC /Size#2014 BDC P1 EMC /OC /Size#2016 BDC P2 EMC ", 4000)}
		return testpdf.Build(testpdf.Doc{Groups: []string{"Size 14", "Size 16"}, Pages: slices.Repeat([]testpdf.Page{page}, 60)})
	},
	// names that a shell would take for something else, and two that nobody can type
	"shell-names": func([]byte) []byte {
		return named("Size *", "S?ze 8", "a[b]c", "{a,b}", "$HOME", "$(id)", "`id`", `"q"`, "it's", "~", "two  spaces", " front",
			"semi;colon & <x> | y", "#hash", "!bang", `back\slash`, "Größe 8", "new\nline", "order\u009b31m")
	},
	// an escape sequence and a character that turns text round
	"odd-name": func([]byte) []byte {
		return testpdf.Build(testpdf.Doc{
			Groups:  []string{"A"},
			Objects: []testpdf.Object{testpdf.Obj(testpdf.GroupObject, "<</Type /OCG /Name <FEFF0041009B00310031006D202E0042>>>")},
			Pages:   []testpdf.Page{{Content: "P1"}},
		})
	},
}

// scanned is a page of one image, in a frame.
const scanned = "q 100 0 0 100 0 0 cm BI /W 1 /H 1 /BPC 8 /CS /G ID x EI Q 2 2 96 96 re S"

// onPapers is a pattern of two sizes that has its pages on these papers; a cover is
// one on A4 without sizes.
func onPapers(papers ...string) []byte {
	boxes := map[string]string{"cover": "0 0 595.3 841.9", "a4": "0 0 595.3 841.9", "letter": "0 0 612 792",
		"a0": "0 0 1192 1685.2] /UserUnit 2 /Rotate 90 /CropBox [0 0 1192 1685.2"}
	doc := testpdf.Doc{Groups: []string{"Size 14", "Size 16"}}
	for _, paper := range papers {
		page := testpdf.Page{Entries: "/MediaBox [" + boxes[paper] + "]",
			Content: "/OC /Size#2014 BDC P1 EMC /OC /Size#2016 BDC P2 EMC"}
		if paper == "cover" {
			page.Content = "P3"
		}
		doc.Pages = append(doc.Pages, page)
	}
	return testpdf.Build(doc)
}

// named is a file of layers that have these names, each with a line on the page.
func named(names ...string) []byte {
	doc := testpdf.Doc{Pages: []testpdf.Page{{}}}
	for i, name := range names {
		hex := ""
		for _, unit := range utf16.Encode([]rune("\ufeff" + name)) {
			hex += fmt.Sprintf("%04X", unit)
		}
		group := fmt.Sprintf("G%d", i)
		doc.Groups = append(doc.Groups, group)
		doc.Objects = append(doc.Objects, testpdf.Obj(testpdf.GroupObject+i, "<</Type /OCG /Name <"+hex+">>>"))
		doc.Pages[0].Content += fmt.Sprintf("/OC /%s BDC %d 0 m 90 90 l S EMC ", group, i)
	}
	return testpdf.Build(doc)
}

// encryptedFile is a file of testdata/encrypted, nil where it cannot be read.
func encryptedFile(name string) []byte {
	data, err := os.ReadFile(filepath.Join("testdata", "encrypted", name))
	if err != nil {
		return nil
	}
	return data
}

func copyDemo(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: demo NAME")
	}
	data, err := os.ReadFile(filepath.Join("..", "testdata", filepath.FromSlash(args[0])))
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(filepath.Base(args[0])), data, 0o666))
}

func makeFile(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 || files[args[0]] == nil {
		ts.Fatalf("usage: file KIND NAME")
	}
	skirt, err := os.ReadFile(ts.MkAbs("skirt.pdf"))
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), files[args[0]](skirt), 0o666))
}

func only(ts *testscript.TestScript, neg bool, args []string) {
	entries, err := os.ReadDir(ts.MkAbs("."))
	ts.Check(err)
	want := map[string]bool{"skirt.pdf": true, "skirt.yaml": true, ".tmp": true}
	for _, a := range args {
		want[a] = true
	}
	for _, e := range entries {
		if !want[e.Name()] {
			ts.Fatalf("there is a file %s", e.Name())
		}
		delete(want, e.Name())
	}
	for _, a := range args {
		if want[a] {
			ts.Fatalf("there is no file %s", a)
		}
	}
}

func same(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 {
		ts.Fatalf("usage: same A B")
	}
	if equal := ts.ReadFile(args[0]) == ts.ReadFile(args[1]); equal == neg {
		ts.Fatalf("%s and %s: equal is %t", args[0], args[1], equal)
	}
}

func makeArchive(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: zip ARCHIVE FILE=ENTRY...")
	}
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, a := range args[1:] {
		from, entry, _ := strings.Cut(a, "=")
		h := &zip.FileHeader{Name: strings.TrimPrefix(entry, "+"), Method: zip.Deflate}
		if entry[0] == '+' {
			h.Flags |= 1 // APPNOTE.TXT 6.3.10, 4.4.4: the file is encrypted
		}
		out, err := w.CreateHeader(h)
		ts.Check(err)
		_, err = out.Write([]byte(ts.ReadFile(from)))
		ts.Check(err)
	}
	ts.Check(w.Close())
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), b.Bytes(), 0o666))
}

func until(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: until PATTERN")
	}
	for range 3000 {
		if found, _ := filepath.Glob(ts.MkAbs(args[0])); len(found) > 0 {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	ts.Fatalf("there is still no file %s", args[0])
}

func pixels(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: pixels FILE WIDTH HEIGHT")
	}
	c, err := png.DecodeConfig(strings.NewReader(ts.ReadFile(args[0])))
	ts.Check(err)
	if fmt.Sprint(c.Width, c.Height) != args[1]+" "+args[2] {
		ts.Fatalf("%s is %d by %d pixels", args[0], c.Width, c.Height)
	}
}
