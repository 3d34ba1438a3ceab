package draft

import (
	"math"
	"testing"
)

func TestArc(t *testing.T) {
	for _, tc := range []struct {
		name     string
		from, to float64
	}{
		{"against the clock", -math.Pi / 2, -1},
		{"with the clock", 2, -1},
		{"full circle", 0, 2 * math.Pi},
	} {
		t.Run(tc.name, func(t *testing.T) {
			const radius = 500.0
			centre := Point{30, -20}
			arc := Arc(centre, radius, tc.from, tc.to)
			if got, want := arc.Length(), radius*math.Abs(tc.to-tc.from); math.Abs(got-want) > 1e-3 {
				t.Errorf("length %.5f, want radius times angle, %.5f", got, want)
			}
			for _, p := range arc.Flatten(16) {
				if off := math.Abs(p.Sub(centre).Length() - radius); off > 1e-3 {
					t.Errorf("%v lies %.5f mm off the circle", p, off)
				}
			}
			if d := arc.End().Sub(centre.Add(Polar(radius, tc.to))).Length(); d > 1e-9 {
				t.Errorf("ends %.g mm beside its end angle", d)
			}
		})
	}
}

func TestPathBetween(t *testing.T) {
	path := Path{curves[1].curve, Straight(Point{270, 0}, Point{310, -380})}
	bend := path[0].Length()
	for _, tc := range []struct {
		name     string
		from, to float64
		curves   int
	}{
		{"within the curve", 20, 180, 1},
		{"across the corner", 100, bend + 60, 2},
		{"within the line", bend + 10, bend + 300, 1},
		{"whole", 0, path.Length(), 2},
	} {
		t.Run(tc.name, func(t *testing.T) {
			part := path.Between(tc.from, tc.to)
			if got, want := part.Length(), tc.to-tc.from; math.Abs(got-want) > 1e-3 {
				t.Errorf("length %.4f, want %.4f", got, want)
			}
			start, _ := path.At(tc.from)
			if d := part.Start().Sub(start).Length(); d > 1e-3 {
				t.Errorf("starts %.4f mm beside the path", d)
			}
			if len(part) != tc.curves {
				t.Errorf("%d curves, want %d", len(part), tc.curves)
			}
		})
	}
}

func TestPathReverse(t *testing.T) {
	path := Path{curves[1].curve, Straight(Point{270, 0}, Point{310, -380})}
	there, way := path.At(100)
	back, turned := path.Reverse().At(path.Length() - 100)
	if there.Sub(back).Length() > 1e-3 || way.Add(turned).Length() > 1e-4 {
		t.Errorf("100 mm along: %v towards %v, from the other end: %v towards %v", there, way, back, turned)
	}
}

func TestPathCrossing(t *testing.T) {
	path := Polygon(Point{0, 10}, Point{4, 2}, Point{4, -6})
	for _, tc := range []struct {
		name string
		path Path
	}{{"falling", path}, {"rising", path.Reverse()}} {
		if got := tc.path.Crossing(6); got.Sub(Point{2, 6}).Length() > 1e-6 {
			t.Errorf("%s: crosses height 6 at %v, want {2 6}", tc.name, got)
		}
	}
}

func TestPlacing(t *testing.T) {
	for _, tc := range []struct {
		name  string
		place Placing
		want  Point
	}{
		{"nothing", Placing{}, Point{3, 1}},
		{"step", Placing{Step: Point{10, 20}}, Point{13, 21}},
		{"mirror then step", Placing{Mirror: true, Step: Point{10, 20}}, Point{7, 21}},
	} {
		if got := tc.place.Point(Point{3, 1}); got.Sub(tc.want).Length() > 1e-12 {
			t.Errorf("%s: %v, want %v", tc.name, got, tc.want)
		}
	}
}
