package pattern_test

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// inked is a file whose sizes are nested outlines in some colours ("#rrggbb"), smallest
// first, without layers.
func inked(colours ...string) []byte {
	var b strings.Builder
	for i, c := range colours {
		var r, g, bl int
		fmt.Sscanf(c, "#%02x%02x%02x", &r, &g, &bl)
		fmt.Fprintf(&b, "%.4f %.4f %.4f RG %s\n", float64(r)/255, float64(g)/255, float64(bl)/255, nested(i))
	}
	return testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{Entries: "/MediaBox [0 0 600 800]", Content: b.String()}}})
}

// colourCase wants sizes by colour of a file whose sizes have colours.
type colourCase struct {
	colours []string
	want    string
	kept    []string // the colours of the lines
	fits    []string // of an error
	none    bool     // an error that no line fits
}

// Sizes that are wanted by colour, without a chart: which lines are kept, which may be
// meant, or that there is none.
func TestWantedByColour(t *testing.T) {
	basic := []string{"#ff0000", "#008000", "#0000ff", "#800080", "#000000"}
	blues := []string{"#99ccff", "#0000ff", "#ff0000"}
	for _, c := range []colourCase{
		{basic, "blue", []string{"#0000ff"}, nil, false},
		{basic, "blue,green,purple", []string{"#008000", "#0000ff", "#800080"}, nil, false},
		{basic, "Blau", []string{"#0000ff"}, nil, false},
		{basic, "rouge", []string{"#ff0000"}, nil, false},
		{basic, "black", []string{"#000000"}, nil, false},
		{basic, "#0000ff", []string{"#0000ff"}, nil, false},
		{basic, "yellow", nil, nil, true},
		{[]string{"#c1121f", "#0b5fa5", "#1e7d32"}, "red", []string{"#c1121f"}, nil, false},
		{[]string{"#c1121f", "#0b5fa5", "#1e7d32"}, "blue", []string{"#0b5fa5"}, nil, false},
		{[]string{"#c1121f", "#0b5fa5", "#1e7d32"}, "green", []string{"#1e7d32"}, nil, false},
		{blues, "blue", nil, []string{"#99ccff", "#0000ff"}, false},
		{blues, "light blue", []string{"#99ccff"}, nil, false},
		{blues, "hellblau", []string{"#99ccff"}, nil, false},
		{blues, "#0000ff", []string{"#0000ff"}, nil, false},
		{[]string{"#dc143c", "#8b0000", "#0000ff"}, "red", nil, []string{"#dc143c", "#8b0000"}, false},
	} {
		t.Run(c.want+" of "+strings.Join(c.colours, " "), func(t *testing.T) {
			doc, err := layers.Open(t.Context(), bytes.NewReader(inked(c.colours...)), nil)
			if err != nil {
				t.Fatal(err)
			}
			choice, err := pattern.New(doc, nil).Choose(t.Context(), of(c.want))
			if e := (*pattern.ColourError)(nil); errors.As(err, &e) {
				c.refused(t, e)
				return
			}
			if err != nil || c.kept == nil {
				t.Fatalf("no error: %v", err)
			}
			var kept []string
			for _, z := range choice.Sizes(nil) {
				for _, l := range z.Lines {
					kept = append(kept, l.Colour)
				}
			}
			if diff := cmp.Diff(c.kept, kept); diff != "" || choice.Why != pattern.ByColours {
				t.Errorf("%s (-want +got):\n%s", choice.Why, diff)
			}
			if n := len(choice.Selection().Lines); n != len(c.colours)-len(c.kept) {
				t.Errorf("%d lines are removed", n)
			}
		})
	}
}

// refused wants the lines that an error names.
func (c colourCase) refused(t *testing.T, e *pattern.ColourError) {
	t.Helper()
	if len(e.Fits) != len(c.fits) || len(e.Have) != len(c.colours) || (len(c.fits) == 0) != c.none {
		t.Fatalf("%+v: %v", e, e)
	}
	for i, hex := range c.fits {
		if !strings.Contains(e.Fits[i], hex) || !strings.Contains(e.Error(), hex) {
			t.Errorf("%v does not name %s", e, hex)
		}
	}
}

// Neighbours of a colour are told by the outlines, and not where these do not tell.
func TestNeighboursOfAColour(t *testing.T) {
	file := inked("#ff0000", "#008000", "#0000ff", "#800080")
	want := pattern.Want{Sizes: sizes.Want{Labels: []string{"green"}, Below: 1, Above: 1}}
	got, err := pattern.Isolate(t.Context(), bytes.NewReader(file), nil, want, nil)
	if err != nil {
		t.Fatal(err)
	}
	var kept []string
	for _, z := range got.Choice.Pick.Sizes {
		kept = append(kept, z.Label)
	}
	if !slices.Equal(kept, []string{"red", "green", "blue"}) {
		t.Error(kept)
	}
	var b strings.Builder
	for i, c := range nestColours {
		b.WriteString(c.ink + " " + apart(i) + "\n")
	}
	file = testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{Entries: "/MediaBox [0 0 600 800]", Content: b.String()}}})
	if _, err := pattern.Isolate(t.Context(), bytes.NewReader(file), nil, want, nil); !errors.Is(err, layers.ErrBadRequest) {
		t.Errorf("laid apart: %v", err)
	}
	if _, err := pattern.Isolate(t.Context(), bytes.NewReader(file), nil, of("green"), nil); err != nil {
		t.Errorf("laid apart, alone: %v", err)
	}
}
