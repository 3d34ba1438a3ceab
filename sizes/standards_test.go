package sizes

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// Values from published size charts. Each table names where it is from; none
// of the standards was read itself, so each is cited by what quotes it. The
// measurements of a row pick its size, whatever the standard says it is called.

// en13402 is EN 13402-3:2004, women: bust, waist and hip of each size, in cm, by
// the help page bustSizesStandard of the R package Anthropometry, which cites
// UNE/EN 13402-3:2005, and by a drafting handbook's table of women's sizes
// transcribed in public code. A size is called by its bust.
const en13402 = `size;bust (cm);waist (cm);hip (cm)
76;76;60;84
80;80;64;88
84;84;68;92
88;88;72;96
92;92;76;100
96;96;80;104
100;100;84;108
104;104;88;112
110;110;94;117
116;116;100;122
122;122;106;127
128;128;112;132
`

// en13402Classes are the bust classes of the same table, by the same source.
const en13402Classes = `size;bust (cm)
76;74-78
80;78-82
84;82-86
88;86-90
92;90-94
96;94-98
100;98-102
104;102-107
110;107-113
116;113-119
122;119-125
128;125-131
`

// Letter codes of EN 13402-3:2004 for women's busts and men's chests, by a
// research note and a public program, which both name the Wikipedia article "EN
// 13402" and may share that root. Women's L ends at 107; a conversion page that
// has 106 leaves a gap.
const (
	en13402Women = `size;bust (cm)
XXS;66-74
XS;74-82
S;82-90
M;90-98
L;98-107
XL;107-119
XXL;119-131
3XL;131-143
4XL;143-155
5XL;155-167
`
	en13402Men = `size;chest (cm)
XXS;70-78
XS;78-86
S;86-94
M;94-102
L;102-110
XL;110-118
XXL;118-129
3XL;129-141
4XL;141-154
5XL;154-166
`
)

// astmD5585 is Table 1 of ASTM D5585-11e1, in inches, as ASTM's public catalogue
// page shows it. Its hip rows are not in the part that is shown.
const astmD5585 = `size,upper chest (in),bust (in),underbust (in),"waist, curvy (in)","waist, straight (in)"
00,31 3/4,31 1/8,25 3/4,23 7/8,25 3/8
0,32 1/4,31 3/4,26 1/2,24 5/8,26 1/8
2,33 1/4,33,27 1/4,25 3/8,26 7/8
4,34 1/8,34 1/8,28,26 1/8,27 5/8
6,35,35 1/4,29,27,28 1/2
8,35 7/8,36 1/4,30,28,29 1/2
10,36 3/4,37 1/4,31,29,30 1/2
12,38,38 3/4,32 1/2,30 3/4,32 1/4
14,39 1/4,40 3/8,34,32 1/2,34
16,40 5/8,42 1/8,35 3/4,34 1/2,36
18,42 1/4,44,37 5/8,36 3/4,38 1/4
20,43 7/8,46,39 5/8,39,40 1/2
`

// jisL4005 is the women's bust numbers of JIS L 4005: odd numbers, steps of 3 cm
// up to 92 and of 4 from there (a federation's page and a committee member's
// interview; JISC notice of 1996). 7, 9 and 11 are given as 80, 83 and 86; the
// other rows follow from the steps.
const jisL4005 = `号,bust (cm)
3,74
5,77
7,80
9,83
11,86
13,89
15,92
17,96
19,100
21,104
`

// gbt1335 is three women's sizes of GB/T 1335.2-2008 with their letters: S is
// 155/80A, M 160/84A, L 165/88A (height, bust).
const gbt1335 = `size,height (cm),bust (cm)
S,155,80
M,160,84
L,165,88
`

// homeSewing is the misses' table that is widely reprinted in the US, in inches,
// by two hobby pages that name no standard; 22 and 24 stand on one of them.
const homeSewing = `size,bust (in),waist (in),hip (in)
6,30.5,23,32.5
8,31.5,24,33.5
10,32.5,25,34.5
12,34,26.5,36
14,36,28,38
16,38,30,40
18,40,32,42
20,42,34,44
22,44,37,46
24,46,39,48
`

