package cli

import (
	"strings"
	"testing"
)

// TestOutputName: a name is one that every usual system takes, and stays in its
// folder.
func TestOutputName(t *testing.T) {
	values := map[string]string{"file": "skirt", "size": "14", "chart": "A/B: \"C\"\x1b"}
	for _, c := range []struct{ name, template, want string }{
		{"default", defaultName, "skirt-14.pdf"},
		{"with its ending", "{size}.pdf", "14.pdf"},
		{"what no file name may hold", "{chart}", "A_B_ _C__.pdf"},
		{"no way out of the folder", "../{size}", "_14.pdf"},
		{"not hidden", ".{size}", "14.pdf"},
		{"twice", "{size}{size}", "1414.pdf"},
		{"as long as may be", strings.Repeat("x", 251), strings.Repeat("x", 251) + ".pdf"},
		{"long", strings.Repeat("x", 300), strings.Repeat("x", 251) + ".pdf"},
		{"long, cut between characters", "x" + strings.Repeat("ß", 300), "x" + strings.Repeat("ß", 125) + ".pdf"},
		{"long, cut behind a point", strings.Repeat("x", 250) + ".x", strings.Repeat("x", 250) + ".pdf"},
		{"not shown", "a\u202eb\u0085c\u200bd\ne", "a_b_c_d_e.pdf"},
		{"HTML", "<b>{size}</b>", "_b_14__b_.pdf"},
		{"end that Windows takes off", "{size} . .", "14.pdf"},
		{"device", "NUL", "_NUL.pdf"},
		{"device by number", "com1", "_com1.pdf"},
		{"device by a raised number", "LPT²", "_LPT².pdf"},
		{"device with an ending", "aux.{size}", "_aux.14.pdf"},
		{"device with a space and an ending", "con .{size}", "_con .14.pdf"},
		{"device for typing", "CONIN$", "_CONIN$.pdf"},
		{"no device", "CONE", "CONE.pdf"},
		{"no device by number", "COM10", "COM10.pdf"},
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
