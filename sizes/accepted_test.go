package sizes

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

const acceptingChart = `sizes: [{label: "8"}]
accepted:
  - {finding: layer-empty, layer: "Logo*", file: "*-a4.pdf", reason: "no room on A4"}
  - finding: content-outside
    reason: "the frame: of the page"
`

func TestReadAccepted(t *testing.T) {
	text := acceptingChart
	c, err := Read(strings.NewReader(text), "chart.yaml")
	if err != nil {
		t.Fatal(err)
	}
	want := []Acceptance{
		{Finding: "layer-empty", Layer: "Logo*", File: "*-a4.pdf", Reason: "no room on A4"},
		{Finding: "content-outside", Reason: "the frame: of the page"},
	}
	if diff := cmp.Diff(want, c.Accepted); diff != "" {
		t.Error(diff)
	}
	var b bytes.Buffer
	if err := c.Write(&b); err != nil {
		t.Fatal(err)
	}
	back, err := Read(&b, "chart.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, back.Accepted); diff != "" {
		t.Errorf("read back:\n%s", diff)
	}
	if why := readSchema(t).violation(t, text); why != "" {
		t.Errorf("the schema says %s", why)
	}
}

func TestReadAcceptedErrors(t *testing.T) {
	cases := []struct {
		name, accepted, message string
		schema                  bool // the schema refuses it too
	}{
		{"no reason", "[{finding: layer-empty}]", "2:12: an accepted finding needs a reason", true},
		{"no finding", "[{reason: later}]", "2:12: an accepted finding needs a finding", true},
		{"blank reason", "[{finding: layer-empty, reason: ' '}]", "2:43: the reason is empty", true},
		{"broken glob", "[{finding: a, layer: '[', reason: b}]", `2:32: "[" is no glob`, false},
		{"unknown key", "[{finding: a, reason: b, page: 1}]", `an accepted finding has nothing called "page"`, true},
		{"a text", "layer-empty", "accepted is a list in square brackets", true},
	}
	schema := readSchema(t)
	for _, c := range cases {
		text := "sizes: [{label: 8}]\naccepted: " + c.accepted + "\n"
		_, err := Read(strings.NewReader(text), "chart.yaml")
		if err == nil || !strings.Contains(err.Error(), c.message) {
			t.Errorf("%s: %v, want %q", c.name, err, c.message)
		}
		if why := schema.violation(t, text); (why != "") != c.schema {
			t.Errorf("%s: the schema says %q", c.name, why)
		}
	}
}

func TestCovers(t *testing.T) {
	cases := []struct {
		a                    Acceptance
		finding, file, layer string
		want                 bool
		why                  string
	}{
		{Acceptance{Finding: "x"}, "x", "a.pdf", "Logo", true, "any layer of any file"},
		{Acceptance{Finding: "x"}, "y", "a.pdf", "Logo", false, "another finding"},
		{Acceptance{Finding: "x", Layer: "logo"}, "x", "a.pdf", " Logo ", true, "names are folded"},
		{Acceptance{Finding: "x", Layer: "Logo*"}, "x", "a.pdf", "Logo 2", true, "a glob"},
		{Acceptance{Finding: "x", Layer: "Logo*"}, "x", "a.pdf", "", false, "a finding of no layer"},
		{Acceptance{Finding: "x", File: "*-a4.pdf"}, "x", "skirt-a4.pdf", "", true, "a glob for the file"},
		{Acceptance{Finding: "x", File: "*-a4.pdf"}, "x", "skirt.pdf", "", false, "another file"},
		{Acceptance{Finding: "x", Layer: "["}, "x", "a", "[", true, "a broken glob finds the name it spells out"},
	}
	for _, c := range cases {
		if got := c.a.Covers(c.finding, c.file, c.layer); got != c.want {
			t.Errorf("%s: %+v covers %q %q %q: %t", c.why, c.a, c.finding, c.file, c.layer, got)
		}
	}
}
