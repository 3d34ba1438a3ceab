package sizes

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image/color"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/image/colornames"
)

// Names of a colour and what they mean, as "name value, value".
var colourCases = []struct{ name, want, why string }{
	{"blue", "blue #0000ff", "CSS"},
	{"Blau", "blue #0000ff", "German"},
	{"bleu", "blue #0000ff", "French"},
	{"AZUL", "blue #0000ff", "Spanish, upper case"},
	{"blu", "blue #0000ff", "Italian"},
	{"blå", "blue #0000ff", "Swedish"},
	{"sininen", "blue #0000ff", "Finnish"},
	{"niebieski", "blue #0000ff", "Polish"},
	{"modrá", "blue #0000ff", "Czech"},
	{"Синий", "blue #0000ff", "Russian"},
	{"青", "blue #0000ff", "Japanese"},
	{"Weiß", "white #ffffff", "German, a letter that folds"},
	{"lilac", "lilac #c8a2c8", "English"},
	{"green", "green #008000 #00ff00", "what CSS calls green and lime are both called so"},
	{"Gray", "grey #808080", "two spellings"},
	{"fuchsia", "magenta #ff00ff", "two names of one colour"},
	{"dark green", "dark green #006400", "a shade with a name of its own"},
	{"Dark_Green", "dark green #006400", "underscore"},
	{"darkgreen", "dark green #006400", "as CSS writes it"},
	{"dunkelgrün", "dark green #006400", "German, in one word"},
	{"vert foncé", "dark green #006400", "French, the shade behind"},
	{"verde oscuro", "dark green #006400", "Spanish"},
	{"mörkblå", "dark blue #00008b", "Swedish"},
	{"bleu clair", "light blue #add8e6", "French"},
	{"lyseblå", "light blue #add8e6", "Danish"},
	{"tummansininen", "dark blue #00008b", "Finnish"},
	{"dark teal", "dark teal #004040", "a shade with no name of its own: half of it black"},
	{"light red", "light red #ff7f7f", "half of it white"},
	{"royal blue", "royal blue #4169e1", "two words"},
	{"Himmelblau", "sky blue #87ceeb", "German"},
	{"blue copy 2", "blue #0000ff", "a copied layer"},
	{"violet", "violet #8f00ff|purple #800080 #a020f0", "English and French"},
	{"bluish", "", "no row"},
	{"blue line", "", "more than a colour"},
	{"dark", "", "a shade of nothing"},
	{"", "", "nothing"},
	{"red green", "", "two colours"},
	{strings.Repeat("dark ", 2000) + "red", "", "too long"},
}

func TestColour(t *testing.T) {
	for _, c := range colourCases {
		got := strings.Join(each(Colour(c.name), func(c NamedColour) string {
			return c.Name + " " + strings.Join(c.Values, " ")
		}), "|")
		if got != c.want {
			t.Errorf("%.40q is %q, want %q: %s", c.name, got, c.want, c.why)
		}
	}
}

// What a caller does to a colour changes none of the table.
func TestColourIsACopy(t *testing.T) {
	Colour("red")[0].Values[0] = "none"
	Colours()[0].Values[0] = "none"
	if got := Colour("red")[0].Values[0] + Colours()[0].Values[0]; got != "#ff0000#000000" {
		t.Errorf("red and black are %s now", got)
	}
}

// The names of CSS are those of golang.org/x/image/colornames, which has SVG 1.1's and so all of
// CSS Color Module Level 4 but rebeccapurple.
func TestColoursTable(t *testing.T) {
	hex := regexp.MustCompile(`^#[0-9a-f]{6}( #[0-9a-f]{6})*$`)
	english, seen := map[string]bool{}, map[string]bool{}
	for row := range tableRows(coloursTable) {
		if len(row) != 4 {
			t.Fatalf("%q has %d cells, want 4", row, len(row))
		}
		name, means, source := row[0], row[2], row[3]
		if fold(name) != name || name == "" || seen[name+"\t"+means] {
			t.Errorf("%q is not folded, or stands twice", row)
		}
		seen[name+"\t"+means] = true
		for _, language := range strings.Split(row[1], ",") {
			if !slices.Contains(languages, language) {
				t.Errorf("%q: no language is called %q", row, language)
			}
		}
		switch {
		case hex.MatchString(means):
			english[name] = true
			if rgba, ok := colornames.Map[joinedName(name)]; source == "css" && (!ok || hexOf(rgba) != means[:7]) {
				t.Errorf("%q: CSS has %s", row, hexOf(rgba))
			}
		case slices.Contains([]string{"shade light", "shade dark", "shade bright", "joined-shade light", "joined-shade dark"}, means):
		case !english[means]:
			t.Errorf("%q: no colour is called %q before it", row, means)
		}
	}
	if len(english) < 60 {
		t.Errorf("%d colours, want 60 at least", len(english))
	}
	basic := strings.Fields("black grey white red green blue yellow orange brown pink purple") // Berlin and Kay, 1969
	if diff := cmp.Diff(basic, each(Colours(), func(c NamedColour) string { return c.Name })[:len(basic)]); diff != "" {
		t.Errorf("basic colours: %s", diff)
	}
}

func hexOf(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// A chart may name a colour, in YAML and in JSON, and keeps the name when it is written.
func TestLineByColourName(t *testing.T) {
	chart, err := Read(strings.NewReader("sizes: [{label: 8, line: {colour: Dunkelgrün, dash: [6, 2]}}]"), "chart.yaml")
	if err != nil {
		t.Fatal(err)
	}
	want := &Line{Colour: "#006400", Named: "Dunkelgrün", Dash: []float64{6, 2}}
	if diff := cmp.Diff(want, chart.Sizes[0].Line); diff != "" {
		t.Error(diff)
	}
	data, err := json.Marshal(chart)
	if err != nil {
		t.Fatal(err)
	}
	var written bytes.Buffer
	if err := chart.Write(&written); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{string(data), written.String()} {
		again, err := Read(strings.NewReader(text), "chart.yaml")
		if err != nil || cmp.Diff(chart, again) != "" {
			t.Errorf("%s, read again: %v\n%s", text, err, cmp.Diff(chart, again))
		}
	}
	var back Chart
	if err := json.Unmarshal(data, &back); err != nil || cmp.Diff(*chart, back) != "" {
		t.Errorf("from JSON: %v\n%s", err, cmp.Diff(*chart, back))
	}
	chart.Sizes[0].Line.Named = "red"
	if err := chart.Check(); err == nil {
		t.Error("a name of another colour passes Check")
	}
}
