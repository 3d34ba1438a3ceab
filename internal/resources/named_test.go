package resources

import (
	"testing"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

func TestNamedBy(t *testing.T) {
	for _, c := range []struct {
		content string
		want    Name // zero for none
	}{
		{"/F 10 Tf", Name{Font, "F"}},
		{"/G gs", Name{ExtGState, "G"}},
		{"/S cs", Name{ColorSpace, "S"}},
		{"/S CS", Name{ColorSpace, "S"}},
		{"/P scn", Name{Pattern, "P"}},
		{"1 0 0 /P SCN", Name{Pattern, "P"}},
		{".2 scn", Name{}},
		{"scn", Name{}},
		{"/S sh", Name{Shading, "S"}},
		{"/X Do", Name{XObject, "X"}},
		{"/#58 Do", Name{XObject, "X"}},
		{"/OC /A BDC", Name{Properties, "A"}},
		{"/OC /A DP", Name{Properties, "A"}},
		{"/Span <</MCID 1>> BDC", Name{}},
		{"/Span BMC", Name{}},
		{"/Perceptual ri", Name{}},
		{"BI /W 1 /H 1 /CS /S /BPC 8 ID x EI", Name{ColorSpace, "S"}},
		{"BI /W 1 /H 1 /ColorSpace /S /BPC 8 ID x EI", Name{ColorSpace, "S"}},
		{"BI /W 1 /H 1 /IM true ID x EI", Name{}},
		{"BI /W 1 /H 1 /CS /S /BPC 8 ID xxx", Name{}},
		{"1 0 0 rg", Name{}},
	} {
		var op content.Operation
		if !content.NewScanner([]byte(c.content)).Next(&op) {
			t.Fatalf("%s: no operation", c.content)
		}
		got, ok := NamedBy(&op)
		if ok != (c.want != Name{}) || ok && got != c.want {
			t.Errorf("%s names %v, %v, want %v", c.content, got, ok, c.want)
		}
		if ok && !MayName(op.Op) {
			t.Errorf("%s: MayName says no", c.content)
		}
	}
}

func TestComponents(t *testing.T) {
	src := objects{1: &pdf.Stream{Dict: pdf.Dict{"N": pdf.Integer(4)}}, 2: pdf.Name("DeviceRGB")}
	for _, c := range []struct {
		space pdf.Object
		want  int // 0 for unknown
	}{
		{pdf.Name("DeviceGray"), 1}, {pdf.Name("G"), 1}, {pdf.Name("RGB"), 3}, {pdf.Name("DeviceCMYK"), 4},
		{pdf.Ref(2), 3},
		{pdf.Array{pdf.Name("CalRGB"), pdf.Dict{}}, 3}, {pdf.Array{pdf.Name("Lab"), pdf.Dict{}}, 3},
		{pdf.Array{pdf.Name("ICCBased"), pdf.Ref(1)}, 4}, {pdf.Array{pdf.Name("ICCBased"), pdf.Ref(7)}, 0},
		{pdf.Array{pdf.Name("Indexed"), pdf.Name("DeviceRGB"), pdf.Integer(1), pdf.String("")}, 1},
		{pdf.Array{pdf.Name("Separation"), pdf.Name("Cut")}, 1},
		{pdf.Array{pdf.Name("DeviceN"), pdf.Array{pdf.Name("a"), pdf.Name("b")}}, 2},
		{pdf.Array{pdf.Name("Pattern")}, 0}, {nil, 0},
	} {
		if got, ok := Components(src, c.space); got != c.want || ok != (c.want > 0) {
			t.Errorf("%v has %d components, %v, want %d", c.space, got, ok, c.want)
		}
		scope := NewScope(src, pdf.Dict{"ColorSpace": pdf.Dict{"S": c.space}}, nil)
		if got, _ := scope.Components("S"); got != c.want {
			t.Errorf("%v has %d components by its name, want %d", c.space, got, c.want)
		}
	}
}

func TestIsDrawing(t *testing.T) {
	for _, c := range []struct {
		dict pdf.Dict
		want bool
	}{
		{pdf.Dict{"Subtype": pdf.Name("Form")}, true},
		{pdf.Dict{"PatternType": pdf.Integer(1)}, true},
		{pdf.Dict{"PatternType": pdf.Integer(2)}, false},
		{pdf.Dict{"Subtype": pdf.Name("Image")}, false},
		{pdf.Dict{}, false},
	} {
		if got := IsDrawing(objects{}, c.dict); got != c.want {
			t.Errorf("%v: %v", c.dict, got)
		}
	}
}
