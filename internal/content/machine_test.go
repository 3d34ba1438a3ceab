package content

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func run(in string) *Machine {
	m := NewMachine(Identity(), Rect{0, 0, 1000, 1000})
	var op Operation
	for s := NewScanner([]byte(in)); s.Next(&op); {
		m.Apply(&op)
	}
	return m
}

// ISO 32000-1, Tables 52 and 104.
func TestInitialState(t *testing.T) {
	black := Colour{Space: "DeviceGray", N: 1}
	want := State{
		CTM: Matrix{1, 0, 0, 1, 0, 0}, Clip: Rect{0, 0, 1000, 1000},
		LineWidth: 1, LineCap: 0, LineJoin: 0, MiterLimit: 10, Dash: Dash{},
		Stroke: black, Fill: black, StrokeAlpha: 1, FillAlpha: 1,
		Text: TextState{CharSpacing: 0, WordSpacing: 0, Scale: 1, Leading: 0, Render: 0, Rise: 0},
	}
	if diff := cmp.Diff(want, run("").State); diff != "" {
		t.Errorf("state (-want +got):\n%s", diff)
	}
	if !want.Dash.Solid() {
		t.Error("the initial dash pattern is not solid")
	}
}

// Each case changes what its function says in the initial state, no more.
func TestState(t *testing.T) {
	cases := []struct {
		name, in string
		change   func(s *State)
	}{
		{"cm is operand x CTM, 8.4.4", "2 0 0 2 0 0 cm 1 0 0 1 5 6 cm", func(s *State) { s.CTM = Matrix{2, 0, 0, 2, 10, 12} }},
		{"extra leading operands", "9 9 1 0 0 1 5 6 cm", func(s *State) { s.CTM = Translation(5, 6) }},
		{"cm with an operand missing", "1 0 0 1 5 cm", func(*State) {}},
		{"line parameters", "0 w 1 J 2 j 1.414 M", func(s *State) { s.LineWidth, s.LineCap, s.LineJoin, s.MiterLimit = 0, 1, 2, 1.414 }},
		{"styles there are not", "3 J -1 j", func(*State) {}},
		{"dash, Table 56", "[3 5] 6 d", func(s *State) { s.Dash = Dash{[]float64{3, 5}, 6} }},
		{"dash back to solid", "[3 5] 6 d [] 0 d", func(*State) {}},
		{"intent and flatness are not followed", "/Perceptual ri 2 i", func(*State) {}},
		{"gs is the caller's", "/G1 gs", func(*State) {}},
		{"q Q", "q 5 w 2 0 0 2 0 0 cm 1 0 0 RG 7 TL Q", func(*State) {}},
		{"Q without q", "5 w Q 6 w Q", func(s *State) { s.LineWidth = 6 }},

		{"clip by the path that n ends", "10 20 30 40 re W n", func(s *State) { s.Clip = Rect{10, 20, 40, 60} }},
		{"clip is in force after painting", "10 20 30 40 re W* B", func(s *State) { s.Clip = Rect{10, 20, 40, 60} }},
		{"clips intersect", "10 20 30 40 re W n 0 0 20 1000 re W n", func(s *State) { s.Clip = Rect{10, 20, 20, 60} }},
		{"clips that do not meet", "0 0 1 1 re W n 2 2 1 1 re W n", func(s *State) { s.Clip = EmptyRect() }},
		{"clip by an empty path", "W n", func(*State) {}},
		{"clip by a curve", "0 0 m 0 4 4 4 4 0 c W n", func(s *State) { s.Clip = Rect{0, 0, 4, 3} }},
		{"clip is restored", "q 0 0 1 1 re W n Q", func(*State) {}},
		{"W before the path", "W 0 0 9 9 re n 0 0 1 1 re n", func(s *State) { s.Clip = Rect{0, 0, 9, 9} }},

		{"device colours", ".5 G 1 0 0 rg", func(s *State) {
			s.Stroke = colour(OpStrokeGrey, "DeviceGray", .5)
			s.Fill = colour(OpFillRGB, "DeviceRGB", 1, 0, 0)
		}},
		{"CMYK", ".1 .2 .3 .4 K 0 0 0 1 k", func(s *State) {
			s.Stroke = colour(OpStrokeCMYK, "DeviceCMYK", .1, .2, .3, .4)
			s.Fill = colour(OpFillCMYK, "DeviceCMYK", 0, 0, 0, 1)
		}},
		{"colour with operands missing", "1 0 rg (a) G", func(*State) {}},
		{"cs resets the colour, Table 74", "1 0 0 rg /DeviceCMYK cs", func(s *State) {
			s.Fill = colour(OpFillSpace, "DeviceCMYK", 0, 0, 0, 1)
		}},
		{"named space", "/Spot CS", func(s *State) { s.Stroke = colour(OpStrokeSpace, "Spot") }},
		{"named space and tint", "/Spot CS .3 SCN", func(s *State) { s.Stroke = colour(OpStrokeColourN, "Spot", .3) }},
		{"sc in a device space", "/DeviceRGB cs 1 2 3 sc", func(s *State) { s.Fill = colour(OpFillColour, "DeviceRGB", 1, 2, 3) }},
		{"uncoloured pattern, 8.7.3.3", "/P cs .1 .2 /Dots scn", func(s *State) {
			s.Fill = colour(OpFillColourN, "P", .1, .2)
			s.Fill.Pattern = "Dots"
		}},
		{"SC without operands", "SC", func(*State) {}},

		{"text state outlives ET, 9.3.1", "BT 1 Tc 2 Tw 50 Tz 14 TL /F1 12 Tf 7 Tr -3 Ts ET", func(s *State) {
			s.Text = TextState{CharSpacing: 1, WordSpacing: 2, Scale: .5, Leading: 14, Font: "F1", Size: 12, Render: 7, Rise: -3}
		}},
		{"render mode there is not", "8 Tr", func(*State) {}},
		{"Tf without a size", "/F1 Tf", func(*State) {}},
		{"TD sets the leading, Table 108", "BT 3 -14 TD ET", func(s *State) { s.Text.Leading = 14 }},
		{"\" sets the spacing, Table 109", "BT 2 1 (x) \" ET", func(s *State) { s.Text.WordSpacing, s.Text.CharSpacing = 2, 1 }},
		{"numbers stay finite", strings.Repeat("9e9 0 0 99999999999999999999 0 0 cm ", 3) +
			strings.Repeat("99999999999999999999 0 0 99999999999999999999 0 0 cm ", 9),
			func(s *State) { s.CTM = scaling(matrixLimit, matrixLimit) }},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			want := NewState(Identity(), Rect{0, 0, 1000, 1000})
			c.change(&want)
			if diff := cmp.Diff(want, run(c.in).State); diff != "" {
				t.Errorf("state (-want +got):\n%s", diff)
			}
		})
	}
}

