package layers

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"runtime"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// sheets is a document of many pages of three layers, which share a form.
func sheets(pages int) []byte {
	d := testpdf.Doc{Groups: []string{"A", "B", "C"}, Layout: testpdf.Layout{Compress: true}}
	for i := range pages {
		content := strings.Repeat(fmt.Sprintf("/OC /A BDC %d 2 3 4 re f EMC /OC /B BDC 1 %[1]d m 5 6 l S EMC /X Do ", i), 50*(i+1))
		d.Pages = append(d.Pages, testpdf.Page{Content: content,
			Resources: "<</Properties <</A 5 0 R /B 6 0 R>> /XObject <</X 30 0 R>>>>"})
	}
	d.Objects = []testpdf.Object{testpdf.Form(30, "/Resources <</Properties <</C 7 0 R /B 6 0 R>>>>", "P5 /OC /B BDC P6 EMC")}
	return testpdf.Build(d)
}

// TestCores: the number of cores decides nothing about the result, nor about
// what the report says.
func TestCores(t *testing.T) {
	files := map[string][]byte{"sheets": sheets(20), "every place": testpdf.Build(plant(planting()...))}
	for seed := range uint64(10) {
		files[fmt.Sprintf("random %d", seed)], _ = random(seed)
	}
	for name, file := range files {
		doc := open(t, file)
		var first string
		for _, cores := range []int{1, 8, 2} {
			got := onCores(t, cores, doc)
			if first == "" {
				first = got
			}
			if got != first {
				t.Errorf("%s: %d cores give another result than one", name, cores)
			}
		}
	}
}

// onCores is the result and the report of isolating the first layer.
func onCores(t *testing.T, cores int, doc *Document) string {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
	var out bytes.Buffer
	report, err := doc.Isolate(context.Background(), &out, chosen(doc, 1), nil)
	if err != nil {
		return err.Error()
	}
	if err := Verify(context.Background(), bytes.NewReader(out.Bytes()), doc, chosen(doc, 1), nil); err != nil {
		t.Error(err)
	}
	if err := report.Check(context.Background(), bytes.NewReader(out.Bytes())); err != nil {
		t.Error(err)
	}
	text, err := json.Marshal(report)
	if err != nil {
		t.Fatal(err)
	}
	return fmt.Sprintf("%s %x", text, out.Bytes())
}

// TestEightAtOnce: eight callers at the same time get from one open document the
// bytes and the reports that they get one after another. Run it with -race.
func TestEightAtOnce(t *testing.T) {
	skirt, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	secret, err := os.ReadFile("../cli/testdata/encrypted/secret.pdf")
	if err != nil {
		t.Fatal(err)
	}
	for name, file := range map[string][]byte{"sheets": sheets(20), "the demo": skirt, "encrypted": secret} {
		doc, err := Open(context.Background(), bytes.NewReader(file), &OpenOptions{Password: "owner"})
		if err != nil {
			t.Fatal(err)
		}
		before := documentHash(doc)
		var want, got [8]string
		for i := range want {
			want[i] = chosenAs(doc, i)
		}
		var callers sync.WaitGroup
		for i := range got {
			callers.Go(func() { got[i] = chosenAs(doc, i) })
		}
		callers.Wait()
		if want[0] == want[1] || want[1] == want[2] {
			t.Errorf("%s: the callers want the same", name)
		}
		for i := range got {
			if got[i] != want[i] {
				t.Errorf("%s: caller %d gets another result than alone", name, i)
			}
		}
		if documentHash(doc) != before {
			t.Errorf("%s: the open document changed", name)
		}
	}
}

// chosenAs is the result, checked, and the report for one of eight wishes.
func chosenAs(doc *Document, i int) string {
	var out bytes.Buffer
	report, err := doc.Isolate(context.Background(), &out, chosen(doc, uint64(1+i/2)), &IsolateOptions{Flatten: i%2 == 1})
	if err != nil {
		return err.Error()
	}
	if err := report.Check(context.Background(), bytes.NewReader(out.Bytes())); err != nil {
		return err.Error()
	}
	text, err := json.Marshal(report)
	return fmt.Sprint(out.String(), string(text), err)
}

// surveyFiles are files of many pages, with forms, texts and squares.
func surveyFiles() map[string][]byte {
	files := map[string][]byte{"sheets": sheets(20), "every place": testpdf.Build(plant(planting()...))}
	for seed := range uint64(6) {
		files[fmt.Sprintf("random %d", seed)], _ = random(seed)
	}
	return files
}

// TestSurveyCores: what Inspect and Lines tell does not depend on the number of
// cores.
func TestSurveyCores(t *testing.T) {
	for name, file := range surveyFiles() {
		doc := open(t, file)
		var first string
		for _, cores := range []int{1, 8, 2} {
			got := surveyed(t, cores, doc)
			if first == "" {
				first = got
			}
			if diff := cmp.Diff(first, got); diff != "" {
				t.Errorf("%s: on %d cores (-one +more):\n%s", name, cores, diff)
			}
		}
	}
}

func surveyed(t *testing.T, cores int, doc *Document) string {
	t.Helper()
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
	ctx := context.Background()
	things, err := doc.Inspect(ctx)
	if err != nil {
		t.Fatal(err)
	}
	lines, err := doc.Lines(ctx)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetIndent("", " ")
	for _, v := range []any{things, things.Shown, lines} {
		if err := enc.Encode(v); err != nil {
			t.Fatal(err)
		}
	}
	return b.String()
}

// counting is a context that notes how many goroutines there are whenever somebody
// looks at it.
type counting struct {
	context.Context
	most int
}

func (c *counting) Err() error {
	c.most = max(c.most, runtime.NumGoroutine())
	return c.Context.Err()
}

// TestOneCore: with one core a call works in the goroutine that calls, and gives the
// bytes that it gives with all.
func TestOneCore(t *testing.T) {
	file := sheets(20)
	var want bytes.Buffer
	all := open(t, file)
	if _, err := all.Isolate(context.Background(), &want, chosen(all, 1), nil); err != nil {
		t.Fatal(err)
	}
	before := runtime.NumGoroutine()
	ctx := &counting{Context: context.Background()}
	doc, err := Open(ctx, bytes.NewReader(file), &OpenOptions{Cores: 1})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := doc.Inspect(ctx); err != nil {
		t.Error(err)
	}
	if _, err := doc.Lines(ctx); err != nil {
		t.Error(err)
	}
	var out bytes.Buffer
	report, err := doc.Isolate(ctx, &out, chosen(doc, 1), &IsolateOptions{KeptLines: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := report.Check(ctx, bytes.NewReader(out.Bytes())); err != nil {
		t.Error(err)
	}
	if err := Verify(ctx, bytes.NewReader(out.Bytes()), doc, chosen(doc, 1), nil); err != nil {
		t.Error(err)
	}
	if !bytes.Equal(out.Bytes(), want.Bytes()) {
		t.Error("one core gives another result than all")
	}
	if ctx.most > before {
		t.Errorf("%d goroutines work besides the one that calls", ctx.most-before)
	}
	if _, err := Open(ctx, bytes.NewReader(file), &OpenOptions{Cores: -1}); err == nil {
		t.Error("fewer than no cores are accepted")
	}
}
