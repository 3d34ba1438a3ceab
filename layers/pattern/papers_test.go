package pattern_test

import (
	"errors"
	"fmt"
	"slices"
	"testing"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
)

// pagesOf are pages of these sizes, in mm.
func pagesOf(sizes ...[2]float64) (list []layers.Page) {
	for i, s := range sizes {
		list = append(list, layers.Page{Number: i + 1, Width: s[0] / 25.4 * 72, Height: s[1] / 25.4 * 72})
	}
	return list
}

// mixed is an all-in-one file: a cover and two tiles on A4, one across; the same on
// Letter; a sheet of A0; one for a roll; a trimmed tile that fits A4 and Letter.
func mixed() []layers.Page {
	return pagesOf([2]float64{210, 297}, [2]float64{297, 210}, [2]float64{215.9, 279.4}, [2]float64{841, 1189}, [2]float64{841, 1500},
		[2]float64{200, 270}, [2]float64{900, 1170})
}

// TestPagesOn: the names of papers as people write them, and the pages that they mean.
func TestPagesOn(t *testing.T) {
	for _, tt := range []struct {
		paper string
		want  string // "" where there are none
	}{
		{"a4", "[1 2 6]"},
		{"A4", "[1 2 6]"},
		{" DIN A4 ", "[1 2 6]"},
		{"letter", "[3 6]"},
		{"US Letter", "[3 6]"},
		{"ANSI A", "[3 6]"},
		{"us-letter", "[3 6]"},
		{"a0", "[4]"},
		{"A0 roll", "[5]"},
		{"36 in roll", "[7]"},
		{"36in", "[7]"},
		{`36" roll`, "[7]"},
		{"36 inch", "[7]"},
		{"36 inches roll", "[7]"},
		{"ARCH E", "[7]"},
		{"A3", ""},
		{"a", ""},
		{"", ""},
		{"paper", ""},
		{"legal", ""},
	} {
		got, err := pattern.PagesOn(tt.paper, mixed())
		var none *pattern.NoPaperError
		switch {
		case tt.want == "" && !errors.As(err, &none):
			t.Errorf("%q: got %v, %v", tt.paper, got, err)
		case tt.want != "" && fmt.Sprint(got) != tt.want:
			t.Errorf("%q: got %v, %v, want %s", tt.paper, got, err, tt.want)
		}
	}
	if got, err := pattern.PagesOn("a0", pagesOf([2]float64{841, 1500}, [2]float64{210, 297})); fmt.Sprint(got) != "[1]" {
		t.Errorf("a long sheet for a roll of A0's width: got %v, %v", got, err)
	}
}

// TestReadPages: lists of page numbers.
func TestReadPages(t *testing.T) {
	for list, want := range map[string]string{
		"3": "[3]", "1,3-5": "[1 3 4 5]", " 2 , 4 - 5 ": "[2 4 5]", "5,1": "[5 1]", "1-20": "",
		"0": "", "": "", "3-2": "", "x": "", "1,": "", "-3": "", "21": "", "1-": "", "99999999999999999999": "",
	} {
		got, err := pattern.ReadPages(list, 5)
		var wrong *pattern.PageListError
		if want == "" && !errors.As(err, &wrong) || want != "" && fmt.Sprint(got) != want {
			t.Errorf("%q: got %v, %v, want %q", list, got, err, want)
		}
	}
}

// TestPapers: every page is on one paper, and they are those of the file.
func TestPapers(t *testing.T) {
	var all []int
	var text []string
	for _, p := range pattern.Papers(mixed()) {
		all, text = append(all, p.Pages...), append(text, p.String())
	}
	slices.Sort(all)
	if fmt.Sprint(all) != "[1 2 3 4 5 6 7]" {
		t.Errorf("the pages are %v", all)
	}
	want := "[pages 1-2: A4 page 3: Letter (ANSI A) page 4: A0 page 5: 84.1 x 150.0 cm page 6: 20.0 x 27.0 cm page 7: 90.0 x 117.0 cm]"
	if got := fmt.Sprint(text); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
