package witness

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers"
)

func open(t testing.TB, data []byte, password string) *layers.Document {
	t.Helper()
	doc, err := layers.Open(context.Background(), bytes.NewReader(data), &layers.OpenOptions{Password: password})
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

func compare(t testing.TB, data []byte, doc *layers.Document, opt *Options) []Disagreement {
	t.Helper()
	found, err := Compare(context.Background(), bytes.NewReader(data), doc, opt)
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// isolated is a file with the first layer alone, nil where that is refused.
func isolated(t testing.TB, doc *layers.Document) []byte {
	t.Helper()
	list := doc.Layers()
	if len(list) == 0 {
		return nil
	}
	var out bytes.Buffer
	if _, err := doc.Isolate(context.Background(), &out, layers.Selection{Layers: []int{0}}, nil); err != nil {
		t.Logf("not isolated: %v", err)
		return nil
	}
	return out.Bytes()
}

// known are results of files of others on which pdfcpu has something else to
// say, and how that begins: of the originals it says the same. It does not know
// UTF-16LE, and wants bounds of a map to be 1 at most, where the file has 1.00001.
var known = map[string]string{
	"bug1146106.pdf": `pdfcpu on the name of layer "Layers": `,
}

// TestResults: both readers see the same in what is isolated from the demo
// patterns and the files of others.
func TestResults(t *testing.T) {
	files, _ := filepath.Glob("../../testdata/*.pdf")
	dirs := []string{os.Getenv("SIZEPLY_CORPUS")}
	if out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/pdfcpu/pdfcpu").Output(); err == nil {
		dirs = append(dirs, filepath.Join(strings.TrimSpace(string(out)), "pkg"))
	}
	for _, dir := range dirs {
		if dir == "" {
			continue
		}
		n := 0
		err := filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
			if err == nil && strings.EqualFold(filepath.Ext(path), ".pdf") {
				info, err := e.Info()
				if n++; err == nil && info.Size() < 1<<20 && (dir == dirs[0] || n%8 == 0 || os.Getenv("SIZEPLY_LONG") == "1") {
					files = append(files, path)
				}
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	compared := 0
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		doc, err := layers.Open(context.Background(), bytes.NewReader(data), nil)
		if err != nil {
			continue
		}
		result := isolated(t, doc)
		if result == nil {
			continue
		}
		compared++
		var said []string
		for _, d := range compare(t, result, open(t, result, ""), nil) {
			said = append(said, d.String())
		}
		if got, want := strings.Join(said, "; "), known[filepath.Base(file)]; want == "" && got != "" || !strings.HasPrefix(got, want) {
			t.Errorf("%s: %q, want %q", filepath.Base(file), got, want)
		}
	}
	if compared < 6 {
		t.Errorf("only %d results were compared", compared)
	}
	t.Logf("%d results", compared)
}

// TestChanged: where a file is not what doc was opened from, it is told what
// differs.
func TestChanged(t *testing.T) {
	build := func(change func(*testpdf.Doc)) []byte {
		d := testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: "/OC /A BDC P1 EMC P2"}, {Content: "P1"}}}
		change(&d)
		return testpdf.Build(d)
	}
	same := build(func(*testpdf.Doc) {})
	doc := open(t, same, "")
	if found := compare(t, same, doc, nil); len(found) > 0 {
		t.Fatalf("the same file: %v", found)
	}
	properties := func(d string) func(*testpdf.Doc) {
		return func(f *testpdf.Doc) { f.OCProperties = "<</OCGs [5 0 R 6 0 R] /D <<" + d + ">>>>" }
	}
	for _, tt := range []struct {
		name   string
		change func(*testpdf.Doc)
		want   string
	}{
		{"a page more", func(d *testpdf.Doc) { d.Pages = append(d.Pages, testpdf.Page{Content: "P1"}) }, "the number of pages"},
		{"a media box", func(d *testpdf.Doc) { d.Pages[1].Entries = "/MediaBox [0 0 50 60]" }, "the media box of page 2"},
		{"a crop box", func(d *testpdf.Doc) { d.Pages[0].Entries = "/CropBox [1 1 50 60]" }, "the crop box of page 1"},
		{"a rotation", func(d *testpdf.Doc) { d.Pages[0].Entries = "/Rotate 90" }, "the rotation of page 1"},
		{"a unit", func(d *testpdf.Doc) { d.Pages[0].Entries = "/UserUnit 2" }, "the unit of page 1"},
		{"a state", properties("/OFF [6 0 R]"), `the state of layer "B"`},
		{"all states", properties("/BaseState /OFF /ON [5 0 R]"), `the state of layer "B"`},
		{"a name", func(d *testpdf.Doc) { d.Groups = []string{"A", "C"} }, `the name of layer "B"`},
		{"a layer less", func(f *testpdf.Doc) { f.OCProperties = "<</OCGs [5 0 R] /D <<>>>>" }, "the number of layers"},
		{"a catalog that is not valid", func(d *testpdf.Doc) { d.Catalog = "/PageLayout (none)" }, "validation"},
	} {
		data := build(tt.change)
		found := compare(t, data, doc, nil)
		if !slices.ContainsFunc(found, func(d Disagreement) bool { return d.What == tt.want && strings.Contains(d.String(), d.PDFCPU) }) {
			t.Errorf("%s: %v, want one on %s", tt.name, found, tt.want)
		}
	}
}

