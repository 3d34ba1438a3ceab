package testpdf

import "testing"

func TestUnfit(t *testing.T) {
	cases := []struct {
		name, renderer string
		features       []string
		want           int
	}{
		{"nothing special", NamePDFium, []string{FeatureText}, 0},
		{"a gap", NamePDFium, []string{FeatureText, FeaturePatternOC}, 1},
		{"a gap in originals alone", NamePDFium, []string{FeatureAnnotationOC}, 0},
		{"a gap of another renderer", NamePDFium, []string{FeatureTextClip}, 0},
		{"two gaps", NamePoppler, []string{FeatureTextClip, FeatureUnderflow}, 2},
	}
	for _, c := range cases {
		got := Unfit(c.renderer, c.features)
		if len(got) != c.want {
			t.Errorf("%s: %v, want %d gaps", c.name, got, c.want)
		}
		for _, g := range got {
			if g.Reason == "" {
				t.Errorf("%s: %s has no reason", c.name, g.Feature)
			}
		}
	}
}
