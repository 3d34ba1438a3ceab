package layers

import (
	"fmt"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestPieces(t *testing.T) {
	big := func(x, y float64, text string) string {
		return fmt.Sprintf("BT /F 20 Tf %g %g Td (%s) Tj ET ", x, y, text)
	}
	for _, c := range []struct {
		name, content string
		want          []Piece
	}{
		{"name above", big(100, 120, "Front") + at(100, 105, "Cut 2 on the fold"), []Piece{{Name: "Front", Cut: "Cut 2 on the fold", Page: 1}}},
		{"in any order", at(100, 105, "CUT 1") + big(100, 120, "Back"), []Piece{{Name: "Back", Cut: "CUT 1", Page: 1}}},
		{"of one type size", at(100, 115, "Sleeve") + at(100, 103, "2 x zuschneiden"), []Piece{{Name: "Sleeve", Cut: "2 x zuschneiden", Page: 1}}},
		{"twice", big(100, 120, "Cuff") + at(100, 105, "Cut 4") + big(300, 120, "Cuff") + at(300, 105, "Cut 4"), []Piece{{Name: "Cuff", Cut: "Cut 4", Page: 1}}},
		{"no name near by", big(100, 400, "Front") + at(100, 105, "Cut 2"), nil},
		{"no cutting", big(100, 120, "Front") + at(100, 105, "Make a trial before you cut good cloth"), nil},
		{"a measure is no name", big(100, 120, "5 cm") + at(100, 105, "Cut 2"), nil},
	} {
		var got []Piece
		got = append(got, inspect(t, squarePage("", c.content)).Pieces...)
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("%s: %s", c.name, d)
		}
	}
}

// The demo writes on its five pieces (internal/demo/artwork/pieces.go).
func TestPiecesOfDemo(t *testing.T) {
	file, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, p := range inspect(t, file).Pieces {
		got = append(got, p.Name)
	}
	if d := cmp.Diff([]string{"1 Front", "2 Back", "3 Front facing", "4 Back facing", "5 Pocket bag"}, got); d != "" {
		t.Error(d)
	}
}
