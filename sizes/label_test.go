package sizes

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestResolve(t *testing.T) {
	cases := []struct{ chart, text, want, why string }{
		{"numbers", "14", "14", "a label"},
		{"numbers", "Size 08", "8", "a usual spelling"},
		{"numbers", "10,14", "10|14", "a list"},
		{"numbers", "14,10,14", "10|14", "in chart order and once"},
		{"numbers", "10..14", "10|12|14", "a span"},
		{"numbers", "10-14", "10|12|14", "a span with a hyphen"},
		{"numbers", "14..10", "10|12|14", "from the larger"},
		{"numbers", "6,10..14,24", "6|10|12|14|24", "a list with a span"},
		{"letters", "m", "M", "a letter"},
		{"letters", "XX-Large", "XXL", "a letter in words"},
		{"letters", "S..L", "S|M|L", "a span of letters"},
		{"odd", "8, 10", "8, 10", "a label with a comma comes before a list"},
		{"odd", "10..12", "10..12", "a label with dots comes before a span"},
		{"comma", "38,5", "38,5", "a label with a decimal comma comes before a list"},
		{"colours", "Dark Blue", "dark blue", "a label of words"},
		{"euro", "EU 38", "38", "with a system"},
		{"ranges", "10-12", "10-12", "a label that is a range"},
	}
	charts := testCharts()
	for _, c := range cases {
		t.Run(c.chart+"/"+c.text, func(t *testing.T) {
			got, err := charts[c.chart].Resolve(c.text)
			if joined := strings.Join(got, "|"); err != nil || joined != c.want {
				t.Errorf("%q, %s: %s with error %v, want %s", c.text, c.why, joined, err, c.want)
			}
		})
	}
}

func TestResolveRefuses(t *testing.T) {
	charts := testCharts()
	unknown := []struct{ chart, text, want, nearest, why string }{
		{"numbers", "13", "13", "14", "not in the chart"},
		{"numbers", "10,13", "13", "14", "one of a list"},
		{"numbers", "10..99", "99", "24", "the end of a span"},
		{"numbers", "10 14", "10 14", "", "no separator"},
		{"numbers", "Front size 8", "Front size 8", "", "more than a size"},
		{"numbers", "", "", "", "nothing"},
		{"letters", "XLL", "XLL", "XL", "a slip"},
		{"letters", "MM", "MM", "M", "a slip"},
		{"colours", "gren", "gren", "green", "a slip"},
	}
	for _, c := range unknown {
		t.Run(c.chart+"/"+c.text, func(t *testing.T) {
			_, err := charts[c.chart].Resolve(c.text)
			var e *UnknownSizeError
			if !errors.As(err, &e) {
				t.Fatalf("%q, %s: error %v, want an UnknownSizeError", c.text, c.why, err)
			}
			want := &UnknownSizeError{Want: c.want, Have: charts[c.chart].Labels(), Nearest: c.nearest}
			if diff := cmp.Diff(want, e); diff != "" {
				t.Errorf("%q, %s:\n%s", c.text, c.why, diff)
			}
		})
	}
	ambiguous := []struct {
		chart, text string
		want        []string
	}{
		{"bracket", "M", []string{"10 (M)", "12 (M)"}},
		{"mixed", "8 (M)", []string{"8", "M"}},
	}
	for _, c := range ambiguous {
		_, err := charts[c.chart].Resolve(c.text)
		var e *AmbiguousSizeError
		if !errors.As(err, &e) {
			t.Errorf("%q: error %v, want an AmbiguousSizeError", c.text, err)
			continue
		}
		if diff := cmp.Diff(&AmbiguousSizeError{Want: c.text, Fits: c.want}, e); diff != "" {
			t.Error(diff)
		}
	}
}

func TestResolveErrorTexts(t *testing.T) {
	charts := testCharts()
	cases := []struct{ chart, text, want string }{
		{"systems", "EU 39", `size "eu 39" is not in the chart; the nearest is "EU 38"; the chart has "US 8", "US 10", "EU 38" and "EU 40"`},
		{"japan", "10", `size "10" is not in the chart; the nearest is "11"; the chart has "7", "9", "11" and "13"`},
		{"bracket", "M", `size "M" may be "10 (M)" or "12 (M)"; ask for one of them by its full label`},
	}
	for _, c := range cases {
		if _, err := charts[c.chart].Resolve(c.text); err == nil || err.Error() != c.want {
			t.Errorf("%q: error\n%v\nwant\n%s", c.text, err, c.want)
		}
	}
	long := strings.Repeat("9", maxTextBytes+1)
	if _, err := charts["numbers"].Resolve(long); err == nil || len(err.Error()) > 300 {
		t.Errorf("a text of %d digits: error %v", len(long), err)
	}
}

func TestNearest(t *testing.T) {
	cases := []struct {
		word    string
		choices []string
		want    string
		why     string
	}{
		{"13", []string{"10", "12", "14"}, "14", "a tie goes up"},
		{"13", []string{"14", "12"}, "14", "in whatever order they stand"},
		{"11.9", []string{"10", "12"}, "12", "by value"},
		{"99", []string{"10", "12"}, "12", "beyond the end"},
		{"8", []string{"S", "M"}, "", "no numbers to compare with"},
		{"lable", []string{"label", "layers", "line"}, "label", "two letters changed places"},
		{"lay", []string{"label", "layers", "line"}, "layers", "a word cut short"},
		{"grene", []string{"red", "green"}, "green", "two letters changed places"},
		{"XXXL", []string{"XXL", "L"}, "XXL", "one letter too many"},
		{"purple", []string{"red", "green"}, "", "nothing like it"},
		{"x", []string{"a"}, "", "all letters differ"},
		{"", []string{"a"}, "", "nothing to compare"},
		{"8", nil, "", "no choices"},
	}
	for _, c := range cases {
		t.Run(c.word+" "+c.why, func(t *testing.T) {
			if got := Nearest(c.word, c.choices); got != c.want {
				t.Errorf("Nearest(%q, %q) = %q, want %q", c.word, c.choices, got, c.want)
			}
		})
	}
}

// The distances of kitten, sitting and of Saturday, Sunday are the usual
// textbook examples (from memory).
func TestDistance(t *testing.T) {
	cases := []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "abc", 3}, {"kitten", "sitting", 3}, {"saturday", "sunday", 3}, {"größe", "grosse", 3}, {"name", "nmae", 1}, {"abcd", "badc", 2}}
	for _, c := range cases {
		for _, pair := range [][2]string{{c.a, c.b}, {c.b, c.a}} {
			if got := distance([]rune(pair[0]), []rune(pair[1])); got != c.want {
				t.Errorf("distance(%q, %q) = %d, want %d", pair[0], pair[1], got, c.want)
			}
		}
	}
}
