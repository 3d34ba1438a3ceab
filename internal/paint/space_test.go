package paint_test

import (
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/paint"
	"github.com/sizeply/sizeply/internal/testpdf"
)

func rgb(r, g, b uint8) paint.Colour { return paint.Colour{R: r, G: g, B: b, Known: true} }

// Colours of ISO 32000-1, 8.6, as sRGB. The objects 30 to 33 are an ICC profile
// of 3 components, one of 4, a sampled function and a calculator.
func TestColour(t *testing.T) {
	objects := []testpdf.Object{
		testpdf.Stream(30, "/N 3", "no profile"),
		testpdf.Stream(31, "/N 4 /Alternate /DeviceCMYK", "no profile"),
		testpdf.Stream(32, "/FunctionType 0 /Domain [0 1] /Range [0 1 0 1 0 1] /Size [2] /BitsPerSample 8", "\xff\xff\xff\xff\x00\x80"),
		testpdf.Stream(33, "/FunctionType 4 /Domain [0 1 0 1] /Range [0 1 0 1 0 1 0 1]", "{ 2 copy mul 0.5 lt { 1 } { 0 } ifelse 0 }"),
	}
	tint := func(function string) string {
		return "/ColorSpace <</S [/Separation /Cut /DeviceCMYK " + function + "]>>"
	}
	linear := "<</FunctionType 2 /Domain [0 1] /C0 [0 0 0 0] /C1 [0 1 1 0] /N 1>>"
	for _, tc := range []struct {
		name, content, resources string
		want                     paint.Colour
		written                  string
	}{
		{"initial black, Table 52", "", "", rgb(0, 0, 0), "grey 0"},
		{"grey, 10.3.2", ".5 G", "", rgb(128, 128, 128), "grey 0.5"},
		{"RGB", ".2 .7 .4 RG", "", rgb(51, 179, 102), "RGB 0.2 0.7 0.4"},
		{"CMYK, 10.3.5: 1 - min(1, C + K)", ".5 0 .3 .3 K", "", rgb(51, 179, 102), "CMYK 0.5 0 0.3 0.3"},
		{"CMYK beyond full", ".5 .5 .5 .5 K", "", rgb(0, 0, 0), "CMYK 0.5 0.5 0.5 0.5"},
		{"CMYK is black at first, Table 74", "/DeviceCMYK CS", "", rgb(0, 0, 0), "CMYK 0 0 0 1"},
		{"components out of range", "2 -1 0 RG", "", rgb(255, 0, 0), "RGB 2 -1 0"},
		{"ICC profile of three", "/S CS 1 .5 0 SC", "/ColorSpace <</S [/ICCBased 30 0 R]>>", rgb(255, 128, 0), "RGB by profile 1 0.5 0"},
		{"ICC profile of four", "/S CS 0 1 1 0 SCN", "/ColorSpace <</S [/ICCBased 31 0 R]>>", rgb(255, 0, 0), "CMYK by profile 0 1 1 0"},
		{"ICC profile at first", "/S CS", "/ColorSpace <</S [/ICCBased 31 0 R]>>", rgb(255, 255, 255), "CMYK by profile 0 0 0 0"},
		{"a name for a device space", "/S CS 1 0 0 SC", "/ColorSpace <</S /DeviceRGB>>", rgb(255, 0, 0), "RGB 1 0 0"},
		{"CalGray with gamma 1: a quarter of the light", "/S CS .25 SC", "/ColorSpace <</S [/CalGray <</WhitePoint [.9505 1 1.089]>>]>>", rgb(137, 137, 137), "calibrated grey 0.25"},
		{"CalRGB with the primaries of sRGB, gamma 2.2", "/S CS 0 1 0 SC", "/ColorSpace <</S [/CalRGB <</WhitePoint [.9505 1 1.089] /Gamma [2.2 2.2 2.2] /Matrix [.4124 .2126 .0193 .3576 .7152 .1192 .1805 .0722 .9505]>>]>>", rgb(0, 255, 0), "calibrated RGB 0 1 0"},
		// sRGB to Lab, D65: the tests of go-colorful
		{"Lab of #ff0000", "/S CS 53.2408 80.0925 67.2032 SC", "/ColorSpace <</S [/Lab <</WhitePoint [.95047 1 1.08883] /Range [-128 127 -128 127]>>]>>", rgb(255, 0, 0), "Lab 53.2408 80.0925 67.2032"},
		{"Lab range cuts", "/S CS 50 500 0 SC", "/ColorSpace <</S [/Lab <</WhitePoint [.95047 1 1.08883] /Range [0 0 0 0]>>]>>", rgb(119, 119, 119), "Lab 50 500 0"},
		{"Separation, type 2", "/S CS .5 SCN", tint(linear), rgb(255, 128, 128), `spot "Cut" 0.5`},
		{"Separation at first is full, Table 74", "/S CS", tint(linear), rgb(255, 0, 0), `spot "Cut" 1`},
		{"Separation, type 0", "/S CS .5 SCN", "/ColorSpace <</S [/Separation /Cut /DeviceRGB 32 0 R]>>", rgb(255, 128, 192), `spot "Cut" 0.5`},
		{"Separation, type 3", "/S CS .75 SCN", tint("<</FunctionType 3 /Domain [0 1] /Bounds [.5] /Encode [0 1 1 0] /Functions [" + linear + linear + "]>>"), rgb(255, 128, 128), `spot "Cut" 0.75`},
		{"DeviceN, type 4", "/S CS 1 1 SCN", "/ColorSpace <</S [/DeviceN [/A /B] /DeviceCMYK 33 0 R]>>", rgb(0, 0, 255), `spot "A, B" 1 1`},
		{"Indexed", "/S CS 1 SC", "/ColorSpace <</S [/Indexed /DeviceRGB 1 <000000FF8000>]>>", rgb(255, 128, 0), "RGB from a table 1"},
		{"Indexed beyond its table", "/S CS 7 SC", "/ColorSpace <</S [/Indexed /DeviceRGB 1 <000000FF8000>]>>", rgb(255, 128, 0), "RGB from a table 7"},
		{"Indexed Lab: bytes stand for the range", "/S CS 0 SC", "/ColorSpace <</S [/Indexed [/Lab <</WhitePoint [.95047 1 1.08883] /Range [-128 127 -128 127]>>] 0 <808080>]>>", rgb(119, 119, 119), "Lab from a table 0"},
		{"pattern", "/Pattern CS /P SCN", "", paint.Colour{}, "pattern"},
		{"unknown space", "/S CS 1 SCN", "", paint.Colour{}, "unknown"},
		{"too few components", "/S CS 1 SCN", "/ColorSpace <</S [/ICCBased 30 0 R]>>", paint.Colour{}, "RGB by profile"},
		{"Indexed in Indexed without end", "/S CS 1 SCN", "/ColorSpace <</S 40 0 R>>", paint.Colour{}, "unknown"},
		{"tint function that is none", "/S CS 1 SCN", tint("null"), paint.Colour{}, `spot "Cut" 1`},
		{"functions within themselves", "/S CS 1 SCN", tint("41 0 R"), paint.Colour{}, `spot "Cut" 1`},
	} {
		t.Run(tc.name, func(t *testing.T) {
			objects := append(objects, testpdf.Obj(40, "[/Indexed 40 0 R 1 <0000>]"),
				testpdf.Obj(41, "<</FunctionType 3 /Domain [0 1] /Bounds [.1 .2 .3] /Encode [0 1 0 1 0 1 0 1] /Functions [41 0 R 41 0 R 41 0 R 41 0 R]>>"))
			list, written, _ := stroked(t, tc.content+" 0 0 m 9 9 l S", tc.resources, objects...)
			if got := list[0].Colour; got != tc.want {
				t.Errorf("colour %v, want %v", got, tc.want)
			}
			if written != tc.written {
				t.Errorf("written %q, want %q", written, tc.written)
			}
		})
	}
}

