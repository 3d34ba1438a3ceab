package artwork

import (
	"fmt"
	"math"
	"testing"

	"github.com/sizeply/sizeply/internal/demo/draft"
	"github.com/sizeply/sizeply/internal/demo/typeface"
)

// ten sizes whose steps grow, about those of the pattern's chart.
func bodies(n int) []draft.Body {
	var all []draft.Body
	for i := range n {
		girth := 30*float64(i) + 1.9*float64(i*i)
		all = append(all, draft.Body{Label: fmt.Sprint(6 + 2*i), Waist: 600 + girth, Hip: 840 + 0.96*girth})
	}
	return all
}

func skirt(t *testing.T) (*sheet, Drawing) {
	t.Helper()
	d, err := Skirt(bodies(10), ByColourAndDash())
	if err != nil {
		t.Fatal(err)
	}
	s := &sheet{Drawing: d}
	for _, b := range bodies(10) {
		drafted, err := draft.New(b)
		if err != nil {
			t.Fatal(err)
		}
		s.skirts = append(s.skirts, drafted)
	}
	s.pieces = pieces(s.skirts)
	return s, d
}

func TestSkirtLayers(t *testing.T) {
	_, d := skirt(t)
	used := map[string]int{}
	for _, m := range d.Marks {
		used[m.Layer]++
		if text, ok := m.Shape.(Text); ok {
			for _, r := range text.Runs {
				if r.Layer != "" {
					used[r.Layer]++
				}
			}
		}
	}
	delete(used, "")
	for _, l := range d.Layers {
		if used[l.Name] == 0 {
			t.Errorf("layer %q is empty", l.Name)
		}
		delete(used, l.Name)
	}
	for name := range used {
		t.Errorf("layer %q has marks but is not declared", name)
	}
	if want := 10 + 5; len(d.Layers) != want {
		t.Errorf("%d layers, want %d", len(d.Layers), want)
	}
}

func TestSkirtFitsTheSheet(t *testing.T) {
	s, d := skirt(t)
	face, err := typeface.Regular()
	if err != nil {
		t.Fatal(err)
	}
	inside := func(what string, b draft.Box) {
		if b.Min.X < 15 || b.Min.Y < 15 || b.Max.X > d.Width-15 || b.Max.Y > d.Height-15 {
			t.Errorf("%s reaches to %v: less than 15 mm from the edge of the sheet", what, b)
		}
	}
	for _, p := range s.pieces {
		for _, sk := range s.skirts {
			inside(p.name+" in size "+sk.Body.Label, draft.Bounds(p.on(sk).outline))
		}
	}
	for _, m := range d.Marks {
		if text, ok := m.Shape.(Text); ok {
			line, words := textLine(face, text)
			inside(fmt.Sprintf("text %q", words), draft.Bounds(line))
		}
	}
}

func textLine(face *typeface.Face, t Text) (draft.Path, string) {
	all := ""
	for _, r := range t.Runs {
		all += r.Text
	}
	end := t.At.Add(draft.Polar(face.Width(all)*t.Size, t.Turn))
	return draft.Polygon(t.At, end), all
}

// Pieces must not overlap, whichever size is cut.
func TestPiecesLieApart(t *testing.T) {
	s, _ := skirt(t)
	for i, p := range s.pieces {
		for _, q := range s.pieces[i+1:] {
			for _, sk := range []draft.Skirt{s.skirts[0], s.skirts[9]} {
				a, b := p.on(sk).outline.Flatten(32), q.on(s.skirts[9]).outline.Flatten(32)
				for _, point := range a {
					if contains(b, point) {
						t.Fatalf("%s in size %s lies over %s at %v", p.name, sk.Body.Label, q.name, point)
					}
				}
				for _, point := range b {
					if contains(a, point) {
						t.Fatalf("%s lies over %s in size %s at %v", q.name, p.name, sk.Body.Label, point)
					}
				}
			}
		}
	}
}

// Front, back and pocket bag nest: each size lies inside the next one, up to
// the centre line that all share.
func TestSizesNest(t *testing.T) {
	s, _ := skirt(t)
	for _, p := range []piece{s.pieces[0], s.pieces[1], s.pieces[4]} {
		for i := range s.skirts[1:] {
			small, large := p.on(s.skirts[i]).outline, p.on(s.skirts[i+1]).outline
			for _, point := range small.Flatten(32) {
				if !contains(large.Flatten(64), point) && !onCentre(point) {
					t.Fatalf("%s: size %s leaves the next one at %v", p.name, s.skirts[i].Body.Label, point)
				}
			}
		}
	}
}

