package survey

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// stroke is a style of black lines, 0.4 mm wide.
func stroke(colour string, dash ...float64) LineStyle {
	return LineStyle{Kind: StrokedLine, Colour: colour, Dash: dash, Width: 0.4, Opacity: 1}
}

func TestMatchLines(t *testing.T) {
	red, solid := LineSpec{Colour: "#ff0000"}, []float64{}
	one, two := LineAnswer{Specs: []int{0}}, LineAnswer{Specs: []int{1}}
	none, both := LineAnswer{}, LineAnswer{Between: []int{0, 1}}
	for _, c := range []struct {
		name  string
		style LineStyle
		specs []LineSpec
		want  LineAnswer
	}{
		{"colour", stroke("#ff0000"), []LineSpec{{Colour: "#0000ff"}, red}, two},
		{"colour in capitals", stroke("#ff00aa"), []LineSpec{{Colour: "#FF00AA"}}, one},
		{"about the colour", stroke("#f01010"), []LineSpec{red}, one},
		{"another colour", stroke("#a00000"), []LineSpec{red}, none},
		{"the closer of two", stroke("#fe0000"), []LineSpec{{Colour: "#e00000"}, red}, two},
		{"between two", stroke("#f00000"), []LineSpec{{Colour: "#e20000"}, red}, both},
		{"two that are alike to the eye", stroke("#ff0000"), []LineSpec{red, {Colour: "#fe0000"}}, both},
		{"one line for two sizes", stroke("#ff0000"), []LineSpec{red, red}, LineAnswer{Specs: []int{0, 1}}},
		{"unknown colour", stroke(""), []LineSpec{red}, none},
		{"unknown colour, dash alone asked", stroke("", 6, 2), []LineSpec{{Dash: []float64{6, 2}}}, one},

		{"dash", stroke("#000000", 6, 2), []LineSpec{{Dash: []float64{2, 2}}, {Dash: []float64{6, 2}}}, two},
		{"solid", stroke("#000000"), []LineSpec{{Dash: []float64{6, 2}}, {Dash: solid}}, two},
		{"any dash", stroke("#ff0000", 6, 2), []LineSpec{red}, one},
		{"dashed is not solid", stroke("#000000", 6, 2), []LineSpec{{Dash: solid}}, none},
		{"about the dash", stroke("#000000", 5.6, 2.1), []LineSpec{{Dash: []float64{6, 2}}}, one},
		{"the ratio of another", stroke("#000000", 4, 4), []LineSpec{{Dash: []float64{6, 2}}}, none},
		{"the ratio at another length", stroke("#000000", 9, 3), []LineSpec{{Dash: []float64{6, 2}}}, none},
		{"a tenth of a millimetre of a short one", stroke("#000000", 0.55, 0.55), []LineSpec{{Dash: []float64{0.5, 0.5}}}, one},
		{"the pattern begun elsewhere", stroke("#000000", 1, 2, 6, 2), []LineSpec{{Dash: []float64{6, 2, 1, 2}}}, one},
		{"gaps for dashes", stroke("#000000", 2, 6), []LineSpec{{Dash: []float64{6, 2}}}, none},
		{"one length is two, 8.4.3.6", stroke("#000000", 3, 3), []LineSpec{{Dash: []float64{3}}}, one},
		{"a pattern written twice", stroke("#000000", 6, 2), []LineSpec{{Dash: []float64{6, 2, 6, 2}}}, one},
		{"no gap is solid", stroke("#000000"), []LineSpec{{Dash: []float64{6, 0}}}, one},
		{"more parts", stroke("#000000", 6, 2, 1, 2), []LineSpec{{Dash: []float64{6, 2}}}, none},

		{"width", stroke("#000000"), []LineSpec{{Width: 0.8}, {Width: 0.4}}, two},
		{"about the width", stroke("#000000"), []LineSpec{{Width: 0.45}}, one},
		{"colour and dash", stroke("#ff0000", 6, 2), []LineSpec{{Colour: "#ff0000", Dash: solid}, {Colour: "#ff0000", Dash: []float64{6, 2}}}, two},
		{"colour fits, dash does not", stroke("#ff0000", 6, 2), []LineSpec{{Colour: "#ff0000", Dash: solid}}, none},
		{"what states more", stroke("#ff0000", 6, 2), []LineSpec{red, {Colour: "#ff0000", Dash: []float64{6, 2}}}, two},
		{"what states less, where more does not fit", stroke("#ff0000"), []LineSpec{red, {Colour: "#ff0000", Dash: []float64{6, 2}}}, one},
		{"a spec that states nothing", stroke("#ff0000"), []LineSpec{{}}, none},

		{"thin fill", LineStyle{Kind: ThinShape, Colour: "#ff0000"}, []LineSpec{red}, one},
		{"thin fill is solid", LineStyle{Kind: ThinShape, Colour: "#ff0000"}, []LineSpec{{Colour: "#ff0000", Dash: []float64{6, 2}}, {Colour: "#ff0000", Dash: solid}}, two},
		{"pieces are dashes", LineStyle{Kind: StrokedLine, Colour: "#ff0000", Pieces: &DashPieces{Dash: 6, Gap: 2}}, []LineSpec{{Dash: solid}, {Dash: []float64{6, 2}}}, two},
		{"text", LineStyle{Kind: ShownText, Colour: "#ff0000"}, []LineSpec{red}, none},
		{"text asked for", LineStyle{Kind: ShownText, Colour: "#ff0000"}, []LineSpec{{Colour: "#ff0000", Dash: []float64{6, 2}, Width: 2, Text: true}}, one},
		{"fill asked for", LineStyle{Kind: FilledShape, Colour: "#ff0000"}, []LineSpec{{Colour: "#ff0000", Text: true}}, one},
		{"text without a colour", LineStyle{Kind: ShownText, Colour: "#ff0000"}, []LineSpec{{Dash: []float64{6, 2}, Text: true}}, none},
		{"text of two sizes", LineStyle{Kind: ShownText, Colour: "#ff0000"}, []LineSpec{{Colour: "#ff0000", Dash: solid, Text: true}, {Colour: "#ff0000", Dash: []float64{6, 2}, Text: true}}, both},
	} {
		t.Run(c.name, func(t *testing.T) {
			m, err := MatchLines([]LineStyle{c.style}, c.specs)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, m.Answers[0]); diff != "" {
				t.Errorf("answer (-want +got):\n%s", diff)
			}
		})
	}
}