// Operators of calculator functions (7.10.5, Table 42), each with the first
// value of the input .25 to 1.
func TestCalculator(t *testing.T) {
	for _, tc := range []struct {
		program string
		want    string // grey as written in hexadecimal; "" for none
	}{
		{"{ }", "40"}, {"{ 1 exch sub }", "bf"}, {"{ dup add }", "80"}, {"{ 2 mul }", "80"}, {"{ .5 div }", "80"},
		{"{ sqrt }", "80"}, {"{ 2 exp }", "10"}, {"{ neg abs }", "40"}, {"{ pop 30 sin .01 add }", "82"}, {"{ pop 60 cos }", "80"},
		{"{ pop 1 1 atan 90 div }", "80"}, {"{ pop 7 2 idiv 6 div }", "80"}, {"{ pop 7 5 mod 4 div }", "80"},
		{"{ pop 1.5 floor 2 div }", "80"}, {"{ pop .5 ceiling 2 div }", "80"}, {"{ pop 1.9 truncate 2 div }", "80"},
		{"{ pop 100 log 4 div }", "80"}, {"{ pop 1 ln .5 add }", "80"}, {"{ .5 lt { .5 } { 1 } ifelse }", "80"},
		{"{ pop 1 2 3 3 1 roll pop pop 6 div }", "80"}, {"{ pop .5 1 1 index exch pop exch pop }", "80"},
		{"{ pop true false or 2 div }", "80"}, {"{ pop 5 3 and 2 div }", "80"}, {"{ pop 1 2 bitshift 8 div }", "80"},
		{"{ % a comment\n pop .5 }", "80"},
		{"{ pop }", ""}, {"{ pop pop }", ""}, {"{ frob }", ""}, {"{ 0 div }", ""}, {"{ pop 1 2", ""}, {"{ 5 index }", ""},
		{"{ 1e300 1e300 mul }", ""}, {"{ if }", ""}, {strings.Repeat("{", 99) + strings.Repeat("}", 99), ""},
		{"{ " + strings.Repeat("dup ", 200) + "}", ""},
	} {
		t.Run(tc.program, func(t *testing.T) {
			list, _, _ := stroked(t, "/S CS .25 SCN 0 0 m 9 9 l S", "/ColorSpace <</S [/Separation /X /DeviceGray 30 0 R]>>",
				testpdf.Stream(30, "/FunctionType 4 /Domain [0 1] /Range [0 1]", tc.program))
			got := ""
			if c := list[0].Colour; c.Known {
				got = string("0123456789abcdef"[c.R>>4]) + string("0123456789abcdef"[c.R&15])
			}
			if got != tc.want {
				t.Errorf("grey %q, want %q", got, tc.want)
			}
		})
	}
}
