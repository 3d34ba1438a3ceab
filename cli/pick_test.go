package cli

import (
	"bytes"
	"context"
	"strings"
	"testing"
)

// What can be known before a file is read is wrong usage; what the chart says is
// not.
func TestPickStatus(t *testing.T) {
	const chart = "--chart=../testdata/charts/tollmere.yaml"
	cases := []struct {
		args []string
		want int
	}{
		{[]string{chart, "--size", "14"}, statusDone},
		{[]string{chart, "--body", "bust=92cm"}, statusDone},
		{[]string{chart, "--body", "bust=130cm"}, statusDone}, // with a warning
		{[]string{chart, "--size", "15"}, statusFail},
		{[]string{chart, "--body", "collar=40"}, statusFail},
		{[]string{"--chart=none.yaml", "--size", "14"}, statusFail},
		{[]string{"--chart=pick.go", "--size", "14"}, statusFail},
		{[]string{"--size", "14"}, statusUsage},
		{[]string{chart}, statusUsage},
		{[]string{chart, "--size", "14", "--body", "bust=92"}, statusUsage},
		{[]string{chart, "--body", "bust=92ft"}, statusUsage},
		{[]string{chart, "--body", ""}, statusUsage},
		{[]string{chart, "--size", "14", "--between", "up"}, statusUsage},
		{[]string{chart, "--body", "bust=92", "--between", "down"}, statusUsage},
		{[]string{chart, "--size", "14", "--below", "-1"}, statusUsage},
		{[]string{chart, "--size", "14", "skirt.pdf"}, statusUsage},
		{[]string{chart, "--size", "14", "--flatten"}, statusUsage},
	}
	for _, c := range cases {
		var out, errOut bytes.Buffer
		got := Run(context.Background(), append([]string{"sizeply", "pick"}, c.args...), strings.NewReader(""), &out, &errOut)
		if got != c.want || (out.Len() > 0) != (got == statusDone) || (errOut.Len() > 0) == (got == statusDone) {
			t.Errorf("%q: status %d, want %d\n%s%s", c.args, got, c.want, &out, &errOut)
		}
	}
}
