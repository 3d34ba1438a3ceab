package sizes

import "testing"

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
