package check_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"log"
	"os"
	"strings"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern/check"
	"github.com/sizeply/sizeply/sizes"
)

// skirt opens the demo pattern, one sheet or tiles of A4.
func skirt(name string) *layers.Document {
	f, err := os.Open("../../../testdata/" + name)
	if err != nil {
		log.Fatal(err)
	}
	defer f.Close()
	doc, err := layers.Open(context.Background(), f, nil)
	if err != nil {
		log.Fatal(err)
	}
	return doc
}

// chart has a size that the demo pattern lacks, and asks for another form of names.
func chart() *sizes.Chart {
	chart, err := sizes.Read(strings.NewReader(`
sizes: [{label: "6"}, {label: "8"}, {label: "10"}, {label: "12"}, {label: "14"}, {label: "16"},
  {label: "18"}, {label: "20"}, {label: "22"}, {label: "24"}, {label: "26"}]
names: "Size {label}"
keep: ["Text", "Grainline", "Test squares", "Background"]
accepted: [{finding: layer-unknown, layer: "Notches", reason: "drawn for the sample alone"}]
`), "tollmere.yaml")
	if err != nil {
		log.Fatal(err)
	}
	return chart
}

// checked is what there is to mend in the demo pattern.
func checked() *check.Result {
	file, err := check.Read(context.Background(), "tollmere-skirt.pdf", skirt("tollmere-skirt.pdf"), chart())
	if err != nil {
		log.Fatal(err)
	}
	return check.Check([]check.File{file}, chart())
}

// What a designer should mend before the file is sold.
func ExampleCheck() {
	result := checked()
	for _, f := range result.Findings {
		fmt.Printf("%s, %s: %s %s\n", f.ID, f.Severity, f.Text, f.Do)
	}
	for _, f := range result.Accepted {
		fmt.Printf("accepted %s of %s: %s\n", f.ID, f.Layer, f.Accepted)
	}
	// Output:
	// size-missing, error: No file has a layer for size "26" of the chart. Add a layer "Size 26", or take the size out of the chart.
	// accepted layer-unknown of Notches: drawn for the sample alone
}

// The two files of one pattern, each with what it holds.
func ExampleRead() {
	for _, name := range []string{"tollmere-skirt.pdf", "tollmere-skirt-a4.pdf"} {
		file, err := check.Read(context.Background(), name, skirt(name), nil)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%s: %d pages, %d layers, test squares on page %d\n",
			file.Name, len(file.Pages), len(file.Layers), file.Squares[0].Page)
	}
	// Output:
	// tollmere-skirt.pdf: 1 pages, 15 layers, test squares on page 1
	// tollmere-skirt-a4.pdf: 25 pages, 15 layers, test squares on page 19
}

// What is looked for: here what is worth knowing, though prints come out right.
func ExampleRules() {
	for _, r := range check.Rules() {
		if r.Severity == check.Note {
			fmt.Printf("%s: %s. %s\n", r.ID, r.Title, r.Why)
		}
	}
	// Output:
	// line-alike-grey: lines of two sizes that look alike without colour. On a printer without colour nobody can follow the one.
	// line-unowned: lines that are no size's. They stay in every print.
	// square-missing: no test square. Nobody can tell from the paper whether it came out at its size.
	// text-repeated: a text that stands on every size. It is printed several times over; it belongs on a layer for all sizes.
	// accepted-unused: an accepted finding that is not there any more. The entry in the chart can go.
}

// The findings for a program that shows those of many tools.
func ExampleResult_WriteSARIF() {
	var out bytes.Buffer
	if err := checked().WriteSARIF(&out, "0.1.0"); err != nil {
		log.Fatal(err)
	}
	var written struct {
		Version string
		Runs    []struct {
			Results []struct{ RuleID, Level string }
		}
	}
	if err := json.Unmarshal(out.Bytes(), &written); err != nil {
		log.Fatal(err)
	}
	fmt.Println("SARIF", written.Version)
	for _, r := range written.Runs[0].Results {
		fmt.Println(r.RuleID, r.Level)
	}
	// Output:
	// SARIF 2.1.0
	// size-missing error
	// layer-unknown warning
}
