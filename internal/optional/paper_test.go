package optional

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Sizes in mm are of ISO 216, those in inches of ANSI/ASME Y14.1; rounded
// points as the media definitions of print systems have them (CUPS). Rolls are
// common practice, no source.
func TestPaper(t *testing.T) {
	for _, c := range []struct {
		name string
		w, h float64 // points
		is   string
		fits string
	}{
		{"A4, exact", 595.276, 841.890, "A4", "A4, Legal, ARCH A"},
		{"A4, rounded", 595, 842, "A4", "A4, Legal, ARCH A"},
		{"A4, across", 842, 595, "A4", "A4, Legal, ARCH A"},
		{"Letter", 612, 792, "Letter (ANSI A)", "A3, Letter (ANSI A), ARCH A, 24 in roll"},
		{"a tile that both hold", 540, 720, "", "A4, Letter (ANSI A), ARCH A"},
		{"A0", 2384, 3370, "A0", "A0, ARCH E, A0 roll"},
		{"ARCH E", 2592, 3456, "ARCH E", "ARCH E, 36 in roll"},
		{"ARCH E1", 2160, 3024, "ARCH E1", "A0, ANSI E, ARCH E1, 30 in roll"},
		{"a 36 in roll, which 914 mm would refuse", 2592, 9000, "", "36 in roll"},
		{"the demo, 900 by 1170 mm", 2551.181, 3316.535, "", "ARCH E, 36 in roll"},
		{"wider than any roll", 3300, 9000, "", ""},
		{"Legal", 612, 1008, "Legal", "A3, Legal, ARCH B, 24 in roll"},
		{"A6", 298, 420, "A6", "A6, Letter (ANSI A), ARCH A"},
	} {
		p := Page{Width: c.w, Height: c.h}
		is, _ := p.Paper()
		if is.Name != c.is {
			t.Errorf("%s: is %q, want %q", c.name, is.Name, c.is)
		}
		var fits []string
		for _, s := range p.Fits() {
			fits = append(fits, s.Name)
		}
		if d := cmp.Diff(c.fits, strings.Join(fits, ", ")); d != "" {
			t.Errorf("%s: %s", c.name, d)
		}
	}
}

// Each series grows, so that the first sheet that fits is the smallest; of a
// sheet the width is the shorter side.
func TestPapersGrow(t *testing.T) {
	for _, series := range papers {
		for i, s := range series {
			if s.Height != 0 && s.Height < s.Width || i > 0 && s.Width < series[i-1].Width {
				t.Errorf("%+v", s)
			}
		}
	}
}
