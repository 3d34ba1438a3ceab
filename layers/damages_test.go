package layers

import (
	"bytes"
	"crypto/sha256"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// namedDamages are what TestMutated has found, each as one change of the text
// of testpdf.Sizes that leaves everything where it stands.
var namedDamages = []struct {
	name     string
	was, now string
	deep     bool // with page tree nodes below the root
	open     bool // it is not mended yet
}{
	{name: "a group of another Type", was: "(Size 10)/Type /OCG", now: "(Size 10)/Type /ocg"},
	{name: "a group is missing in OCGs", was: ">>/OCGs [5 0 R 6 0 R", now: ">>/OCGs [5 0 R"},
	{name: "a group of another generation in OCGs", was: ">>/OCGs [5 0 R 6 0 R", now: ">>/OCGs [5 0 R 6 3 R"},
	{name: "a property of another generation", was: "/L1 6 0 R", now: "/L1 6 3 R"},
	{name: "a group without Type", was: "(Size 10)/Type /OCG", now: "(Size 10)/Typx /OCG"},
	{name: "a group whose Type is a string", was: "(Size 10)/Type /OCG", now: "(Size 10)/Type(OCG)"},
	{name: "a group with the Type of a page", was: "(Size 10)/Type /OCG", now: "(Size 10)/Type/Page"},
	{name: "a string in OCGs", was: ">>/OCGs [5 0 R 6 0 R", now: ">>/OCGs [5 0 R (ab)"},
	{name: "null in OCGs", was: ">>/OCGs [5 0 R 6 0 R", now: ">>/OCGs [5 0 R null"},
	{name: "nothing in OCGs", was: ">>/OCGs [5 0 R 6 0 R", now: ">>/OCGs [5 0 R 9 0 R"},
	{name: "a group twice in OCGs", was: ">>/OCGs [5 0 R 6 0 R", now: ">>/OCGs [5 0 R 5 0 R"},
	{name: "no OCGs", was: ">>/OCGs [5 0 R", now: ">>/OCGx [5 0 R"},
	{name: "OCGs is a group", was: ">>/OCGs [5 0 R 6 0 R 7 0 R 8 0 R]", now: ">>/OCGs 5 0 R"},
	{name: "no default configuration", was: "/OCProperties <</D <<", now: "/OCProperties <</E <<"},
	{name: "null in OFF", was: "/OFF [6 0 R", now: "/OFF [null"},
	{name: "a page in OFF", was: "/OFF [6 0 R", now: "/OFF [3 0 R"},
	{name: "an unknown base state", was: "/BaseState /ON", now: "/BaseState /NO"},
	{name: "an unknown policy", was: "/P /AnyOn", now: "/P /AnyOx"},
	{name: "a membership of another Type", was: "/Type /OCMD", now: "/Type /OCMx"},
	{name: "a malformed expression", was: "/VE [/Or", now: "/VE [/Xr"},
	{name: "a page of another Type", was: "/Type /Page>>", now: "/Type /Pagx>>"},
	{name: "a page tree node of another Type", was: "/Type /Pages>>", now: "/Type /Pagez>>", deep: true},
	{name: "a page without Type", was: "/Type /Page>>", now: "/Typx /Page>>"},
	{name: "a page twice", was: "/Kids [3 0 R 1100 0 R]", now: "/Kids [3 0 R 3 0 R]"},
	{name: "a kid that is a group", was: "/Kids [3 0 R 1100 0 R]", now: "/Kids [3 0 R 5 0 R]"},
	{name: "a kid that is nothing", was: "/Kids [3 0 R 1100 0 R]", now: "/Kids [3 0 R 9 0 R]"},
	{name: "a kid that is the root", was: "/Kids [3 0 R 1100 0 R]", now: "/Kids [3 0 R 2 0 R]"},
	{name: "a page that is its own parent", was: "/Parent 91 0 R", now: "/Parent 3 0 R", deep: true},
	{name: "a page whose parent is a group", was: "/Parent 91 0 R", now: "/Parent 6 0 R", deep: true},
	{name: "a page without a parent", was: "/Parent 91 0 R", now: "/Parenx 91 0 R", deep: true},
	{name: "a node that is its own parent", was: "/Parent 2 0 R/Type /Pages", now: "/Parent 91 0 R/Type/Pages", deep: true},
	{name: "a node without a parent", was: "/Parent 2 0 R", now: "/Parenx 2 0 R", deep: true},
	{name: "a node without Kids", was: "/Kids [3 0 R]", now: "/Kidz [3 0 R]", deep: true},
	{name: "a count too high", was: "/Count 2", now: "/Count 9"},
	{name: "the header of a group has another number", was: "\n6 0 obj", now: "\n9 0 obj"},
	{name: "the header of a form has the number of another", was: "\n40 0 obj", now: "\n41 0 obj"},
	{name: "the header of a page has another number", was: "\n3 0 obj", now: "\n9 0 obj"},
	{name: "the header of a group has another generation", was: "\n6 0 obj", now: "\n6 1 obj"},
	{name: "a form without Subtype", was: "/Subtype /Form", now: "/Subtypx /Form"},
	{name: "a form that is the content of a page", was: "/Piece0 40 0 R", now: "/Piece0 4 0 R"},
	{name: "a form with a group for its layer's form", was: "/Piece1 41 0 R", now: "/Piece1 6 0 R"},
	{name: "a property that is nothing", was: "/L1 6 0 R", now: "/L1 9 0 R"},
	{name: "a property that is a stream", was: "/L1 6 0 R", now: "/L1 4 0 R"},
	{name: "a property that is the form of a removed layer", was: "/M1 81 0 R", now: "/M1 41 0 R"},
	{name: "a property that is a page", was: "/L1 6 0 R", now: "/L1 3 0 R"},
	{name: "a form's layer is nothing", was: "/OC 6 0 R", now: "/OC 9 0 R"},
	{name: "content that is a group", was: "/Contents 4 0 R", now: "/Contents 5 0 R"},
	{name: "content that is nothing", was: "/Contents 4 0 R", now: "/Contents 9 0 R"},
	{name: "a section that is misspelt", was: "/OC /L1 BDC", now: "/OC /L1 BDx"},
	{name: "a section that is not closed", was: "EMC", now: "EMx"},
	{name: "a string that is not closed", was: "(MARK1page)", now: "(MARK1page "},
	{name: "a number that ends in letters", was: "re f 4 w", now: "re f 4ww"},
	{name: "a number made two", was: "30 12 re f", now: "3 1 2 re f"},
	{name: "an operand too few", was: "30 12 re f", now: "30 re f"},
	{name: "operands without an operator", was: "30 12 re f", now: "30 12 1 f"},
	{name: "a bracket that closes nothing", was: "re f 4 w", now: "re f ] w"},
	{name: "a parenthesis that closes nothing", was: "re f 4 w", now: "re f ) w"},
	{name: "text outside of a text object", was: "BT /F 8 Tf", now: "/F 8 Tf"},
	{name: "a text object that is not closed", was: " Tj ET", now: " Tj"},
	{name: "a form that is missing", was: "/Piece1 41 0 R", now: "/Piece1 9 0 R"},
	{name: "a form that is missing in a layer that stays", was: "/Piece0 40 0 R", now: "/Piece0 9 0 R"},
	{name: "an image for a form", was: "/Piece0 40 0 R", now: "/Piece0 60 0 R"},
	{name: "a Subtype that is unknown", was: "/Subtype /Form", now: "/Subtype /Fxrm"},
	{name: "a length too short", was: "/Length 1", now: "/Length 0"},
	{name: "an unknown filter", was: "/Length ", now: "/Filter "},
}

// TestNamedDamages judges each as TestMutated does.
func TestNamedDamages(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	m := &mutations{counts: map[verdict]int{}, pictures: map[[sha256.Size]byte]map[string]rendering{}}
	files := map[bool]undamaged{}
	for _, deep := range []bool{false, true} {
		on := func(obj int) bool { return obj != 6 }
		file := testpdf.Sizes(testpdf.SizesOptions{Memberships: true, Deep: deep})
		files[deep] = m.original(t, mutant{name: "sizes", file: file, on: on, marks: true})
	}
	for _, d := range namedDamages {
		t.Run(d.name, func(t *testing.T) {
			o := files[d.deep]
			sound := o.mutator.Sound()
			if !bytes.Contains(sound, []byte(d.was)) || len(d.now) > len(d.was) {
				t.Fatalf("%q is not in the file, or shorter than %q", d.was, d.now)
			}
			padded := d.now + strings.Repeat(" ", len(d.was)-len(d.now))
			v, text := m.end(t, o, bytes.Replace(sound, []byte(d.was), []byte(padded), 1))
			m.count(v)
			switch {
			case v.isFound() && d.open:
				t.Logf("open: %s: %s", v, text)
			case v.isFound():
				t.Errorf("%s: %s", v, text)
			case d.open && o.decides(v):
				t.Errorf("%s: it is mended, and open no more", v)
			case v == isUndecided:
				t.Log(text)
			}
		})
	}
	t.Log(m.String())
}
