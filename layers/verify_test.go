package layers

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/isolate"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// verify holds a file against the original and the layers of those names.
func verify(tb testing.TB, file, original []byte, names ...string) error {
	tb.Helper()
	doc := open(tb, original)
	return Verify(context.Background(), bytes.NewReader(file), doc, Selection{Layers: named(doc, names...), NoLayers: true}, nil)
}

// verifiable is a document of everything that Verify looks at.
func verifiable() []byte {
	return testpdf.Build(testpdf.Doc{
		Groups: []string{"A", "B", "C"},
		Pages: []testpdf.Page{
			{Content: "/OC /A BDC P1 EMC /OC /B BDC P2 EMC /X Do", Entries: "/Annots [40 0 R]",
				Resources: "<</Properties <</A 5 0 R /B 6 0 R>> /XObject <</X 30 0 R>>>>"},
			{Content: "/OC /C BDC P3 EMC /OC /B BDC P4 EMC", Entries: "/Rotate 90 /UserUnit 2 /CropBox [1 1 50 50]"},
		},
		Objects: []testpdf.Object{
			testpdf.Form(30, "/Resources <</Properties <</B 6 0 R>>>>", "P5 /OC /B BDC P6 EMC"),
			testpdf.Obj(40, "<</Subtype /Square /Rect [0 0 9 9] /AP <</N 41 0 R>>>>"),
			testpdf.Form(41, "/Resources <</Properties <</B 6 0 R>>>>", "P7 /OC /B BDC P8 EMC"),
		},
	})
}

// choices are none, one, two and all of three names; with -short two alone.
func choices(names []string) [][]string {
	two := []string{names[0], names[2]}
	if testing.Short() {
		return [][]string{two}
	}
	return [][]string{nil, names[:1], two, names}
}

// TestVerify: what Isolate writes is accepted, whatever was chosen.
func TestVerify(t *testing.T) {
	files := map[string][]byte{"everything": verifiable(), "every place": testpdf.Build(plant(planting()...))}
	for _, c := range contentCases {
		files[c.name] = c.build()
	}
	for _, c := range formCases {
		files[c.name] = testpdf.Build(c.doc())
	}
	for name, file := range files {
		list := Names(open(t, file).Layers())
		for _, choose := range choices(list) {
			out, _ := isolateNamed(t, file, choose...)
			if err := verify(t, out, file, choose...); err != nil {
				t.Errorf("%s, %v chosen: %v", name, choose, err)
			}
		}
	}
}

// tampering is one way in which a result differs from what it should be, with
// A and C chosen of A, B and C.
type tampering struct {
	name   string
	tamper func(*tampered)
	want   string // part of the error
}

// tampered is a result being changed.
type tampered struct {
	result
	edit   *pdf.Edit
	report *Report
}

// page changes the dictionary of a page.
func (x *tampered) page(i int, change func(pdf.Dict)) {
	p := x.doc.Pages()[i]
	d := p.Dict.Clone()
	change(d)
	x.edit.Set(p.Ref, d)
}

// stream replaces the data of the stream at a path.
func (x *tampered) stream(page int, path, content string) {
	ref, _ := x.at(page, path).(pdf.Ref)
	st := pdf.AsStream(x.doc, ref)
	if ref == 0 || st == nil {
		x.Fatalf("%s is no stream", path)
	}
	x.edit.Set(ref, pdf.NewStream(context.Background(), st.Dict, []byte(testpdf.Marks(content))))
}

// catalog changes the default configuration and the list of groups.
func (x *tampered) catalog(change func(oc, config pdf.Dict)) {
	root, ref := x.doc.Root()
	root = root.Clone()
	oc := pdf.AsDict(x.doc, root["OCProperties"]).Clone()
	config := pdf.AsDict(x.doc, oc["D"]).Clone()
	change(oc, config)
	oc["D"], root["OCProperties"] = config, oc
	x.edit.Set(ref, root)
}

// group is the number of a group in the result by that in the original.
func (x *tampered) now(was int) pdf.Ref { return pdf.Ref(x.report.Objects[was]) }

