package layers

import (
	"bytes"
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/isolate"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestCheck: what Isolate writes is accepted, whatever was chosen.
func TestCheck(t *testing.T) {
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
			out, report := isolateNamed(t, file, choose...)
			if err := report.Check(context.Background(), bytes.NewReader(out)); err != nil {
				t.Errorf("%s, %v chosen: %v", name, choose, err)
			}
		}
	}
}

// TestCheckBytes: each way to tamper is refused, since the bytes differ.
func TestCheckBytes(t *testing.T) {
	for _, c := range tamperings() {
		file, report := c.tampered(t)
		err := report.Check(context.Background(), bytes.NewReader(file))
		if !errors.Is(err, isolate.ErrWritten) || !errors.Is(err, ErrInternal) || errors.Is(err, ErrBadFile) {
			t.Errorf("%s: error %v, want %v, which is %v alone", c.name, err, isolate.ErrWritten, ErrInternal)
		}
	}
}

// tampered is a result that was tampered with, and the report of it.
func (c tampering) tampered(t *testing.T) ([]byte, *Report) {
	out, report := isolateNamed(t, verifiable(), "A", "C")
	r := reopened(t, out)
	x := &tampered{result: r, edit: r.doc.Edit(), report: report}
	c.tamper(x)
	var file bytes.Buffer
	if _, err := x.edit.Write(context.Background(), &file); err != nil {
		t.Fatal(err)
	}
	return file.Bytes(), report
}

// TestCheckStructure: with the hash of the bytes out of the way, each of these
// is found in the file itself.
func TestCheckStructure(t *testing.T) {
	allOff := func(x *tampered) pdf.Ref {
		return x.edit.Add(pdf.Dict{"Type": pdf.Name("OCMD"), "OCGs": x.now(7), "P": pdf.Name("AllOff")})
	}
	list := append(tamperings()[:14], []tampering{
		{"a section names what is missing", func(x *tampered) { x.stream(0, "Contents", "/OC /Z BDC P1 EMC /X Do") }, "missing"},
		{"a font is missing", func(x *tampered) { x.stream(0, "Contents", "BT /F 9 Tf (A) Tj ET") }, "missing"},
		{"a form names what is missing", func(x *tampered) { x.stream(0, "Resources/XObject/X", "P5 /Y Do") }, "missing"},
		{"an appearance names what is missing", func(x *tampered) { x.stream(0, "Annots/0/AP/N", "/G gs P7") }, "missing"},
		{"a stream is no Flate data", func(x *tampered) {
			ref := x.at(1, "Contents").(pdf.Ref)
			x.edit.Set(ref, &pdf.Stream{Dict: pdf.Dict{"Filter": pdf.Name("Nothing")}, Raw: []byte("P1")})
		}, "page 2"},
		{"a form never shows", func(x *tampered) {
			ref := x.at(0, "Resources/XObject/X").(pdf.Ref)
			st := pdf.AsStream(x.doc, ref)
			d := st.Dict.Clone()
			d["OC"] = allOff(x)
			x.edit.Set(ref, &pdf.Stream{Dict: d, Raw: st.Raw})
		}, "hidden"},
		{"an annotation never shows", func(x *tampered) {
			ref := x.at(0, "Annots/0").(pdf.Ref)
			d := pdf.AsDict(x.doc, ref).Clone()
			d["OC"] = allOff(x)
			x.edit.Set(ref, d)
		}, "hidden"},
		{"a section never shows", func(x *tampered) {
			x.page(1, func(d pdf.Dict) { d["Resources"] = pdf.Dict{"Properties": pdf.Dict{"C": allOff(x)}} })
		}, "hidden"},
	}...)
	for _, c := range list {
		t.Run(c.name, func(t *testing.T) {
			file, report := c.tampered(t)
			err := isolate.CheckFile(context.Background(), report, file)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("the error is %v and does not name %q", err, c.want)
			}
		})
	}
}

// TestCheckRefuses: an object that nothing refers to, another report, an ended
// context.
func TestCheckRefuses(t *testing.T) {
	out, report := isolateNamed(t, verifiable(), "A", "C")
	file := withUpdate(out, "900 0 obj\n(SECRET)\nendobj\n", 900)
	if err := isolate.CheckFile(context.Background(), report, file); !errors.Is(err, isolate.ErrUnreachable) {
		t.Errorf("error %v, want %v", err, isolate.ErrUnreachable)
	}
	if err := (&Report{}).Check(context.Background(), bytes.NewReader(out)); !errors.Is(err, isolate.ErrNotMade) {
		t.Errorf("a report that nobody made gives %v", err)
	}
	_, report = isolateNamed(t, verifiable(), "A", "C")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := report.Check(ctx, bytes.NewReader(out)); !errors.Is(err, context.Canceled) {
		t.Errorf("an ended context gives %v", err)
	}
}