// TestUnread: what pdfcpu cannot read, or not in time, is told.
func TestUnread(t *testing.T) {
	data := testpdf.Build(testpdf.Doc{Groups: []string{"A"}})
	doc := open(t, data, "")
	if found := compare(t, data[:40], doc, nil); len(found) != 1 || found[0].What != "the file" {
		t.Errorf("a file cut short: %v", found)
	}
	slow := testpdf.Build(testpdf.Doc{Groups: []string{"A"}, Objects: []testpdf.Object{testpdf.Obj(30, "["+strings.Repeat("stream ", 200000)+"]")}})
	began := time.Now()
	found := compare(t, slow, doc, &Options{Time: 50 * time.Millisecond})
	if len(found) != 1 || !strings.Contains(found[0].String(), "not read within 50ms") || time.Since(began) > 20*time.Second {
		t.Errorf("a file that keeps pdfcpu busy: %v after %v", found, time.Since(began))
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if found, err := Compare(ctx, bytes.NewReader(data), doc, nil); !errors.Is(err, context.Canceled) || found != nil {
		t.Errorf("a context that has ended: %v, %v", found, err)
	}
}

// TestEncrypted: an encrypted file is opened with either password.
func TestEncrypted(t *testing.T) {
	files, _ := filepath.Glob("../../internal/pdf/testdata/encrypted/*.pdf")
	compared := 0
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, password := range []string{"user", "owner"} {
			doc, err := layers.Open(context.Background(), bytes.NewReader(data), &layers.OpenOptions{Password: password})
			if err != nil {
				continue
			}
			found, err := Compare(context.Background(), bytes.NewReader(data), doc, &Options{Password: password})
			if errors.Is(err, ErrCipher) {
				continue
			}
			if compared++; err != nil || len(found) > 0 {
				t.Errorf("%s with %q: %v, %v", filepath.Base(file), password, found, err)
			}
		}
	}
	if compared == 0 {
		t.Error("none was compared")
	}
}

// TestQuiet: the user's folders stay as they are.
func TestQuiet(t *testing.T) {
	home := t.TempDir()
	t.Setenv("HOME", home)
	t.Setenv("XDG_CONFIG_HOME", home)
	t.Setenv("XDG_CACHE_HOME", home)
	data := testpdf.Build(testpdf.Doc{Groups: []string{"A"}})
	compare(t, data, open(t, data, ""), nil)
	if list, err := os.ReadDir(home); err != nil || len(list) > 0 {
		t.Errorf("%v, %v", fmt.Sprint(list), err)
	}
}

// TestCipher: a file that is encrypted in a way that pdfcpu does not know is told
// from one that it cannot read.
func TestCipher(t *testing.T) {
	doc := open(t, testpdf.Build(testpdf.Doc{Groups: []string{"A"}}), "")
	zeros := "<" + strings.Repeat("00", 48) + ">"
	data := testpdf.Build(testpdf.Doc{Groups: []string{"A"}, Objects: []testpdf.Object{
		testpdf.Obj(30, "<</Filter /Standard /V 6 /R 7 /O "+zeros+" /U "+zeros+" /P -4>>"),
	}})
	i := bytes.LastIndex(data, []byte("/Root"))
	data = slices.Insert(data, i, []byte("/Encrypt 30 0 R /ID [<00> <00>] ")...)
	if found, err := Compare(context.Background(), bytes.NewReader(data), doc, nil); !errors.Is(err, ErrCipher) {
		t.Errorf("%v, %v", found, err)
	}
}