func tamperings() []tampering {
	ocg := func(name string) pdf.Dict { return pdf.Dict{"Type": pdf.Name("OCG"), "Name": pdf.String(name)} }
	return []tampering{
		{"a removed layer is back", func(x *tampered) {
			b := x.edit.Add(ocg("B"))
			x.catalog(func(oc, _ pdf.Dict) { oc["OCGs"] = pdf.Array{x.now(5), b, x.now(7)} })
		}, "layer"},
		{"a removed layer is back, unlisted", func(x *tampered) {
			b := x.edit.Add(ocg("B"))
			x.page(0, func(d pdf.Dict) { d["Tampered"] = b })
		}, "layer"},
		{"a kept layer is missing", func(x *tampered) {
			x.catalog(func(oc, _ pdf.Dict) { oc["OCGs"] = pdf.Array{x.now(5)} })
			x.edit.Set(x.now(7), nil)
		}, "layers"},
		{"a kept layer has another name", func(x *tampered) { x.edit.Set(x.now(7), ocg("Z")) }, "layers"},
		{"the layers changed places", func(x *tampered) {
			x.catalog(func(oc, _ pdf.Dict) { oc["OCGs"] = pdf.Array{x.now(7), x.now(5)} })
		}, "layers"},
		{"a kept layer is not listed", func(x *tampered) {
			x.catalog(func(oc, _ pdf.Dict) { oc["OCGs"] = pdf.Array{x.now(5)} })
		}, "listed"},
		{"a kept layer is off", func(x *tampered) {
			x.catalog(func(_, config pdf.Dict) { config["OFF"] = pdf.Array{x.now(5)} })
		}, "layers"},
		{"a kept layer is off when printed", func(x *tampered) {
			g := ocg("C")
			g["Usage"] = pdf.Dict{"Print": pdf.Dict{"PrintState": pdf.Name("OFF")}}
			x.edit.Set(x.now(7), g)
			x.catalog(func(_, config pdf.Dict) {
				config["AS"] = pdf.Array{pdf.Dict{"Event": pdf.Name("Print"), "OCGs": pdf.Array{x.now(7)}, "Category": pdf.Array{pdf.Name("Print")}}}
			})
		}, "printed"},
		{"the catalog knows no layers", func(x *tampered) {
			root, ref := x.doc.Root()
			root = root.Clone()
			delete(root, "OCProperties")
			x.edit.Set(ref, root)
		}, "layers"},
		{"a page is missing", func(x *tampered) {
			root, _ := x.doc.Root()
			tree, _ := root["Pages"].(pdf.Ref)
			d := pdf.AsDict(x.doc, tree).Clone()
			d["Kids"], d["Count"] = pdf.AsArray(x.doc, d["Kids"])[:1], pdf.Integer(1)
			x.edit.Set(tree, d)
		}, "pages"},
		{"a media box changed", func(x *tampered) {
			x.page(0, func(d pdf.Dict) {
				d["MediaBox"] = pdf.Array{pdf.Integer(0), pdf.Integer(0), pdf.Integer(100), pdf.Integer(101)}
			})
		}, "page 1"},
		{"a crop box is gone", func(x *tampered) { x.page(1, func(d pdf.Dict) { delete(d, "CropBox") }) }, "page 2"},
		{"a rotation changed", func(x *tampered) { x.page(1, func(d pdf.Dict) { d["Rotate"] = pdf.Integer(180) }) }, "page 2"},
		{"a unit changed", func(x *tampered) { x.page(1, func(d pdf.Dict) { delete(d, "UserUnit") }) }, "page 2"},
		{"dropped content is back on a page", func(x *tampered) { x.stream(0, "Contents", "/OC /A BDC P1 EMC P2 /X Do") }, "page 1"},
		{"dropped content is back in a section", func(x *tampered) {
			x.stream(0, "Contents", "/OC /A BDC P1 EMC /OC /B BDC P2 EMC /X Do")
		}, "page 1"},
		{"content is shown where a chosen layer is off", func(x *tampered) {
			x.stream(1, "Contents", "/OC /C BDC P3 EMC /OC /B BDC P4 EMC")
			x.page(1, func(d pdf.Dict) {
				m := pdf.Dict{"Type": pdf.Name("OCMD"), "OCGs": x.now(7), "P": pdf.Name("AllOff")}
				d["Resources"] = pdf.Dict{"Properties": pdf.Dict{"C": x.now(7), "B": m}}
			})
		}, "page 2"},
		{"kept content is missing", func(x *tampered) { x.stream(1, "Contents", "") }, "page 2"},
		{"kept content is in another layer", func(x *tampered) { x.stream(0, "Contents", "P1 /X Do") }, "page 1"},
		{"dropped content is back in a form", func(x *tampered) { x.stream(0, "Resources/XObject/X", "P5 P6") }, ""},
		{"dropped content is back in an appearance", func(x *tampered) { x.stream(0, "Annots/0/AP/N", "P7 P8") }, ""},
		{"an annotation is missing", func(x *tampered) { x.page(0, func(d pdf.Dict) { delete(d, "Annots") }) }, ""},
	}
}

