package typeface

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

func regular(t *testing.T) *Face {
	t.Helper()
	f, err := Regular()
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// A subset must still parse, keep the outlines of its characters and lose
// those of others.
func TestSubset(t *testing.T) {
	f := regular(t)
	data, err := f.Subset([]rune("Aé–8"))
	if err != nil {
		t.Fatal(err)
	}
	if len(data) > 30_000 {
		t.Errorf("subset of four characters has %d bytes", len(data))
	}
	if sum := checksum(data); sum != 0xb1b0afba {
		t.Errorf("the file's checksum is %#x, want 0xb1b0afba (OpenType specification, 'head')", sum)
	}
	subset, err := sfnt.Parse(data)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range "Aé–8" {
		if diff := cmp.Diff(outline(t, f.font, r), outline(t, subset, r)); diff != "" {
			t.Errorf("outline of %q (-whole +subset):\n%s", r, diff)
		}
		if len(outline(t, subset, r)) == 0 {
			t.Errorf("%q has no outline", r)
		}
	}
	if got := outline(t, subset, 'B'); len(got) != 0 {
		t.Errorf("%q, not asked for, has an outline of %d segments", 'B', len(got))
	}
	if notice, err := subset.Name(nil, sfnt.NameIDLicense); err != nil || notice == "" {
		t.Errorf("the licence is gone from the name table: %q, %v", notice, err)
	}
}

func outline(t *testing.T, f *sfnt.Font, r rune) sfnt.Segments {
	t.Helper()
	var b sfnt.Buffer
	glyph, err := f.GlyphIndex(&b, r)
	if err != nil {
		t.Fatal(err)
	}
	segments, err := f.LoadGlyph(&b, glyph, fixed.I(2048), nil)
	if err != nil {
		t.Fatal(err)
	}
	return segments
}

func TestSubsetRefuses(t *testing.T) {
	if _, err := regular(t).Subset([]rune("漢")); err == nil {
		t.Error("a character that the face lacks was taken")
	}
}

func TestWidth(t *testing.T) {
	f := regular(t)
	widths := f.Widths()
	for _, text := range []string{"", "Size 24", "5 cm × 5 cm", "6–24"} {
		codes, err := Encode(text)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, c := range codes {
			sum += widths[c]
		}
		if got := f.Width(text); math.Abs(got-sum) > 1e-9 {
			t.Errorf("%q is %.5f wide, its codes %.5f", text, got, sum)
		}
	}
}

// Codes of ISO 32000-1, annex D.2, column WIN.
func TestEncode(t *testing.T) {
	for _, tc := range []struct {
		text string
		want string
		ok   bool
	}{
		{"Az (1)", "Az (1)", true},
		{"½ é ×", "\xbd \xe9 \xd7", true},
		{"–—‘’“”", "\x96\x97\x91\x92\x93\x94", true},
		{"line\nbreak", "", false},
		{"\u00a0", "", false},
		{"\u0096", "", false},
		{"漢", "", false},
	} {
		got, err := Encode(tc.text)
		if (err == nil) != tc.ok || tc.ok && string(got) != tc.want {
			t.Errorf("%q: %q, %v; want %q, ok %v", tc.text, got, err, tc.want, tc.ok)
		}
	}
}