func TestWithout(t *testing.T) {
	styles := []LineStyle{stroke("#ff0000"), stroke("#0000ff"), stroke("#000000"), stroke("#00ff00")}
	specs := []LineSpec{{Colour: "#ff0000"}, {Colour: "#0000ff"}, {Colour: "#0000ff"}}
	m, err := MatchLines(styles, specs)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name string
		stay []int
		want []LineStyle
	}{
		{"nothing stays", nil, styles[:2]},
		{"the first", []int{0}, styles[1:2]},
		{"one of two that share a line", []int{2}, styles[:1]},
		{"all", []int{0, 1, 2}, []LineStyle{}}, // not nil: see Selection.Lines
	} {
		if diff := cmp.Diff(c.want, m.Without(c.stay), cmp.AllowUnexported(LineStyle{})); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

func TestMatchLinesRefuses(t *testing.T) {
	for _, colour := range []string{"red", "#12", "ff0000"} {
		if _, err := MatchLines(nil, []LineSpec{{Colour: colour}}); err == nil || !strings.Contains(err.Error(), colour) {
			t.Errorf("%q: %v", colour, err)
		}
	}
}

// A distance is the same both ways, and 0 for a pattern and itself.
func FuzzDashDistance(f *testing.F) {
	f.Add(6.0, 2.0, 1.0, 2.0, 6.0, 2.0)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g float64) {
		for _, v := range []float64{a, b, c, d, e, g} {
			if !(v >= 0 && v < 1e6) {
				return
			}
		}
		p, q := []float64{a, b, c, d}, []float64{e, g}
		there, back := dashDistance(p, q), dashDistance(q, p)
		if there != back && math.Abs(there-back) > 1e-9*max(there, back) {
			t.Errorf("%v from %v to %v, %v back", there, p, q, back)
		}
		if self := dashDistance(p, p); self != 0 {
			t.Errorf("%v from %v to itself", self, p)
		}
	})
}

func TestHardToTell(t *testing.T) {
	for _, c := range []struct {
		name  string
		specs []LineSpec
		want  []AlikeLines
	}{
		{"black and white", []LineSpec{{Colour: "#000000"}, {Colour: "#ffffff"}}, nil},
		{"two reds", []LineSpec{{Colour: "#ff0000"}, {Colour: "#ff0000"}}, []AlikeLines{{0, 1, 0, 0, false}}},
		{"two reds in two dashes", []LineSpec{{Colour: "#ff0000", Dash: []float64{}}, {Colour: "#ff0000", Dash: []float64{6, 2}}}, nil},
		{"two reds in one dash", []LineSpec{{Colour: "#ff0000", Dash: []float64{6, 2}}, {Colour: "#ff0000", Dash: []float64{6.2, 2}}}, []AlikeLines{{0, 1, 0, 0, false}}},
		{"dashes alone", []LineSpec{{Dash: []float64{6, 2}}, {Dash: []float64{2, 2}}, {Dash: []float64{}}}, nil},
	} {
		got, err := HardToTell(c.specs)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(c.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
	// Lightness of sRGB red 53.2, green (#008000) 46.2: far apart in colour, near
	// in grey (L* from the tests of go-colorful and by the formula).
	got, err := HardToTell([]LineSpec{{Colour: "#ff0000"}, {Colour: "#008000"}})
	if err != nil || len(got) != 1 || !got[0].OnlyGrey || got[0].Colour < 50 || got[0].Grey > 8 {
		t.Errorf("red and green: %+v, %v", got, err)
	}
	if _, err := HardToTell([]LineSpec{{Colour: "mauve"}}); err == nil {
		t.Error("mauve is a colour")
	}
}