// TestVerifyRefuses: each way to tamper is refused.
func TestVerifyRefuses(t *testing.T) {
	original := verifiable()
	for _, c := range tamperings() {
		t.Run(c.name, func(t *testing.T) {
			out, report := isolateNamed(t, original, "A", "C")
			r := reopened(t, out)
			x := &tampered{result: r, edit: r.doc.Edit(), report: report}
			c.tamper(x)
			var file bytes.Buffer
			if _, err := x.edit.Write(context.Background(), &file); err != nil {
				t.Fatal(err)
			}
			if err := verify(t, file.Bytes(), original, "A", "C"); err == nil {
				t.Error("it is accepted")
			} else if !strings.Contains(err.Error(), c.want) {
				t.Errorf("the error is %q and does not name %q", err, c.want)
			}
		})
	}
}

// TestVerifyUntouched: a result that is only written anew is accepted, so that
// the refusals above are about the tampering.
func TestVerifyUntouched(t *testing.T) {
	original := verifiable()
	out, _ := isolateNamed(t, original, "A", "C")
	var file bytes.Buffer
	if _, err := reopened(t, out).doc.Edit().Write(context.Background(), &file); err != nil {
		t.Fatal(err)
	}
	if err := verify(t, file.Bytes(), original, "A", "C"); err != nil {
		t.Error(err)
	}
}

// TestVerifyUnreachable: an object that nothing refers to is refused.
func TestVerifyUnreachable(t *testing.T) {
	original := verifiable()
	out, _ := isolateNamed(t, original, "A", "C")
	file := withUpdate(out, "900 0 obj\n(SECRET)\nendobj\n", 900)
	if !find(t, file).has("(SECRET)") || open(t, file).file.PDF.Object(900) == nil {
		t.Fatal("the object is not in the file")
	}
	err := verify(t, file, original, "A", "C")
	if !errors.Is(err, isolate.ErrUnreachable) || !errors.Is(err, ErrBadFile) {
		t.Errorf("error %v, want %v, which is %v", err, isolate.ErrUnreachable, ErrBadFile)
	}
}

// TestVerifyUnopened: a result that cannot be opened is a bad file as well, and one
// whose reading is cancelled is not.
func TestVerifyUnopened(t *testing.T) {
	doc := open(t, verifiable())
	sel := Selection{Layers: named(doc, "A", "C")}
	var wrong *CheckError
	cut := bytes.NewReader([]byte("%PDF-1.7 cut short"))
	if err := Verify(context.Background(), cut, doc, sel, nil); !errors.As(err, &wrong) || !errors.Is(err, ErrBadFile) {
		t.Errorf("cut short: %v, want a *CheckError", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := Verify(ctx, cut, doc, sel, nil); !errors.Is(err, context.Canceled) || errors.As(err, &wrong) {
		t.Errorf("cancelled: %v, want the error of the context alone", err)
	}
}

// withUpdate appends an object in an update with a table of its own (7.5.6).
func withUpdate(file []byte, object string, num int) []byte {
	root := regexp.MustCompile(`/Root (\d+) 0 R`).FindSubmatch(file)
	start := regexp.MustCompile(`startxref\s+(\d+)`).FindSubmatch(file)
	at := len(file)
	out := append(bytes.Clone(file), object...)
	return fmt.Appendf(out, "xref\n%d 1\n%010d 00000 n \ntrailer\n<</Size %d /Root %s 0 R /Prev %s>>\nstartxref\n%d\n%%%%EOF\n",
		num, at, num+1, root[1], start[1], at+len(object))
}

// TestVerifyOtherFiles: what is no PDF, the original itself, and the result of
// another selection are refused.
func TestVerifyOtherFiles(t *testing.T) {
	original := verifiable()
	other, _ := isolateNamed(t, original, "A", "B")
	cut, _ := isolateNamed(t, original, "A", "C")
	for name, file := range map[string][]byte{
		"no bytes": nil, "no PDF": []byte("no PDF at all"), "the original": original, "another selection": other, "half of it": cut[:len(cut)/2],
	} {
		if err := verify(t, file, original, "A", "C"); err == nil {
			t.Errorf("%s is accepted", name)
		}
	}
	doc := open(t, original)
	if err := Verify(context.Background(), bytes.NewReader(cut), doc, Selection{Layers: []int{9}}, nil); err == nil {
		t.Error("a selection that the file cannot have is accepted")
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := Verify(ctx, bytes.NewReader(cut), doc, Selection{Layers: []int{0, 2}}, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("an ended context gives %v", err)
	}
}
