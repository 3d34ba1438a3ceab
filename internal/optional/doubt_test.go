package optional

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers/failure"
)

// layered is a page with content in the groups A and B, objects 5 and 6, in form 31
// of B, and in the membership dictionary 33 of B.
func layered(objects ...testpdf.Object) []byte {
	return testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B"},
		Pages: []testpdf.Page{{
			Content:   "/OC /A BDC P1 EMC /OC /B BDC P2 EMC /OC /M BDC P3 EMC /X31 Do",
			Resources: "<</Properties <</A 5 0 R /B 6 0 R /M 33 0 R>> /XObject <</X31 31 0 R>>>>",
		}},
		Objects: append([]testpdf.Object{
			testpdf.Form(31, "/OC 6 0 R", "P4"), testpdf.Obj(33, "<</Type /OCMD /OCGs [6 0 R]>>"),
		}, objects...),
	})
}

// TestDoubt: what PDFium, Poppler 22.12 and MuPDF 1.21 draw differently, as each
// takes something else for a layer, is refused. What all of them show stays.
func TestDoubt(t *testing.T) {
	for _, c := range []struct {
		name   string
		object testpdf.Object
		at     pdf.Ref // the object at fault, 0 for none
	}{
		{"a group", testpdf.Obj(6, "<</Type /OCG /Name (B)>>"), 0},
		{"a group without a type", testpdf.Obj(6, "<</Name (B)>>"), 0},
		{"a group of another type", testpdf.Obj(6, "<</Type /Foo /Name (B)>>"), 6},
		{"a group of a type in another case", testpdf.Obj(6, "<</Type /ocg /Name (B)>>"), 6},
		{"a membership dictionary for a group", testpdf.Obj(6, "<</Type /OCMD /OCGs [5 0 R]>>"), 6},
		{"a number for a group", testpdf.Obj(6, "7"), 6},
		{"a stream for a group", testpdf.Stream(6, "/Type /OCG /Name (B)", "q"), 6},
		{"nothing for a group", testpdf.Obj(6, "null"), 6},
		{"a membership dictionary of another type", testpdf.Obj(33, "<</Type /Foo /OCGs [6 0 R]>>"), 33},
		{"a membership dictionary of another type, with an expression", testpdf.Obj(33, "<</Type /Foo /VE [/Not 6 0 R]>>"), 33},
		{"a membership dictionary whose type is a string", testpdf.Obj(33, "<</Type (OCMD) /OCGs [6 0 R]>>"), 33},
		{"a membership dictionary without a type", testpdf.Obj(33, "<</OCGs [6 0 R]>>"), 33},
		{"a property list of another type", testpdf.Obj(33, "<</Type /Foo>>"), 0},
		{"a group whose type is a string", testpdf.Obj(6, "<</Type (OCG) /Name (B)>>"), 6},
		{"an unknown policy", testpdf.Obj(33, "<</Type /OCMD /OCGs [6 0 R] /P /AnyOnx>>"), 33},
		{"an unknown policy beside an expression that is true", testpdf.Obj(33, "<</Type /OCMD /VE [/Not 6 0 R] /P /AnyOnx>>"), 0},
		{"an unknown policy of no group", testpdf.Obj(33, "<</Type /OCMD /OCGs [] /P /AnyOnx>>"), 0},
	} {
		doc := open(t, layered(c.object))
		err := doc.Doubt(context.Background(), allOff)
		var broken *failure.FormatError
		if errors.As(err, &broken) != (c.at != 0) || broken != nil && broken.Object != int(c.at) {
			t.Errorf("%s: %v, want object %d", c.name, err, c.at)
		}
	}
	unused := testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Resources: "none"}},
		Objects: []testpdf.Object{testpdf.Obj(6, "<</Type /Foo>>")}})
	if err := open(t, unused).Doubt(context.Background(), allOff); err != nil {
		t.Errorf("a listed object that no content is in: %v", err)
	}
}

// TestDoubtInExpression: a listed object that is no group stands in a visibility
// expression alone (8.11.2.2).
func TestDoubtInExpression(t *testing.T) {
	doc := open(t, testpdf.Build(testpdf.Doc{
		Groups:  []string{"A", "B"},
		Objects: []testpdf.Object{testpdf.Obj(6, "<</Type 1 /Name (B)>>"), testpdf.Obj(33, "<</Type /OCMD /VE [/Or 5 0 R [/Not 6 0 R]]>>")},
		Pages:   []testpdf.Page{{Content: "/OC /M BDC P1 EMC", Resources: "<</Properties <</M 33 0 R>>>>"}},
	}))
	var broken *failure.FormatError
	if err := doc.Doubt(context.Background(), allOff); !errors.As(err, &broken) || broken.Object != 6 {
		t.Errorf("%v, want object 6", err)
	}
}

// allOff are states in which everything is removed.
func allOff(pdf.Ref) Truth { return False }

