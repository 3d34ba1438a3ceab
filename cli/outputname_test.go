package cli

import (
	"strings"
	"testing"
)

func TestOutputName(t *testing.T) {
	values := map[string]string{"file": "skirt", "size": "14", "chart": "A/B: \"C\"\x1b"}
	for _, c := range []struct{ name, template, want string }{
		{"default", defaultName, "skirt-14.pdf"},
		{"with its ending", "{size}.pdf", "14.pdf"},
		{"what no file name may hold", "{chart}", "A_B_ _C__.pdf"},
		{"no way out of the folder", "../{size}", "_14.pdf"},
		{"not hidden", ".{size}", "14.pdf"},
		{"twice", "{size}{size}", "1414.pdf"},
		{"long", strings.Repeat("x", 300), strings.Repeat("x", 120) + ".pdf"},
		{"unknown", "{label}", ""},
		{"open", "a{size", ""},
		{"empty", "", ""},
		{"nothing left", "...", ""},
	} {
		if got, err := outputName(c.template, values); got != c.want || (err == nil) != (c.want != "") {
			t.Errorf("%s: %q, %v; want %q", c.name, got, err, c.want)
		}
	}
}

func TestStem(t *testing.T) {
	for name, want := range map[string]string{"a/skirt.pdf": "skirt", "skirt.PDF": "skirt", "skirt": "skirt", "v1.2": "v1.2"} {
		if got := stem(name); got != want {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}
