package layers

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/paint"
)

// styles are the tallies as line styles. What differs only by rounding from one
// that was found before joins it.
func (f *lineFinder) styles() []LineStyle {
	var merged []*lineTally
	members := map[*lineTally][]paint.Style{}
	for _, t := range f.order {
		i := slices.IndexFunc(merged, func(m *lineTally) bool { return sameStyle(m.style, t.style) })
		if i < 0 {
			merged = append(merged, t)
			members[t] = []paint.Style{t.style}
			continue
		}
		merged[i].join(t)
		members[merged[i]] = append(members[merged[i]], t.style)
	}
	slices.SortStableFunc(merged, func(a, b *lineTally) int { return cmp.Compare(a.style.Kind, b.style.Kind) })
	list := make([]LineStyle, len(merged))
	names := map[paint.Colour]string{}
	for i, t := range merged {
		c := t.style.Colour
		if _, known := names[c]; !known {
			names[c] = colourName(c)
		}
		list[i] = t.lineStyle(names[c])
		list[i].members = members[t]
	}
	return list
}

// sameStyle tells whether styles differ only by rounding.
func sameStyle(a, b paint.Style) bool {
	step := func(x, y uint8) bool { return max(x, y)-min(x, y) <= 1 }
	ca, cb := a.Colour, b.Colour
	if a.Kind != b.Kind || a.Cap != b.Cap || ca.Known != cb.Known || !step(a.Opacity, b.Opacity) ||
		!step(ca.R, cb.R) || !step(ca.G, cb.G) || !step(ca.B, cb.B) {
		return false
	}
	da, db := a.Lengths(), b.Lengths()
	if len(da) != len(db) || !rounded(float64(a.Width)/1000, float64(b.Width)/1000) {
		return false
	}
	for i := range da {
		if !rounded(da[i], db[i]) {
			return false
		}
	}
	return true
}

// rounded tells whether lengths in mm differ only by rounding. The thinnest line
// of the device is unlike any other.
func rounded(a, b float64) bool {
	return a == b || a > 0 && b > 0 && math.Abs(a-b) <= max(0.02, 0.02*max(a, b))
}

// join adds what was found of a style that is the same.
func (t *lineTally) join(u *lineTally) {
	if t.marks == 0 {
		t.phase, t.low, t.high = u.phase, u.low, u.high
	}
	t.low, t.high = min(t.low, u.low), max(t.high, u.high)
	t.marks += u.marks
	t.length += u.length
	for _, w := range u.written {
		if len(t.written) < maxWritten && !slices.Contains(t.written, w) {
			t.written = append(t.written, w)
		}
	}
	for _, use := range u.uses {
		i, found := slices.BinarySearchFunc(t.uses, use.Page, func(x LineUse, page int) int { return cmp.Compare(x.Page, page) })
		if !found {
			t.uses = slices.Insert(t.uses, i, use)
			continue
		}
		x := &t.uses[i]
		x.Marks += use.Marks
		x.Bounds = optional.Union(x.Bounds, use.Bounds)
	}
	for ref, length := range u.layers {
		t.layers[ref] += length
	}
	t.rows.join(&u.rows)
}

// lineStyle is the tally for people and programs.
func (t *lineTally) lineStyle(name string) LineStyle {
	kinds := map[paint.Kind]LineKind{paint.Stroke: StrokedLine, paint.Thin: ThinShape, paint.Fill: FilledShape, paint.Text: ShownText}
	s := LineStyle{
		Kind: kinds[t.style.Kind], Colour: hex(t.style.Colour), Name: name, Written: t.written,
		Opacity: float64(t.style.Opacity) / 100, Width: float64(t.style.Width) / 1000, Dash: t.style.Lengths(),
		Phase: math.Round(t.phase*1000) / 1000, PhaseVaries: t.phaseVaries(), Pieces: t.rows.pieces(t.style),
		Marks: t.marks, Length: metres(t.length), Uses: t.uses, Layers: []int{}, LayerLengths: []float64{},
	}
	if s.Dash == nil {
		s.Dash = []float64{}
	}
	if s.Kind == StrokedLine && int(t.style.Cap) < len(capNames) {
		s.Cap = capNames[t.style.Cap]
	}
	for _, ref := range slices.Sorted(maps.Keys(t.layers)) {
		s.Layers = append(s.Layers, int(ref))
		s.LayerLengths = append(s.LayerLengths, metres(t.layers[ref]))
	}
	return s
}

// metres makes metres of points.
func metres(points float64) float64 { return points / paint.UnitsPerMillimetre / 1000 }
