package pattern_test

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// texted writes a text of the colour that is set for lines.
func texted(text, fill string, x, y int) string {
	return fmt.Sprintf("BT %s /F 12 Tf %d %d Td (%s) Tj ET\n", fill, x, y, text)
}

// A habit is a way in which designers use black for a size and for something else: a
// page of nests of four colours, of which black is the largest, and what is drawn
// besides.
type habit struct {
	name    string
	width   string // of the lines of sizes
	besides string
	specs   string   // of black, as drafted
	doubts  []string // words of the doubts besides that the lines are guessed and have no names
	codes   []string // of the warnings of isolating another size by the draft
}

const (
	frames     = "0 G .3 w 5 5 590 790 re S\n"
	thick      = "0 G 2 w 5 5 590 790 re S 450 600 72 72 re S\n"
	grainline  = "0 G .3 w 100 60 m 100 200 l S 150 60 m 150 200 l S\n"
	pieceNames = "Front"
)

func labels() string {
	return texted("Red", "1 0 0 rg", 60, 60) + texted("Green", "0 .5 0 rg", 60, 80) + texted("Blue", "0 0 1 rg", 60, 100) +
		texted("Black", "0 0 0 rg", 60, 120)
}

var habits = []habit{
	{name: "black is a size alone", width: "2 w"},
	{name: "frames are thinner", width: "2 w", besides: frames + grainline, specs: "width"},
	{name: "frames and squares are drawn as the size", width: "2 w", besides: thick,
		doubts: []string{"draws 2 lines"}, codes: []string{"lines-removed", "squares-removed"}},
	{name: "grainlines are drawn as the size", width: ".3 w", besides: grainline, doubts: []string{"draws 2 lines"}},
	{name: "fold lines are dashed", width: "2 w", besides: "0 G 2 w [6 3] 0 d 100 60 m 100 200 l S\n", specs: "dash"},
	{name: "each size is labelled in its colour", width: "2 w", besides: labels(), specs: "text"},
	{name: "and so are pieces in black", width: "2 w", besides: labels() + strings.Repeat(texted(pieceNames, "0 g", 90, 150), 5),
		doubts: []string{"Texts have the colour"}},
	{name: "pieces in black alone", width: "2 w", besides: texted(pieceNames, "0 g", 90, 150), doubts: []string{"Texts have the colour"}},
}

func (h habit) file() []byte {
	var b strings.Builder
	for i, c := range nestColours {
		fmt.Fprintf(&b, "%s %s %s\n", h.width, c.ink, nested(i))
	}
	return testpdf.Build(testpdf.Doc{Pages: []testpdf.Page{{
		Entries: "/MediaBox [0 0 600 800]", Content: b.String() + h.besides, Resources: "<</Font <</F 29 0 R>>>>",
	}}})
}

// What is drafted of black, what the draft says before, and what isolating says after.
func TestBlackAsASize(t *testing.T) {
	for _, h := range habits {
		t.Run(h.name, func(t *testing.T) {
			drafted := pattern.Draft()
			pattern.AddLines(drafted, found(t, h.file()))
			if len(drafted.Chart.Sizes) != 4 {
				t.Fatalf("%d sizes", len(drafted.Chart.Sizes))
			}
			black := drafted.Chart.Sizes[3].Line
			var specs []string
			for word, is := range map[string]bool{"width": black.Width > 0, "dash": black.Dash != nil, "text": black.Text} {
				if is {
					specs = append(specs, word)
				}
			}
			if got := strings.Join(specs, " "); black.Colour != "#000000" || got != h.specs {
				t.Errorf("black is %+v: %q, want %q", black, got, h.specs)
			}
			h.doubted(t, drafted)
			h.warned(t, drafted.Chart)
		})
	}
}

// doubted wants the doubts of a habit.
func (h habit) doubted(t *testing.T, drafted *sizes.Drafted) {
	t.Helper()
	var got []string
	for _, d := range drafted.Doubts[2:] { // what the lines are called, guessed
		got = append(got, d.Reason)
	}
	if len(got) != len(h.doubts) {
		t.Fatalf("%d doubts, want %d:\n%s", len(got), len(h.doubts), strings.Join(got, "\n"))
	}
	for i, words := range h.doubts {
		if !strings.Contains(got[i], words) || !strings.Contains(got[i], fmt.Sprintf("%q", drafted.Chart.Sizes[3].Label)) {
			t.Errorf("%q does not say %q", got[i], words)
		}
	}
}

// warned wants the warnings where red is isolated by a drafted chart.
func (h habit) warned(t *testing.T, chart *sizes.Chart) {
	t.Helper()
	got, err := pattern.Isolate(t.Context(), bytes.NewReader(h.file()), chart, of(chart.Sizes[0].Label), nil)
	if err != nil {
		t.Fatal(err)
	}
	var codes []string
	for _, w := range append(got.Choice.AllWarnings(got.Report), got.Report.Warnings...) {
		codes = append(codes, string(w.Code))
	}
	if diff := cmp.Diff(h.codes, codes); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// found are the line styles of a file.
func found(t *testing.T, file []byte) []layers.LineStyle {
	t.Helper()
	doc, err := layers.Open(t.Context(), bytes.NewReader(file), nil)
	if err != nil {
		t.Fatal(err)
	}
	lines, err := doc.Lines(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return lines.Styles
}

// Texts of the colour of a size go where the chart says so: with a warning where they
// name no size, and not at all where nothing else is written on the page.
func TestTextsOfASize(t *testing.T) {
	for _, c := range []struct {
		name, besides string
		forced        bool
		about         []string // of the warning
		refused       []string
	}{
		{"labels alone", labels(), false, nil, nil},
		{"labels, one size's alone on the page", texted("Size Black", "0 g", 60, 60), false, nil, nil},
		{"names of pieces beside labels", labels() + texted("Front", "0 g", 60, 160), false, []string{"Black", "Front"}, nil},
		{"names of pieces alone", texted("Front", "0 g", 60, 60) + texted("Back", "0 g", 60, 80), false, nil, []string{"Front", "Back"}},
		{"forced", texted("Front", "0 g", 60, 60) + texted("Back", "0 g", 60, 80), true, []string{"Black", "Front", "Back"}, nil},
		{"each size writes as much", strings.ReplaceAll(labels(), ")", " cm)"), false, nil, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			chart := chartOf(0, 1, 2, 3)
			for i := range chart.Sizes {
				chart.Sizes[i].Line.Text = true
			}
			want := of("Red")
			want.ForceTexts = c.forced
			got, err := pattern.Isolate(t.Context(), bytes.NewReader(habit{width: "1 w", besides: c.besides}.file()), chart, want, nil)
			if all := (*pattern.AllTextsError)(nil); errors.As(err, &all) {
				if diff := cmp.Diff(c.refused, all.Texts); diff != "" || all.Page != 1 || all.Size != "Black" {
					t.Errorf("%+v:\n%s", all, diff)
				}
				return
			}
			if err != nil || c.refused != nil {
				t.Fatalf("refused: %v", err)
			}
			var about []string
			for _, w := range got.Choice.Warnings {
				about = append(about, w.About...)
				if w.Code != pattern.TextsRemoved {
					t.Error(w)
				}
			}
			if diff := cmp.Diff(c.about, about); diff != "" {
				t.Errorf("(-want +got):\n%s", diff)
			}
		})
	}
}
