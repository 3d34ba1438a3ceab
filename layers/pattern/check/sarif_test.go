package check

import (
	"bytes"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/owenrumney/go-sarif/v3/pkg/report/v210/sarif"
	"github.com/xeipuuv/gojsonschema"

	"github.com/sizeply/sizeply/sizes"
)

// TestSARIF validates what is written against the schema that OASIS publishes,
// which the module go-sarif carries, and looks for properties that the format
// does not have.
func TestSARIF(t *testing.T) {
	schema := publishedSchema(t)
	for _, x := range faults {
		files := good()
		files[0].Name = `C:\for sale\skirt 100%.pdf`
		x.change(files)
		c := x.chart()
		c.Accepted = []sizes.Acceptance{{Finding: "layer-empty", Reason: "drawn later"}, {Finding: "gone", Reason: "x"}}
		r := checked(files, c)
		var b bytes.Buffer
		if err := r.WriteSARIF(&b, "1.2.3"); err != nil {
			t.Fatal(err)
		}
		report := &sarif.Report{}
		dec := json.NewDecoder(bytes.NewReader(b.Bytes()))
		dec.DisallowUnknownFields()
		if err := dec.Decode(report); err != nil {
			t.Fatalf("%s: %v\n%s", x.why, err, &b)
		}
		if problems := validate(t, schema, b.Bytes()); len(problems) > 0 {
			t.Fatalf("%s: %v\n%s", x.why, problems, &b)
		}
		results := report.Runs[0].Results
		if len(results) != len(r.Findings)+len(r.Accepted) {
			t.Fatalf("%s: %d results for %d findings and %d accepted", x.why, len(results), len(r.Findings), len(r.Accepted))
		}
		for i, f := range append(r.Findings, r.Accepted...) {
			res := results[i]
			if *res.RuleID != f.ID || res.Level != f.Severity.String() || *report.Runs[0].Tool.Driver.Rules[res.RuleIndex].ID != f.ID {
				t.Errorf("%s: result %d is %s %s, finding %s %s", x.why, i, *res.RuleID, res.Level, f.ID, f.Severity)
			}
			if (len(res.Suppressions) > 0) != (f.Accepted != "") {
				t.Errorf("%s: %s is suppressed: %t", x.why, f.ID, len(res.Suppressions) > 0)
			}
		}
	}
}

// TestSARIFOfEveryRule validates a run that has a finding of every rule, once
// as they are and once accepted.
func TestSARIFOfEveryRule(t *testing.T) {
	r := &Result{}
	for i, rule := range Rules() {
		f := Finding{ID: rule.ID, Severity: rule.Severity, File: "skirt a4.pdf", Layer: "Size 8", Object: i, Text: rule.Title + ".", Do: rule.Why}
		r.Findings = append(r.Findings, f)
		f.Layer, f.Object, f.Pages, f.Rename, f.Accepted = "", 0, []int{1, 2}, "Size 10", "meant so"
		r.Accepted = append(r.Accepted, f)
	}
	r.Findings[len(r.Findings)-1].File = "" // about the chart
	var b bytes.Buffer
	if err := r.WriteSARIF(&b, ""); err != nil {
		t.Fatal(err)
	}
	if problems := validate(t, publishedSchema(t), b.Bytes()); len(problems) > 0 {
		t.Fatalf("%v\n%s", problems, &b)
	}
	report := &sarif.Report{}
	if err := json.Unmarshal(b.Bytes(), report); err != nil {
		t.Fatal(err)
	}
	run := report.Runs[0]
	for i, res := range run.Results {
		if want := Rules()[i%len(Rules())].ID; *res.RuleID != want || *run.Tool.Driver.Rules[res.RuleIndex].ID != want {
			t.Errorf("result %d is %s, want %s", i, *res.RuleID, want)
		}
	}
	if n := 2 * len(Rules()); len(run.Results) != n {
		t.Errorf("%d results, want %d", len(run.Results), n)
	}
}

// TestSARIFIsHeld makes sure that the validation can fail.
func TestSARIFIsHeld(t *testing.T) {
	grave := `{"version": "2.1.0", "runs": [{"tool": {"driver": {"name": "x"}}, "results": [{"level": "grave", "message": {"text": "x"}}]}]}`
	if len(validate(t, publishedSchema(t), []byte(grave))) == 0 {
		t.Error("a level that the format does not have passes")
	}
}

// validate holds a document against a schema.
func validate(t *testing.T, schema *gojsonschema.Schema, doc []byte) []gojsonschema.ResultError {
	t.Helper()
	res, err := schema.Validate(gojsonschema.NewBytesLoader(doc))
	if err != nil {
		t.Fatal(err)
	}
	return res.Errors()
}

// publishedSchema is the schema in the source of go-sarif, which does not export
// it.
func publishedSchema(t *testing.T) *gojsonschema.Schema {
	t.Helper()
	dir, err := exec.Command("go", "list", "-f", "{{.Dir}}", "github.com/owenrumney/go-sarif/v3/pkg/report/v210/sarif").Output()
	if err != nil {
		t.Fatal(err)
	}
	file, err := parser.ParseFile(token.NewFileSet(), filepath.Join(strings.TrimSpace(string(dir)), "schema.go"), nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	literal := file.Scope.Lookup("schema").Decl.(*ast.ValueSpec).Values[0].(*ast.BasicLit)
	text, err := strconv.Unquote(literal.Value)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(text, `"id": "`+sarifSchema+`"`) {
		t.Errorf("the schema is not %s", sarifSchema)
	}
	schema, err := gojsonschema.NewSchema(gojsonschema.NewStringLoader(text))
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

func TestFileURI(t *testing.T) {
	for name, want := range map[string]string{
		"skirt a4.pdf": "skirt%20a4.pdf", `for sale\skirt.pdf`: "for%20sale/skirt.pdf", "/tmp/100%.pdf": "/tmp/100%25.pdf", "a:b.pdf": "./a:b.pdf",
		`C:\for sale\skirt.pdf`: "file:///C:/for%20sale/skirt.pdf",
	} {
		if got := fileURI(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}
