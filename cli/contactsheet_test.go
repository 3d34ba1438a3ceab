package cli

import (
	"strings"
	"testing"

	"golang.org/x/image/font"
)

// Names are shown whole where a smaller face lets them, else cut visibly.
func TestFitted(t *testing.T) {
	faces, err := labelFaces()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, text string
		wide       int
		whole      bool
		face       font.Face // nil where any but the largest will do
	}{
		{"short", "Size 14", cellSide, true, faces[0]},
		{"a line with a long dash", "line dark magenta (#8e24aa), dashed 9 1.5 1 1.5 mm, 0.45 mm wide", cellSide, true, nil},
		{"too long for any", strings.Repeat("Größe ", 60), cellSide, false, nil},
		{"no room", "Size 14", 3, false, nil},
		{"nothing", "", cellSide, true, faces[0]},
	} {
		face, text := fitted(faces, c.text, c.wide)
		if (text == c.text) != c.whole || !c.whole && !strings.HasSuffix(text, "…") {
			t.Errorf("%s: %q", c.name, text)
		}
		if c.face != nil && face != c.face || c.face == nil && face == faces[0] {
			t.Errorf("%s: another face", c.name)
		}
		if w := font.MeasureString(face, text).Ceil(); w > c.wide && text != "…" {
			t.Errorf("%s: %d pixels wide, there is room for %d", c.name, w, c.wide)
		}
	}
}
