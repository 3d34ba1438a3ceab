package sizes

import (
	"strings"
	"testing"
)

func TestChartErrorText(t *testing.T) {
	cases := []struct {
		name string
		err  ChartError
		want string
	}{
		{"place, message, line and caret", ChartError{"c.yaml", 2, 7, "unit: feet", "no unit"},
			"c.yaml:2:7: no unit\n  unit: feet\n        ^"},
		{"without a file name", ChartError{"", 2, 7, "unit: feet", "no unit"},
			"2:7: no unit\n  unit: feet\n        ^"},
		{"an empty line shows nothing", ChartError{"c.yaml", 2, 1, "", "no unit"},
			"c.yaml:2:1: no unit"},
		{"a tab keeps its width", ChartError{"c.yaml", 1, 3, "\ta: b", "no"},
			"c.yaml:1:3: no\n  \ta: b\n  \t ^"},
		{"wide characters take two columns", ChartError{"c.yaml", 1, 3, "尺码: b", "no"},
			"c.yaml:1:3: no\n  尺码: b\n      ^"},
		{"combining marks take none", ChartError{"c.yaml", 1, 3, "a\u0308: b", "no"},
			"c.yaml:1:3: no\n  a\u0308: b\n   ^"},
		{"behind the end", ChartError{"c.yaml", 1, 4, "abc", "no"},
			"c.yaml:1:4: no\n  abc\n     ^"},
		{"a long line is cut", ChartError{"c.yaml", 1, 101, strings.Repeat("a", 100) + "b" + strings.Repeat("c", 100), "no"},
			"c.yaml:1:101: no\n  ..." + strings.Repeat("a", 60) + "b" + strings.Repeat("c", 39) + "...\n  " + strings.Repeat(" ", 63) + "^"},
		{"a column that is not there", ChartError{"c.yaml", 1, -3, "abc", "no"},
			"c.yaml:1:-3: no\n  abc\n  ^"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := c.err.Error(); got != c.want {
				t.Errorf("got\n%s\nwant\n%s", got, c.want)
			}
		})
	}
}

func TestHarmless(t *testing.T) {
	const in, want = "a\x1b[31mb\u202ec\td\x9b", "a\ufffd[31mb\ufffdc\td\ufffd"
	if got := harmless(in); got != want {
		t.Errorf("harmless(%q) = %q, want %q", in, got, want)
	}
}
