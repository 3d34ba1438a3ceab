package sizes_test

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"github.com/sizeply/sizeply/sizes"
)

const tollmere = `
name: Tollmere skirt
unit: cm
sizes:
  - {label: "10", body: {waist: 66, hip: 90}}
  - {label: "12", body: {waist: 70, hip: 94}}
  - {label: "14", body: {waist: 74, hip: 98}}
  - {label: "16", body: {waist: 79, hip: 103}}
keep: ["Text*", "Grainline"]
drop: ["Background"]
`

func tollmereChart() *sizes.Chart {
	chart, err := sizes.Read(strings.NewReader(tollmere), "tollmere.yaml")
	if err != nil {
		panic(err)
	}
	return chart
}

// From a chart and the layer names of a file to the positions that stay.
func Example() {
	names := []string{"Size 10", "Size 12", "Size 14", "Size 16", "Text", "Grainline", "Background", "Doodle"}

	chart, err := sizes.Read(strings.NewReader(tollmere), "tollmere.yaml")
	if err != nil {
		fmt.Println(err)
		return
	}
	pick, err := chart.Match(names).Pick(sizes.Want{Labels: []string{"12"}, Below: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, size := range pick.Sizes {
		fmt.Println("size", size.Label, size.Role, size.Positions)
	}
	fmt.Println("stay", pick.Positions())
	fmt.Println("go", pick.Dropped())
	fmt.Println("not known", pick.Unknown())
	// Output:
	// size 10 below [0]
	// size 12 wanted [1]
	// stay [0 1 4 5]
	// go [2 3 6]
	// not known [7]
}

// Where a body stands in a chart, and which sizes to print for it.
func ExampleChart_Fit() {
	body, err := sizes.ParseBody("waist=29in, hip=102.5cm")
	if err != nil {
		fmt.Println(err)
		return
	}
	fit, err := tollmereChart().Fit(body, sizes.BetweenNearest)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range fit.Measurements {
		fmt.Println(m.Name, m.Body, "is", m)
	}
	fmt.Println(fit.Grade)
	// Output:
	// waist 29 in is between 12 and 14, nearer 14: 1/8 in less than size 14 (29 1/8 in)
	// hip 102.5 cm is between 14 and 16, nearer 16: 0.5 cm less than size 16 (103 cm)
	// waist 14, hip 16: grade from 14 at the waist to 16 at the hip
}

func ExampleChart_Write() {
	chart := &sizes.Chart{Name: "Tollmere skirt", Unit: sizes.Centimetre, Sizes: []sizes.Size{
		{Label: "08", Layers: []string{"Size 8"}, Body: map[string]float64{"waist": 62.5, "hip": 88}},
		{Label: "10", Ranges: map[string]sizes.Range{"hip": {From: 90, To: 93}}},
	}}
	if err := chart.Write(os.Stdout); err != nil {
		fmt.Println(err)
	}
	// Output:
	// name: "Tollmere skirt"
	// unit: cm
	// sizes:
	//   - label: "08"
	//     layers: ["Size 8"]
	//     body: {waist: 62.5, hip: 88}
	//   - label: "10"
	//     body: {hip: 90-93}
}

func ExampleRead_error() {
	_, err := sizes.Read(strings.NewReader("unit: cm\nsizes:\n  - lable: 8\n"), "tollmere.yaml")
	fmt.Println(err)
	var place *sizes.ChartError
	if errors.As(err, &place) {
		fmt.Println("line", place.Line, "column", place.Column)
	}
	// Output:
	// tollmere.yaml:3:5: a size has nothing called "lable"; did you mean "label"?
	//     - lable: 8
	//       ^
	// line 3 column 5
}

func ExampleChart_Match() {
	names := []string{"Gr. 14", "sz12_front", "10-14", "Background", "Text (notes)", "Page 12", "Needle size 12"}
	for _, answer := range tollmereChart().Match(names).Answers {
		fmt.Printf("%s: %s %s; %s\n", answer.Name, answer.Kind, answer.Sizes, answer.Reason)
	}
	// Output:
	// Gr. 14: size [14]; says "gr. 14": size "14"
	// sz12_front: size [12]; says "sz12": size "12"
	// 10-14: size [10 12 14]; says "10 - 14": sizes "10" to "14"
	// Background: drop []; is named under drop
	// Text (notes): keep []; fits "Text*" under keep
	// Page 12: unknown []; says no size of the chart and is not listed in it
	// Needle size 12: unknown []; says "needle size 12", the size of another thing
}

func ExampleMatch_Pick_unknownSize() {
	_, err := tollmereChart().Match([]string{"Size 10"}).Pick(sizes.Want{Labels: []string{"13"}})
	var unknown *sizes.UnknownSizeError
	if errors.As(err, &unknown) {
		fmt.Println("did you mean", unknown.Nearest+"?")
	}
	fmt.Println(err)
	// Output:
	// did you mean 14?
	// size "13" is not in the chart; the nearest is "14"; the chart has "10", "12", "14" and "16"
}

func ExampleMatch_Pick_missingLayer() {
	_, err := tollmereChart().Match([]string{"Size 10", "Size 12"}).Pick(sizes.Want{Labels: []string{"14"}})
	fmt.Println(err)
	// Output:
	// no layer for size "14"; the file has layers for sizes "10" and "12"
}

func ExampleChart_Neighbours() {
	labels, err := tollmereChart().Neighbours("14", 1, 2)
	fmt.Println(labels, err)
	// Output:
	// [12 14 16] <nil>
}

func ExampleChart_Resolve() {
	for _, text := range []string{"Size 12", "10,14", "12..16"} {
		labels, err := tollmereChart().Resolve(text)
		fmt.Println(labels, err)
	}
	// Output:
	// [12] <nil>
	// [10 14] <nil>
	// [12 14 16] <nil>
}

// A chart as a designer writes it.
func ExampleRead() {
	const written = `
name: Tollmere skirt
unit: in
sizes:
  - {label: "8", layers: ["Size 8", "S8*"], body: {waist: 24 1/2, hip: 34-35}}
  - {label: "10", body: {waist: 65 cm}}
`
	chart, err := sizes.Read(strings.NewReader(written), "tollmere.yaml")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range chart.Sizes {
		fmt.Printf("%s: layers %q, waist %.2f %s, hip %v\n", s.Label, s.Layers, s.Body["waist"], chart.Unit, s.Ranges["hip"])
	}
	// Output:
	// 8: layers ["Size 8" "S8*"], waist 24.50 in, hip {34 35}
	// 10: layers [], waist 25.59 in, hip {0 0}
}

// A chart as a spreadsheet writes it, with decimal commas.
func ExampleRead_spreadsheet() {
	chart, err := sizes.Read(strings.NewReader("label;waist (cm)\n8;62,5\n10;66\n"), "tollmere.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(chart.Labels(), chart.Sizes[0].Body)
	// Output:
	// [8 10] map[waist:62.5]
}

// A chart that is filled by hand, held against what makes sense.
func ExampleChart_Check() {
	chart := &sizes.Chart{Unit: sizes.Centimetre, Sizes: []sizes.Size{
		{Label: "8", Body: map[string]float64{"waist": 62.5}},
		{Label: "10", Body: map[string]float64{"waist": 6600}},
	}}
	fmt.Println(chart.Check())
	chart.Sizes[1].Body["waist"] = 66
	fmt.Println(chart.Check())
	// Output:
	// chart: sizes[1].body.waist: waist is 6600 cm, more than 5 m; is the unit right?
	// <nil>
}

// The sizes of a chart, smallest first.
func ExampleChart_Labels() {
	fmt.Println(tollmereChart().Labels())
	// Output:
	// [10 12 14 16]
}

// Which sizes somebody would print, before there is a file.
func ExampleChart_Pick() {
	body, err := sizes.ParseBody("waist=71cm, hip=99cm")
	if err != nil {
		fmt.Println(err)
		return
	}
	pick, err := tollmereChart().Pick(sizes.Want{Body: body, Below: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, size := range pick.Sizes {
		fmt.Println(size.Label, size.Role)
	}
	for _, n := range pick.Notes {
		fmt.Println(n.Kind, "-", n.Text)
	}
	// Output:
	// 10 below
	// 12 wanted
	// 14 wanted
	// chart end - the chart has 1 size below size "12", 2 asked for
}

// What a chart says in two ways has to be mended before anything is picked.
func ExampleMatch_Err() {
	err := tollmereChart().Match([]string{"Size 10", "US 12 / EU 14"}).Err()
	var ambiguous *sizes.AmbiguousError
	if errors.As(err, &ambiguous) {
		for _, claim := range ambiguous.Answers[0].Claims {
			fmt.Println(claim.Sizes, "by", claim.By)
		}
	}
	fmt.Println(err)
	// Output:
	// [12] by us 12
	// [14] by eu 14
	// layer "US 12 / EU 14" says "us 12": size "12", but also says "eu 14": size "14"; name it in the layers of the size it belongs to, or under keep or drop
}

// One size with the next above, and a note where the file lacks one.
func ExampleMatch_Pick() {
	pick, err := tollmereChart().Match([]string{"Size 12", "Size 16", "Text"}).Pick(sizes.Want{
		Labels: []string{"12", "16"}, Above: 1,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, size := range pick.Sizes {
		fmt.Println(size.Label, size.Role, size.Positions)
	}
	for _, n := range pick.Notes {
		fmt.Println(n.Kind, "-", n.Text)
	}
	// Output:
	// 12 wanted [0]
	// 16 wanted [1]
	// chart end - the chart has no size above size "16", 1 asked for
	// missing neighbour - the neighbour "14" has no layer in the file
}

// tollmereLayers are the layers of a file.
var tollmereLayers = []string{"Size 10", "Size 12", "Size 14", "Text", "Background", "Doodle"}

// pick12 picks one size among them.
func pick12() *sizes.Pick {
	pick, err := tollmereChart().Match(tollmereLayers).Pick(sizes.Want{Labels: []string{"12"}})
	if err != nil {
		panic(err)
	}
	return pick
}

func namesAt(positions []int) (names []string) {
	for _, i := range positions {
		names = append(names, tollmereLayers[i])
	}
	return names
}

// What is kept and switched on: the size, and what every print needs.
func ExamplePick_Positions() {
	fmt.Println(namesAt(pick12().Positions()))
	// Output:
	// [Size 12 Text]
}

// What of that is there for every size.
func ExamplePick_Kept() {
	fmt.Println(namesAt(pick12().Kept()))
	// Output:
	// [Text]
}

// What stays as it is, since nothing tells what it is for.
func ExamplePick_Unknown() {
	fmt.Println(namesAt(pick12().Unknown()))
	// Output:
	// [Doodle]
}

// What is removed: other sizes, and what no print needs.
func ExamplePick_Dropped() {
	fmt.Println(namesAt(pick12().Dropped()))
	// Output:
	// [Size 10 Size 14 Background]
}

// A first chart, from the names that a designer gave to the layers.
func ExampleDraft() {
	drafted := sizes.Draft([]string{"Gr. 38", "Gr. 40", "Gr. 36", "Text", "Doodle"})
	fmt.Println(drafted.Chart.Labels(), "in the form", drafted.Chart.Names, "and always", drafted.Chart.Keep)
	for _, d := range drafted.Doubts {
		fmt.Println("layer", d.Name, d.Reason)
	}
	// Output:
	// [36 38 40] in the form Gr. {label} and always [Text]
	// layer Doodle says no size, and has no word for what every print needs
}

// The draft as a file, for somebody to look at.
func ExampleDrafted_Write() {
	if err := sizes.Draft([]string{"Gr. 38", "Gr. 36", "Text"}).Write(os.Stdout); err != nil {
		fmt.Println(err)
	}
	// Output:
	// # The sizes are numbers, ordered by value.
	// sizes:
	//   - label: "36"
	//   - label: "38"
	// names: "Gr. {label}"
	// keep: ["Text"]
}

// What somebody measured, as she writes it.
func ExampleParseBody() {
	body, err := sizes.ParseBody("bust=92,5 cm, full hip = 40 1/2 in")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range body {
		fmt.Println(m.Name, "is", m.Measure.In(sizes.Millimetre))
	}
	// Output:
	// bust is 925 mm
	// full hip is 1028.7 mm
}

// Lengths as people write them; what cannot be one is told.
func ExampleParseMeasure() {
	for _, text := range []string{"92,5 cm", `36½"`, "92", "9.2 m"} {
		if m, err := sizes.ParseMeasure(text); err != nil {
			fmt.Println(err)
		} else {
			fmt.Println(m)
		}
	}
	// Output:
	// 92.5 cm
	// 36 1/2 in
	// 92
	// "9.2 m" is no measurement; write a number and cm, mm or in, as in 92.5cm or "36 1/2 in"
}

// Two layers whose names differ only in how they are written.
func ExampleKey() {
	fmt.Println(sizes.Key("Size 08") == sizes.Key(" size 8 copy 2"), sizes.Key("Size 8") == sizes.Key("Size 10"))
	// Output:
	// true false
}

// What somebody may have meant.
func ExampleNearest() {
	fmt.Println(sizes.Nearest("13", []string{"10", "12", "14"}))
	fmt.Println(sizes.Nearest("Grainlne", []string{"Text", "Grainline"}))
	fmt.Printf("%q\n", sizes.Nearest("Pocket", []string{"Text", "Grainline"}))
	// Output:
	// 14
	// Grainline
	// ""
}

func ExampleColour() {
	for _, name := range []string{"dunkelblau", "bleu foncé", "violet", "grainline"} {
		fmt.Println(name, sizes.Colour(name))
	}
	// Output:
	// dunkelblau [{dark blue [#00008b]}]
	// bleu foncé [{dark blue [#00008b]}]
	// violet [{violet [#8f00ff]} {purple [#800080 #a020f0]}]
	// grainline []
}

func ExampleColours() {
	for _, c := range sizes.Colours()[:5] {
		fmt.Println(c.Name, c.Values)
	}
	// Output:
	// black [#000000]
	// grey [#808080]
	// white [#ffffff]
	// red [#ff0000]
	// green [#008000 #00ff00]
}

func ExampleMatch_Others() {
	match := tollmereChart().Match([]string{"Size 8", "Size 12", "Size 18", "Text"})
	for _, other := range match.Others() {
		fmt.Println("size", other.Label, "is not in the chart: names", other.Positions)
	}
	// Output:
	// size 8 is not in the chart: names [0]
	// size 18 is not in the chart: names [2]
}

func ExampleDrafted_Open() {
	drafted := sizes.Draft([]string{"S", "M", "38", "40", "Logo"})
	fmt.Println(len(drafted.Open(sizes.Want{Labels: []string{"M"}})))
	for _, doubt := range drafted.Open(sizes.Want{Labels: []string{"M"}, Above: 1}) {
		fmt.Println(doubt.About, "-", doubt.Reason)
	}
	// Output:
	// 0
	// order - Sizes are named by number and by letter: put them in one order, smallest first.
}

// Sizes that a chart lists otherwise than they say.
func ExampleChart_OutOfOrder() {
	chart := &sizes.Chart{Sizes: []sizes.Size{{Label: "46"}, {Label: "34"}, {Label: "36"}, {Label: "38"}}}
	fmt.Println(chart.OutOfOrder())
	// Output:
	// [[46 34]]
}

// Size 12 is missing between 10 and 14.
func ExampleChart_Skips() {
	chart := &sizes.Chart{Sizes: []sizes.Size{{Label: "8"}, {Label: "10"}, {Label: "14"}, {Label: "16"}}}
	fmt.Println(chart.Skips(nil))
	fmt.Println(chart.Skips([]string{"9"}))
	// Output:
	// [[10 14]]
	// [[8 10] [10 14]]
}

func ExampleMatch_Doubt() {
	chart := &sizes.Chart{Sizes: []sizes.Size{{Label: "12"}, {Label: "14"}}}
	match := chart.Match([]string{"Size 12", "Size 14", "Front size 14 draped"})
	fmt.Println(match.Doubt([]string{"12"}))
	fmt.Println(match.Doubt([]string{"14"}))
	// Output:
	// <nil>
	// layer "Front size 14 draped" says size "14", but what is "draped"? Put it in the chart under the layers of size "14", under keep or under drop
}

// A layer that every print needs, whatever signs its name has.
func ExampleLiteral() {
	chart := &sizes.Chart{Sizes: []sizes.Size{{Label: "8"}, {Label: "10"}}, Keep: []string{sizes.Literal("Text [all]")}}
	for _, a := range chart.Match([]string{"Text [all]", "Text a"}).Answers {
		fmt.Println(a.Name, a.Kind)
	}
	// Output:
	// Text [all] keep
	// Text a unknown
}
