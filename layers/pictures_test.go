package layers

import (
	"context"
	"slices"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestPictures: pages with a picture in place of lines, and pages that have lines.
func TestPictures(t *testing.T) {
	const image = " BI /W 1 /H 1 /BPC 8 /CS /G ID x EI "
	const whole = "q 100 0 0 100 0 0 cm" + image + "Q "
	paths := func(n int) (s string) {
		for range n {
			s += "5 5 20 20 re S "
		}
		return s
	}
	for _, tt := range []struct {
		name, content, entries string
		want                   bool
	}{
		{"a scan", whole, "", true},
		{"a scan in strips", "q 100 0 0 50 0 0 cm" + image + "Q q 100 0 0 50 0 50 cm" + image + "Q", "", true},
		{"a scan with a frame and marks", whole + paths(5), "", true},
		{"a scan with its text, unseen", whole + "BT 3 Tr /F 9 Tf (read by a machine) Tj ET", "", true},
		{"a scan with a margin", "q 80 0 0 80 10 10 cm" + image + "Q", "", true},
		{"a turned scan in large units", whole, "/Rotate 90 /UserUnit 3", true},
		{"a scan in a form", "/X Do", "", true},
		{"a crop box around a picture", "q 40 0 0 40 10 10 cm" + image + "Q", "/CropBox [10 10 50 50]", true},
		{"a picture outside of the crop box", "q 40 0 0 100 60 0 cm" + image + "Q", "/CropBox [0 0 50 100]", false},
		{"half a page of picture", "q 100 0 0 50 0 0 cm" + image + "Q", "", false},
		{"a background under lines", whole + paths(9), "", false},
		{"a background under a line of a layer", whole + "/OC /A BDC 5 5 20 20 re S EMC", "", false},
		{"a picture that is clipped away", "0 0 10 10 re W n " + whole, "", false},
		{"text", "BT /F 9 Tf (sew) Tj ET", "", false},
		{"nothing", "", "", false},
	} {
		doc := open(t, testpdf.Build(testpdf.Doc{
			Groups: []string{"A"},
			Pages: []testpdf.Page{{}, {Content: tt.content, Entries: tt.entries,
				Resources: "<</XObject <</X 40 0 R>> /Font <</F 29 0 R>> /Properties <</A 5 0 R>>>>"}},
			Objects: []testpdf.Object{testpdf.Form(40, "", whole)},
		}))
		want := []int(nil)
		if tt.want {
			want = []int{2}
		}
		got, err := doc.Pictures(context.Background())
		if !slices.Equal(got, want) || err != nil {
			t.Errorf("%s: got %v, %v", tt.name, got, err)
		}
		held, err := doc.Inspect(context.Background())
		if err != nil || !slices.Equal(held.Pictures, want) {
			t.Errorf("%s: inspected: got %v, %v", tt.name, held.Pictures, err)
		}
	}
}