func colour(op Op, space string, values ...float64) Colour {
	c := Colour{Op: op, Space: space, N: len(values)}
	copy(c.Values[:], values)
	return c
}

// The displacement rules of ISO 32000-1, 9.4.2 and 9.4.4.
func TestText(t *testing.T) {
	cases := []struct {
		name, in string
		advance  []float64 // tx, ty after the stream
		tm, tlm  Matrix
	}{
		{"BT resets", "BT 5 5 Td ET BT", nil, Identity(), Identity()},
		{"Td adds up", "BT 5 50 Td 0 -12 Td", nil, Translation(5, 38), Translation(5, 38)},
		{"Tm replaces", "BT 5 50 Td 2 0 0 2 1 1 Tm", nil, Matrix{2, 0, 0, 2, 1, 1}, Matrix{2, 0, 0, 2, 1, 1}},
		{"Td is in the scale of Tm", "BT 2 0 0 2 1 1 Tm 3 4 Td", nil, Matrix{2, 0, 0, 2, 7, 9}, Matrix{2, 0, 0, 2, 7, 9}},
		{"T* moves down by the leading", "BT 14 TL 5 50 Td T*", nil, Translation(5, 36), Translation(5, 36)},
		{"TD and T*", "BT 5 -14 TD T*", nil, Translation(5, -28), Translation(5, -28)},
		{"' moves like T*", "BT 14 TL 5 50 Td (x) '", nil, Translation(5, 36), Translation(5, 36)},
		{"\" moves like T*", "BT 14 TL 5 50 Td 0 0 (x) \"", nil, Translation(5, 36), Translation(5, 36)},
		{"Tj is the caller's", "BT 5 50 Td (x) Tj [(x)] TJ", nil, Translation(5, 50), Translation(5, 50)},
		{"advance moves Tm alone", "BT 5 50 Td", []float64{7, 0}, Translation(12, 50), Translation(5, 50)},
		{"advance is in the scale of Tm", "BT 0 2 -2 0 1 1 Tm", []float64{3, 1}, Matrix{0, 2, -2, 0, -1, 7}, Matrix{0, 2, -2, 0, 1, 1}},
		{"operand missing", "BT 5 50 Td 5 Td 1 0 0 1 Tm", nil, Translation(5, 50), Translation(5, 50)},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			m := run(c.in)
			if c.advance != nil {
				m.Advance(c.advance[0], c.advance[1])
			}
			if m.TextMatrix != c.tm || m.LineMatrix != c.tlm {
				t.Errorf("Tm %v, Tlm %v, want %v, %v", m.TextMatrix, m.LineMatrix, c.tm, c.tlm)
			}
		})
	}
}

