package layers

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// ISO 32000-1, 14.5: a page-piece dictionary (Table 318) has a data dictionary
// for each program (Table 319), whose Private entry is the program's own.
func TestPrivateData(t *testing.T) {
	drawing := testpdf.Stream(60, "", strings.Repeat("x", 500))
	for _, c := range []struct {
		name    string
		catalog string
		page    string
		objects []testpdf.Object
		want    []PrivateData
	}{
		{name: "none"},
		{
			name: "the drawing of a page", page: "/PieceInfo <</Prog <</Private <</Art [60 0 R 60 0 R]>>>>>>",
			objects: []testpdf.Object{drawing}, want: []PrivateData{{Page: 1, Program: "Prog", Bytes: 500}},
		},
		{
			name: "settings alone", catalog: "/PieceInfo <</Prog <</Private <</Grid 5>>>>>>",
			want: []PrivateData{{Program: "Prog"}},
		},
		{
			name: "a way back to the page", catalog: "/PieceInfo <</Prog <</Private [3 0 R 1 0 R]>>>>",
			want: []PrivateData{{Program: "Prog"}},
		},
		{
			name: "a circle", page: "/PieceInfo <</B 50 0 R /A 50 0 R>>",
			objects: []testpdf.Object{testpdf.Obj(50, "<</Private [50 0 R 60 0 R]>>"), drawing},
			want:    []PrivateData{{Page: 1, Program: "A", Bytes: 500}, {Page: 1, Program: "B", Bytes: 500}},
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := inspect(t, testpdf.Build(testpdf.Doc{
				Pages: []testpdf.Page{{Content: "P1", Entries: c.page}}, Catalog: c.catalog, Objects: c.objects,
			}))
			if diff := cmp.Diff(c.want, in.Private); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// Texts are told for each layer that shows them, with the place of their
// bounds: descent -0.2 of the size (package font).
func TestShown(t *testing.T) {
	in := inspect(t, testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"},
		Pages: []testpdf.Page{{Content: "BT /F 10 Tf 5 50 Td (no) Tj /OC /A BDC (a) Tj 0 20 Td [(W) -100 (ai)] TJ /OC /B BDC (b) Tj EMC EMC ET"},
			{Content: "/OC /B BDC BT /F 10 Tf 7 8 Td (c) Tj ET EMC"}},
	}))
	type shown struct {
		Layer, Page int
		Text        string
	}
	var got []shown
	for _, s := range in.Shown {
		got = append(got, shown{s.Layer, s.Page, s.Text})
	}
	want := []shown{{5, 1, "a"}, {5, 1, "Wai"}, {5, 1, "b"}, {6, 1, "b"}, {6, 2, "c"}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Fatal(diff)
	}
	if diff := cmp.Diff([]float64{7, 6}, []float64{in.Shown[4].Left, in.Shown[4].Bottom}, near); diff != "" {
		t.Error(diff)
	}
}

func TestPlace(t *testing.T) {
	want := map[string]int{"A": 3, "B": 1, "C": 2, "D": 0}
	for _, l := range open(t, ordered("[[(Head) 6 0 R 7 0 R] 5 0 R 6 0 R]")).Layers() {
		if l.Place != want[l.Name] {
			t.Errorf("%s stands at %d, want %d", l.Name, l.Place, want[l.Name])
		}
	}
}