// TestDoubtByStates: a membership that some readers show and others hide is refused
// where it hides something, and only there.
func TestDoubtByStates(t *testing.T) {
	const unknown, anyOff = "<</Type /OCMD /OCGs [6 0 R] /P /AnyOnx>>", "<</Type /OCMD /OCGs [6 0 R] /P /AnyOff>>"
	const configured, not = "<</OCGs [5 0 R 6 0 R] /D <<>>>>", "<</OCGs [5 0 R 6 0 R]>>"
	for _, c := range []struct {
		name, membership, properties string
		b                            Truth // of group B
		refused                      bool
	}{
		{"unknown policy, on", unknown, configured, True, false},
		{"unknown policy, off", unknown, configured, False, true},
		{"unknown policy, as it is", unknown, configured, Undecided, true},
		{"hidden while all are on", anyOff, configured, True, false},
		{"hidden while all are on, no configuration", anyOff, not, True, true},
		{"the same for another choice", anyOff, not, False, true},
		{"shown while all are on, no configuration", "<</Type /OCMD /OCGs [6 0 R]>>", not, False, false},
	} {
		doc := open(t, testpdf.Build(testpdf.Doc{
			Groups: []string{"A", "B"}, OCProperties: c.properties, Objects: []testpdf.Object{testpdf.Obj(33, c.membership)},
			Pages: []testpdf.Page{{Content: "/OC /M BDC P1 EMC", Resources: "<</Properties <</M 33 0 R>>>>"}},
		}))
		states := func(ref pdf.Ref) Truth {
			if ref == 6 {
				return c.b
			}
			return True
		}
		var broken *failure.FormatError
		if err := doc.Doubt(context.Background(), states); errors.As(err, &broken) != c.refused {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// TestBrokenList: a list of groups that is broken may have held the groups that it
// leaves out; PDFium, Poppler 22.12 and MuPDF 1.21 show what they hold whatever D
// says. A list that leaves one out and is sound otherwise is as its maker wrote it.
func TestBrokenList(t *testing.T) {
	for list, broken := range map[string]bool{
		"": true, "/OCGs 6 0 R": true, "/OCGs 77 0 R": true, "/OCGs [5 0 R null]": true, "/OCGs [5 0 R (B)]": true,
		"/OCGs [5 0 R 77 0 R]": true, "/OCGs [5 0 R 5 0 R]": true, "/OCGs [5 0 R 6 0 R 5 0 R]": false,
		"/OCGs [5 0 R]": false, "/OCGs []": false, "/OCGs [5 0 R 6 0 R null]": false,
	} {
		doc := open(t, testpdf.Build(testpdf.Doc{
			Groups: []string{"A", "B"}, OCProperties: "<<" + list + " /D <</OFF [6 0 R]>>>>",
			Pages: []testpdf.Page{{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC"}},
		}))
		var refused *failure.FormatError
		if err := doc.Doubt(context.Background(), allOff); errors.As(err, &refused) != broken {
			t.Errorf("%q: %v", list, err)
		}
	}
}

// TestNoLayer: content that is tied to something that is no layer for any reader
// stays, and is told of.
func TestNoLayer(t *testing.T) {
	doc := open(t, layered(testpdf.Obj(33, "<</OCGs [6 0 R]>>"), testpdf.Obj(34, "<</MCID 0>>")))
	for _, c := range []struct {
		oc   pdf.Object
		note bool
	}{
		{nil, false}, {pdf.Ref(5), false}, {pdf.Ref(34), false},
		{pdf.Ref(77), true}, {pdf.Ref(31), true}, {pdf.Ref(33), true}, {pdf.Integer(7), true},
		{pdf.Dict{"Type": pdf.Name("OCG")}, true},
	} {
		if _, notes := doc.Membership(c.oc); len(notes) > 0 != c.note {
			t.Errorf("%v: notes %q", c.oc, notes)
		}
	}
}

// TestParentIsGroup: a group that a page names as its parent is a layer still, and
// no node of the page tree becomes one.
func TestParentIsGroup(t *testing.T) {
	for name, page := range map[string]testpdf.Page{
		"parent":           {Entries: "/Parent 6 0 R"},
		"parent and types": {Entries: "/Parent 6 0 R /Type /OCG"},
	} {
		doc := open(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{page}}))
		if got, want := listed(doc.Layers()), "5 A on\n6 B on\n"; got != want {
			t.Errorf("%s: layers %q, want %q", name, got, want)
		}
	}
}

// TestListWarnings: lists that hold something else, of which readers make
// different things, are told of once each.
func TestListWarnings(t *testing.T) {
	const groups = "<</OCGs [5 0 R 6 0 R] /D "
	for _, c := range []struct{ name, properties, want string }{
		{"sound", groups + "<</OFF [6 0 R]>>>>", ""},
		{"listed twice", "<</OCGs [5 0 R 5 0 R 6 0 R] /D <<>>>>", ""},
		{"numbers in OCGs", "<</OCGs [5 0 R 7 8 6 0 R] /D <<>>>>", "list of layers OCGs"},
		{"null in OFF", groups + "<</OFF [null 6 0 R]>>>>", "list of layers OFF"},
		{"nothing in ON", groups + "<</ON [77 0 R 6 0 R]>>>>", "list of layers ON"},
		{"configuration is a number", groups + "7>>", "on by default"},
		{"no configuration", "<</OCGs [5 0 R 6 0 R]>>", "on by default"},
	} {
		doc := open(t, testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, OCProperties: c.properties}))
		switch list := doc.Warnings(); {
		case c.want == "" && len(list) > 0:
			t.Errorf("%s: warnings %v", c.name, list)
		case c.want != "" && (len(list) != 1 || !strings.Contains(list[0].Text, c.want)):
			t.Errorf("%s: warnings %v, want one of %q", c.name, list, c.want)
		}
	}
}
