package report

import (
	"image"
	"regexp"
	"strings"
	"testing"
)

func sample() *Report {
	img := image.NewGray(image.Rect(0, 0, 30, 20))
	return &Report{
		Garment: "Tollmere <b>skirt</b>", File: "skirt.pdf", Isolated: true, Unit: "cm", Measures: []string{"bust", "waist"},
		Sizes: []Size{
			{Label: "12", Role: "one below", Body: []string{"88", "70"}, Lines: []string{"Size 12"}},
			{Label: "14", Role: "your size", Yours: true, Body: []string{"92", "74"}, Lines: []string{"Size 14"}},
			{Label: `16"><script>`, Body: []string{"97", "–"}},
		},
		Pages:   []Page{{Number: 1, Centimetres: "21.0 × 29.7 cm", Inches: "8.27 × 11.69 in", Paper: "A4", Empty: true, Before: img, After: img}},
		More:    3,
		Pieces:  []Piece{{"1 Front", "Cut 1 on the fold", 1}},
		Squares: []Square{{Page: 1, Label: "5 cm", Side: "50.00 mm", True: true}, {Page: 2, Side: "48.50 mm"}},
		Lines: []Line{
			{Name: "Size 14", Is: "size 14", Group: Chosen, Holds: "2 paths", Extent: "8 × 9 cm", Pages: "1", Picture: img},
			{Name: "Text", Is: "every size", Group: Every, Holds: "4 texts"},
			{Name: `"onload="x`, Group: Unknown},
		},
		Findings: []string{"javascript:alert(1)"},
	}
}

func written(t *testing.T, r *Report) string {
	t.Helper()
	var b strings.Builder
	if err := Write(&b, r); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

var (
	reference = regexp.MustCompile(`(?i)(?:src|href|action|srcset|data|poster)="([^"]*)"`)
	picturesR = regexp.MustCompile(`<img [^>]*>`)
	idsR      = regexp.MustCompile(` id="([^"]*)"`)
	labelsR   = regexp.MustCompile(`aria-labelledby="([^"]*)"`)
)

// TestAlone: the page refers to nothing outside it and runs nothing, whatever
// names a file has.
func TestAlone(t *testing.T) {
	page := written(t, sample())
	for _, m := range reference.FindAllStringSubmatch(page, -1) {
		if !strings.HasPrefix(m[1], "data:") {
			t.Errorf("the page refers to %q", m[1])
		}
	}
	for _, bad := range []string{"<script", "<b>skirt", "url(", "@import", `"onload=`, "http:", "https:"} {
		if strings.Contains(page, bad) {
			t.Errorf("the page holds %q", bad)
		}
	}
	if !strings.Contains(page, `content="default-src 'none'; img-src data:; style-src 'unsafe-inline'"`) {
		t.Error("the page does not tell the browser that it stands alone")
	}
}

// TestReadAloud: every picture says what it is, every label is there, ids are
// unique.
func TestReadAloud(t *testing.T) {
	page := written(t, sample())
	pictures := picturesR.FindAllString(page, -1)
	if len(pictures) != 3 {
		t.Errorf("%d pictures, want 3", len(pictures))
	}
	for _, p := range pictures {
		if !strings.Contains(p, `alt="`) || strings.Contains(p, `alt=""`) || !strings.Contains(p, `width="30" height="20"`) {
			t.Errorf("%.80s… lacks a text or its size", p[strings.LastIndex(p, `"`)-40:])
		}
	}
	ids := map[string]bool{}
	for _, m := range idsR.FindAllStringSubmatch(page, -1) {
		if ids[m[1]] {
			t.Errorf("two things are called %q", m[1])
		}
		ids[m[1]] = true
	}
	for _, m := range labelsR.FindAllStringSubmatch(page, -1) {
		if !ids[m[1]] {
			t.Errorf("there is nothing called %q", m[1])
		}
	}
}

func TestTells(t *testing.T) {
	page := written(t, sample())
	for _, want := range []string{
		`<span>Size <b>14</b></span>`, `12, one below`, `not in this file`, `<td>92</td><td>74</td><td>your size</td>`,
		"<b>1 Front</b> Cut 1 on the fold", "21.0 × 29.7 cm (8.27 × 11.69 in), A4", "print it only if it lies inside of a piece", "3 more pages are not pictured", "Print at <b>100 %</b>",
		"“5 cm” measures <b>50.00 mm</b>", "not what it says", "javascript:alert(1)", "Not in the size chart", "no picture",
	} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if bare := written(t, &Report{Garment: "x"}); strings.Contains(bare, "Body measures") || strings.Contains(bare, "Mind this") || !strings.Contains(bare, "none was found") {
		t.Error("a page of nothing tells of more")
	}
}
