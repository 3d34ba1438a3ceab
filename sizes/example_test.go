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