func TestInText(t *testing.T) {
	for in, want := range map[string]bool{"": false, "BT": true, "BT q": true, "BT ET": false, "ET": false} {
		if got := run(in).InText; got != want {
			t.Errorf("%q: in text %v, want %v", in, got, want)
		}
	}
}

func TestPendingClip(t *testing.T) {
	for in, want := range map[string]Op{"W": OpClip, "W*": OpClipEvenOdd, "W 0 0 1 1 re": OpClip, "W n": OpUnknown, "W f": OpUnknown} {
		if got := run(in).PendingClip; got != want {
			t.Errorf("%q: pending %v, want %v", in, got, want)
		}
	}
}

// depth is the number of q without their Q.
func depth(m *Machine) int { return len(m.saved) + m.skipped }

// A stream of nothing but q is counted, not stored, and each Q still answers
// its own q.
func TestSaveIsBounded(t *testing.T) {
	m := run(strings.Repeat("q ", maxStates) + "5 w" + strings.Repeat(" q", 500))
	if depth(m) != maxStates+500 || len(m.saved) != maxStates {
		t.Fatalf("depth %d with %d stored, want %d with %d", depth(m), len(m.saved), maxStates+500, maxStates)
	}
	for range 500 {
		m.Restore()
	}
	if m.State.LineWidth != 5 {
		t.Errorf("width %v after the Q beyond the bound, want 5", m.State.LineWidth)
	}
	m.Restore()
	if m.State.LineWidth != 1 || depth(m) != maxStates-1 {
		t.Errorf("width %v at depth %d, want 1 at %d", m.State.LineWidth, depth(m), maxStates-1)
	}
	for m.Restore() {
	}
	if depth(m) != 0 {
		t.Errorf("depth %d at the end, want 0", depth(m))
	}
}

func TestSetters(t *testing.T) {
	m, operators := run(""), run("2 w 1 J 2 j 3 M [4 5] 6 d /F 8 Tf")
	array := []float64{4, 5}
	m.SetLineWidth(2)
	m.SetLineCap(1)
	m.SetLineJoin(2)
	m.SetMiterLimit(3)
	m.SetDash(array, 6)
	m.SetFont("F", 8)
	array[0] = 99 // the machine has its own copy
	if diff := cmp.Diff(operators.State, m.State); diff != "" {
		t.Errorf("setters against operators (-operators +setters):\n%s", diff)
	}
}

func TestDashSolid(t *testing.T) {
	cases := map[string]bool{"[]": true, "[0 0]": true, "[3]": false, "[0 3]": false, "[-1 3]": true}
	for in, want := range cases {
		if got := run(in + " 0 d").State.Dash.Solid(); got != want {
			t.Errorf("%s solid: %v, want %v", in, got, want)
		}
	}
}

func TestStrokeReach(t *testing.T) {
	cases := []struct {
		name, in string
		want     float64
	}{
		{"miter join, limit 10", "2 w", 10},
		{"round join, butt cap", "2 w 1 j", 1},
		{"bevel join, projecting cap", "2 w 2 j 2 J", 1.4142135623730951},
		{"scaled", "2 w 1 j 3 0 0 5 0 0 cm", 5},
		{"no width", "0 w", 0},
	}
	for _, c := range cases {
		m := run(c.in)
		if diff := cmp.Diff(c.want, m.State.StrokeReach(), near); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
	}
}

// Whatever a stream holds, the state stays finite and a Q brings back what its
// q saved.
func FuzzMachine(f *testing.F) {
	for _, c := range scanCases {
		f.Add([]byte(c.in))
	}
	f.Add([]byte("q 1 2 3 4 5 6 cm 0 0 m 1 1 l W n BT 1 0 0 1 2 3 Tm T* ET Q"))
	f.Fuzz(func(t *testing.T, data []byte) {
		m := NewMachine(Identity(), Rect{0, 0, 1000, 1000})
		var op Operation
		for s := NewScanner(data); s.Next(&op); {
			saved, before := depth(m), m.State
			m.Apply(&op)
			if op.Op == OpSave && saved < maxStates {
				m.SetLineWidth(77)
				if !m.Restore() || !cmp.Equal(before, m.State) || depth(m) != saved {
					t.Fatal("Q does not bring back what q saved")
				}
				m.Save()
			}
			if m.State.CTM != m.State.CTM.bounded() || m.TextMatrix != m.TextMatrix.bounded() {
				t.Fatalf("matrices %v and %v", m.State.CTM, m.TextMatrix)
			}
			if e := m.Path.Extent(); math.IsNaN(e.X0+e.Y0+e.X1+e.Y1) && !e.Empty() {
				t.Fatalf("extent %v", e)
			}
		}
	})
}
