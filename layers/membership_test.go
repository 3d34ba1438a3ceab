package layers

import (
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestIsolateMembership: the content of a membership dictionary, with A and C
// chosen of A, B and C (8.11.2.2).
func TestIsolateMembership(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"one group, AllOff", "/OCGs 6 0 R /P /AllOff", "P1"},
		{"one chosen group, AnyOff", "/OCGs 5 0 R /P /AnyOff", ""},
		{"both, AllOn", "/OCGs [5 0 R 6 0 R] /P /AllOn", ""},
		{"both, AnyOn", "/OCGs [5 0 R 6 0 R] /P /AnyOn", "/OC /M BDC P1 EMC"},
		{"both, AnyOff", "/OCGs [5 0 R 6 0 R] /P /AnyOff", "P1"},
		{"both, AllOff", "/OCGs [5 0 R 6 0 R] /P /AllOff", ""},
		{"chosen ones, AllOn", "/OCGs [5 0 R 7 0 R] /P /AllOn", "/OC /M BDC P1 EMC"},
		{"chosen ones, AnyOff", "/OCGs [5 0 R 7 0 R] /P /AnyOff", ""},
		{"no groups", "/OCGs [] /P /AllOff", "P1"},
		{"no entry", "", "P1"},
		{"null and missing alone", "/OCGs [null 77 0 R] /P /AnyOff", "P1"},
		{"null and a group, AnyOn", "/OCGs [null 6 0 R]", ""},
		{"null and a group, AllOff", "/OCGs [null 6 0 R] /P /AllOff", "P1"},
		{"unknown policy", "/OCGs [6 0 R] /P /Bogus", ""},
		{"removed group under AnyOn", "/OCGs [6 0 R] /P /AnyOn", ""},
		{"expression", "/OCGs 6 0 R /P /AllOn /VE [/Not 6 0 R]", "P1"},
		{"expression of three", "/VE [/And 5 0 R [/Not 6 0 R] [/Or 6 0 R 7 0 R]]", "/OC /M BDC P1 EMC"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, direct := range []bool{false, true} {
				dict, m := "<</Type /OCMD "+c.text+">>", "40 0 R"
				if direct {
					m = dict
				}
				out, _ := isolateNamed(t, testpdf.Build(testpdf.Doc{
					Groups: []string{"A", "B", "C"},
					Pages: []testpdf.Page{{
						Content:   "/OC /M BDC P1 EMC /OC /B BDC P2 EMC",
						Resources: "<</Properties <</B 6 0 R /M " + m + ">>>>",
					}},
					Objects: []testpdf.Object{testpdf.Obj(40, dict)},
				}), "A", "C")
				if got, want := fold(pageContent(t, out, 0)), fold(testpdf.Marks(c.want)); got != want {
					t.Errorf("in place %t: got %q, want %q", direct, got, want)
				}
			}
		})
	}
}

// TestUnlistedInMembership: a group that the list leaves out has a state like
// the others (8.11.4.2; engines differ).
func TestUnlistedInMembership(t *testing.T) {
	out, _ := isolateNamed(t, testpdf.Build(testpdf.Doc{
		Groups: []string{"A"},
		Pages: []testpdf.Page{{
			Content:   "/OC /M BDC P1 EMC /OC /N BDC P2 EMC",
			Resources: "<</Properties <</M <</Type /OCMD /OCGs 50 0 R /P /AllOff>> /N <</Type /OCMD /OCGs 50 0 R>>>>>>",
		}},
		Objects: []testpdf.Object{testpdf.Obj(50, "<</Type /OCG /Name (U)>>")},
	}), "A")
	if got, want := fold(pageContent(t, out, 0)), testpdf.Marks("P1"); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