func published(t *testing.T, text string) *Chart {
	t.Helper()
	chart, err := Read(strings.NewReader(text), "published.csv")
	if err != nil {
		t.Fatal(err)
	}
	return chart
}

// A body at every value of a table picks that size: each measurement alone,
// all together, in the table's unit and in the two others.
func TestPublishedValues(t *testing.T) {
	tables := map[string]string{
		"EN 13402-3": en13402, "ASTM D5585-11e1": astmD5585, "JIS L 4005": jisL4005, "GB/T 1335.2": gbt1335, "US home sewing": homeSewing,
	}
	for name, text := range tables {
		chart := published(t, text)
		for _, size := range chart.Sizes {
			for _, unit := range []Unit{"", Centimetre, Millimetre, Inch} {
				var all Body
				for _, measurement := range size.measurements() {
					m := Measure{size.Body[measurement], chart.Unit}.In(unit)
					one := Body{{measurement, m}}
					all = append(all, one...)
					wantExact(t, name, chart, one, size.Label)
				}
				wantExact(t, name, chart, all, size.Label)
			}
		}
	}
}

// wantExact wants a body to have the measurements of a size and of no other,
// whether or not sizes between are taken upwards.
func wantExact(t *testing.T, table string, chart *Chart, b Body, label string) {
	t.Helper()
	for _, between := range []Between{BetweenNearest, BetweenUp} {
		f, err := chart.Fit(b, between)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range f.Measurements {
			if m.Over.Value != 0 || m.Below != label || m.Above != label || len(m.Alike) > 0 {
				t.Errorf("%s, %s: %+v, want size %s", table, b, m, label)
			}
		}
		if !slices.Equal(f.Sizes, []string{label}) {
			t.Errorf("%s, %s: sizes %q, want %s", table, b, f.Sizes, label)
		}
	}
}

// Bodies anywhere inside a class pick its size. On an edge the standard's
// quotations disagree, and rule 2 of Chart.Fit holds: the larger.
func TestPublishedClasses(t *testing.T) {
	for name, text := range map[string]string{
		"EN 13402-3, bust classes": en13402Classes, "EN 13402-3, women's letters": en13402Women, "EN 13402-3, men's letters": en13402Men,
	} {
		chart := published(t, text)
		for i, size := range chart.Sizes {
			measurement := size.measurements()[0]
			class := size.Ranges[measurement]
			for mm := math.Round(class.From * 10); mm < class.To*10; mm++ {
				for _, between := range []Between{BetweenNearest, BetweenUp} {
					wantSize(t, name, chart, Body{{measurement, Measure{mm, Millimetre}}}, between, size.Label)
				}
			}
			top := size.Label
			if i+1 < len(chart.Sizes) {
				top = chart.Sizes[i+1].Label
			}
			wantSize(t, name+", upper edge", chart, Body{{measurement, Measure{class.To, Centimetre}}}, BetweenNearest, top)
		}
	}
}

func wantSize(t *testing.T, table string, chart *Chart, b Body, between Between, label string) {
	t.Helper()
	f, err := chart.Fit(b, between)
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(f.Sizes, []string{label}) {
		t.Errorf("%s, %s: sizes %q, want %s", table, b, f.Sizes, label)
	}
}

// The classes of EN 13402-3 lie around its sizes, their edges half-way: class and
// nearest size say the same, on the edge too, since half-way is the larger. The
// sizes named are computed from the table.
func TestPublishedClassesAroundSizes(t *testing.T) {
	sizes, classes := published(t, en13402), published(t, en13402Classes)
	for mm := 740; mm <= 1310; mm++ {
		b := Body{{"bust", Measure{float64(mm), Millimetre}}}
		f, err := classes.Fit(b, BetweenNearest)
		if err != nil {
			t.Fatal(err)
		}
		wantSize(t, "EN 13402-3", sizes, b, BetweenNearest, f.Sizes[0])
	}
	for bust, label := range map[float64]string{89: "88", 97: "96", 106: "104", 107: "110", 108: "110", 121: "122"} {
		wantSize(t, "EN 13402-3", sizes, Body{{"bust", Measure{bust, Centimetre}}}, BetweenNearest, label)
	}
}

