package layers

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// ordered is a document with four groups A to D, objects 5 to 8, in that
// order.
func ordered(order string, objects ...testpdf.Object) []byte {
	return testpdf.Build(testpdf.Doc{
		Groups:       []string{"A", "B", "C", "D"},
		OCProperties: "<</OCGs [5 0 R 6 0 R 7 0 R 8 0 R] /D <</Order " + order + ">>>>",
		Pages:        []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC /OC /C BDC P3 EMC"}},
		Objects:      objects,
	})
}

// TestOrder: what stands above each layer (8.11.4.3, Table 101 with its two
// examples: a label heads an array, an array without one holds the children of
// the group before).
func TestOrder(t *testing.T) {
	for _, c := range []struct {
		name, order string
		objects     []testpdf.Object
		want        string // layers with parents, "layer: parents"
	}{
		{"flat", "[5 0 R 6 0 R]", nil, ""},
		{"labels", "[[(Front) 5 0 R 6 0 R] [(Back) 7 0 R]]", nil, "A: Front, B: Front, C: Back"},
		{"children", "[5 0 R [6 0 R 7 0 R] 8 0 R]", nil, "B: A, C: A"},
		{"children and label", "[5 0 R [6 0 R] [(Head) 7 0 R]]", nil, "B: A, C: Head"},
		{"grandchildren", "[5 0 R [6 0 R [7 0 R]]]", nil, "B: A, C: A/B"},
		{"labels in labels", "[[(Front) [(Left) 5 0 R] 6 0 R]]", nil, "A: Front/Left, B: Front"},
		{"children under a label", "[[(Front) 5 0 R [6 0 R]]]", nil, "A: Front, B: Front/A"},
		{"level without a name", "[[5 0 R 6 0 R] 7 0 R]", nil, ""},
		{"null in between", "[null 5 0 R null [null 6 0 R]]", nil, "B: A"},
		{"missing and other objects", "[77 0 R 29 0 R 3 5 0 R [(Head) 77 0 R 6 0 R]]", nil, "B: Head"},
		{"membership dictionary", "[40 0 R [5 0 R]]", []testpdf.Object{testpdf.Obj(40, "<</Type /OCMD /OCGs 6 0 R>>")}, ""},
		{"string at the top", "[(Stray) 5 0 R [(Head) 6 0 R]]", nil, "B: Head"},
		{"string in the middle", "[[5 0 R (Stray) 6 0 R]]", nil, ""},
		{"indirect arrays and strings", "40 0 R", []testpdf.Object{
			testpdf.Obj(40, "[41 0 R 5 0 R 43 0 R]"), testpdf.Obj(41, "[42 0 R 6 0 R]"), testpdf.Obj(42, "(Head)"), testpdf.Obj(43, "[7 0 R]"),
		}, "B: Head, C: A"},
		{"named twice, the first counts", "[[(One) 5 0 R] [(Two) 5 0 R]]", nil, "A: One"},
		{"empty arrays", "[[] 5 0 R [] [[]] [(Head)]]", nil, ""},
		{"label in UTF-16", "[[<FEFF00E9> 5 0 R]]", nil, "A: é"},
		{"not an array", "5 0 R", nil, ""},
		{"missing", "null", nil, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, l := range open(t, ordered(c.order, c.objects...)).Layers() {
				if len(l.Parents) > 0 {
					got = append(got, l.Name+": "+strings.Join(l.Parents, "/"))
				}
			}
			if diff := cmp.Diff(c.want, strings.Join(got, ", ")); diff != "" {
				t.Errorf("-want +got\n%s", diff)
			}
		})
	}
}

// endless are orders that lead nowhere.
func endless() []struct {
	name, order string
	objects     []testpdf.Object
} {
	var wide []testpdf.Object
	for i := 40; i < 70; i++ {
		wide = append(wide, testpdf.Obj(i, fmt.Sprintf("[%[1]d 0 R %[1]d 0 R]", i+1)))
	}
	wide = append(wide, testpdf.Obj(70, "[5 0 R]"))
	return []struct {
		name, order string
		objects     []testpdf.Object
	}{
		{"within itself", "40 0 R", []testpdf.Object{testpdf.Obj(40, "[5 0 R 40 0 R]")}},
		{"within each other", "40 0 R", []testpdf.Object{testpdf.Obj(40, "[5 0 R 41 0 R]"), testpdf.Obj(41, "[(Head) 6 0 R 40 0 R]")}},
		{"deep", strings.Repeat("[", 200) + "5 0 R" + strings.Repeat("]", 200), nil},
		{"twice within itself", "40 0 R", []testpdf.Object{testpdf.Obj(40, "[5 0 R 40 0 R 40 0 R]")}},
		{"thirty levels of two", "40 0 R", wide},
	}
}

// TestEndlessOrder: orders within themselves end, on reading and on writing.
// The time only bounds a failure: reading takes milliseconds.
func TestEndlessOrder(t *testing.T) {
	for _, c := range endless() {
		t.Run(c.name, func(t *testing.T) {
			file := ordered(c.order, c.objects...)
			size, done := 0, make(chan struct{})
			go func() {
				defer close(done)
				doc, err := Open(context.Background(), bytes.NewReader(file), nil)
				if err != nil {
					t.Error(err)
					return
				}
				var out bytes.Buffer
				if _, err := doc.Isolate(context.Background(), &out, Selection{Layers: []int{0, 2}}, nil); err != nil {
					t.Error(err)
				}
				size = out.Len()
			}()
			select {
			case <-done:
				if size > 10*len(file) {
					t.Errorf("the output has %d bytes, the input %d", size, len(file))
				}
			case <-time.After(5 * time.Second):
				t.Error("no end after 5 s")
			}
		})
	}
}