func onCentre(p draft.Point) bool {
	return math.Abs(p.X-centreFront) < 1e-6 || math.Abs(p.X-centreBack) < 1e-6
}

// A facing is a strip of one depth, so larger ones do not cover smaller ones;
// but its upper and lower edges stay above those of the smaller sizes.
func TestFacingsNest(t *testing.T) {
	s, _ := skirt(t)
	for _, tc := range []struct {
		piece piece
		edges func(draft.Skirt) []draft.Path
	}{
		{s.pieces[2], func(sk draft.Skirt) []draft.Path {
			return []draft.Path{sk.FrontFacing.Upper, sk.FrontFacing.Lower.Reverse()}
		}},
		{s.pieces[3], func(sk draft.Skirt) []draft.Path {
			return []draft.Path{sk.BackFacing.Upper, sk.BackFacing.Lower.Reverse()}
		}},
	} {
		for i := range s.skirts[1:] {
			a, b := s.skirts[i], s.skirts[i+1]
			for k := range 2 {
				small := tc.piece.place(a).Path(tc.edges(a)[k])
				large := tc.piece.place(b).Path(tc.edges(b)[k])
				if gap := leastRise(small, large); gap < 0.2 {
					t.Errorf("%s, edge %d: size %s comes within %.2f mm of the next one", tc.piece.name, k, a.Body.Label, gap)
				}
			}
		}
	}
}

// leastRise gives the least height of the upper path above the lower one,
// over the lower one's width; both run to the right.
func leastRise(lower, upper draft.Path) float64 {
	least := math.Inf(1)
	points := upper.Flatten(400)
	for _, p := range lower.Flatten(50) {
		for j := 1; j < len(points); j++ {
			if points[j-1].X <= p.X && p.X <= points[j].X {
				least = min(least, points[j].Y-p.Y)
				break
			}
		}
	}
	return least
}

// contains reports whether the point lies strictly inside the polygon, by the
// even-odd rule.
func contains(polygon []draft.Point, p draft.Point) bool {
	in := false
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// Each size can be told by its colour alone and by its dash alone.
func TestSizeLinesDiffer(t *testing.T) {
	colours, dashes := map[Colour]bool{}, map[string]bool{}
	for _, l := range sizeLines {
		colours[l.Colour] = true
		dashes[fmt.Sprint(l.Dash)] = true
	}
	if len(colours) != 10 || len(dashes) != 10 {
		t.Errorf("%d colours and %d dashes for 10 sizes", len(colours), len(dashes))
	}
}

// Sides of the squares by definition: 5 cm, and 2 in of 25.4 mm.
func TestTestSquares(t *testing.T) {
	_, d := skirt(t)
	var sides []float64
	for _, m := range d.Marks {
		if r, ok := m.Shape.(Rectangle); ok && m.Layer == "Test squares" {
			sides = append(sides, r.Width, r.Height)
		}
	}
	if fmt.Sprint(sides) != "[50 50 50.8 50.8]" {
		t.Errorf("sides are %v mm, want 50, 50, 50.8, 50.8", sides)
	}
}

func TestSkirtRefuses(t *testing.T) {
	for _, tc := range []struct {
		name   string
		bodies []draft.Body
	}{
		{"no size", nil},
		{"more sizes than lines", bodies(11)},
		{"a body that cannot be drafted", []draft.Body{{Label: "x", Waist: 700, Hip: 700}}},
	} {
		if _, err := Skirt(tc.bodies, ByColourAndDash()); err == nil {
			t.Errorf("%s was drawn", tc.name)
		}
	}
}

// Grainlines serve every size, so each lies within each size of its piece.
func TestGrainlinesLieInEverySize(t *testing.T) {
	s, d := skirt(t)
	for _, sk := range s.skirts {
		lines := 0
		for _, m := range d.Marks {
			stroke, ok := m.Shape.(Stroke)
			if !ok || m.Layer != layerGrainline {
				continue
			}
			piece := s.pieces[lines].on(sk).outline.Flatten(32)
			lines++
			for _, p := range stroke.Paths[0].Flatten(1) {
				if !contains(piece, p) && !onCentre(p) {
					t.Errorf("grainline %d leaves size %s at %v", lines, sk.Body.Label, p)
				}
			}
		}
		if lines != len(s.pieces) {
			t.Fatalf("%d grainlines for %d pieces", lines, len(s.pieces))
		}
	}
}