// A letter of EN 13402-3 spans two sizes of its bust classes.
func TestPublishedLettersSpanTwoSizes(t *testing.T) {
	letters := published(t, en13402Women)
	for bust, label := range map[float64]string{
		76: "XS", 80: "XS", 84: "S", 88: "S", 92: "M", 96: "M", 100: "L", 104: "L", 110: "XL", 116: "XL", 122: "XXL", 128: "XXL",
	} {
		wantSize(t, "EN 13402-3, women's letters", letters, Body{{"bust", Measure{bust, Centimetre}}}, BetweenNearest, label)
	}
}

// Half-way between two sizes, computed from the tables: the larger, at 0.5.
func TestPublishedHalfWay(t *testing.T) {
	cases := []struct{ table, name, body, below, above string }{
		{en13402, "EN 13402-3", "bust=107", "104", "110"},
		{en13402, "EN 13402-3", "waist=91", "104", "110"},
		{en13402, "EN 13402-3", "hip=114.5", "104", "110"},
		{astmD5585, "ASTM D5585-11e1", "bust=38", "10", "12"},
		{astmD5585, "ASTM D5585-11e1", "bust=31 7/16", "00", "0"},
		{astmD5585, "ASTM D5585-11e1", "bust=45in", "18", "20"},
		{astmD5585, "ASTM D5585-11e1", "bust=79.8513cm", "00", "0"}, // 31 7/16 in are 79.85125 cm
		{homeSewing, "US home sewing", "bust=37", "14", "16"},
		{homeSewing, "US home sewing", "waist=29", "14", "16"},
		{homeSewing, "US home sewing", "hip=39", "14", "16"},
		{jisL4005, "JIS L 4005", "bust=94", "15", "17"},
	}
	for _, c := range cases {
		f := mustFit(t, published(t, c.table), c.body, BetweenNearest)
		m := f.Measurements[0]
		if m.Below != c.below || m.Above != c.above || m.Size != c.above || math.Abs(m.Position-0.5) > 1e-4 {
			t.Errorf("%s, %s: %+v, want it half-way between %s and %s", c.name, c.body, m, c.below, c.above)
		}
	}
}

// Unequal steps: as far from the smaller size, a body is nearer to it or not.
func TestPublishedUnequalSteps(t *testing.T) {
	chart := published(t, astmD5585)
	cases := []struct {
		bust float64
		size string
		at   float64
	}{
		{31.125 + 0.5, "0", 0.8},    // of a step of 5/8
		{31.75 + 0.5, "0", 0.4},     // of 1 1/4
		{36.25 + 0.5, "10", 0.5},    // of 1
		{37.25 + 0.5, "10", 1. / 3}, // of 1 1/2
		{44 + 0.5, "18", 0.25},      // of 2
	}
	for _, c := range cases {
		m := mustFit(t, chart, fmt.Sprintf("bust=%vin", c.bust), BetweenNearest).Measurements[0]
		if m.Size != c.size || math.Abs(m.Position-c.at) > 1e-9 {
			t.Errorf("ASTM D5585-11e1, bust %v in: size %s at %v, want %s at %v", c.bust, m.Size, m.Position, c.size, c.at)
		}
	}
}

// One body has another size in each chart: sizes go by measurements, never by
// their names. A bust of 34 in is size 12 in the home sewing table and 4 in
// ASTM D5585-11e1; one of 83 cm is number 9 of JIS L 4005 and 84 of EN 13402-3.
func TestPublishedSizesOfOneBody(t *testing.T) {
	for _, c := range []struct{ table, body, size string }{
		{homeSewing, "bust=34in", "12"}, {astmD5585, "bust=34in", "4"}, {jisL4005, "bust=83cm", "9"}, {en13402, "bust=83cm", "84"},
		{en13402Women, "bust=83cm", "S"}, {gbt1335, "bust=83cm", "M"},
	} {
		if f := mustFit(t, published(t, c.table), c.body, BetweenNearest); !slices.Equal(f.Sizes, []string{c.size}) {
			t.Errorf("%s: sizes %q, want %s", c.body, f.Sizes, c.size)
		}
	}
}
