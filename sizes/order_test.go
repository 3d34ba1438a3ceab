package sizes

import (
	"fmt"
	"strings"
	"testing"
)

func TestOutOfOrder(t *testing.T) {
	for _, c := range []struct{ labels, want string }{
		{"34 36 38 40", ""},
		{"46 34 36 38", "46>34"},
		{"34 36 46 38 40", "46>38"},
		{"40 42 34 36 38", "42>34"},
		{"44 42 40", "44>42 42>40"},
		{"40 38", "40>38"},
		{"36.5 36", "36.5>36"},
		{"8½ 8", "8½>8"},
		{"00 0 2 4", ""},
		{"XS S M L XL 2XL 3XL", ""},
		{"S L M XL", "L>M"},
		{"XXL XL L", "XXL>XL XL>L"},
		{"Large Medium", "Large>Medium"},
		{"XL 2XL 1X 2X", ""}, // plus sizes are a series of their own
		{"2X 1X", "2X>1X"},
		{"2T 3T 4 5", ""},
		{"4T 3T", "4T>3T"},
		{"0-3M 3-6M 6-12M 2Y", ""},
		{"2Y 18M", "2Y>18M"},
		{"6-9M 3-6M", "6-9M>3-6M"},
		{"Age_4 Age_2", "Age 4>Age 2"},
		{"98/104 110/116 86/92", "110/116>86/92"},
		{"8_(M) 10_(M) 6_(S)", "10 (M)>6 (S)"},
		{"EU_38 EU_36", "EU 38>EU 36"},
		{"EU_38 US_8", ""},          // nothing tells
		{"34 36 38 17 18 19", ""},   // short sizes behind others
		{"98 104 110 34 36 38", ""}, // of adults behind those of children
		{"16 18 14W 16W", ""},
		{"18W 16W", "18W>16W"},
		{"Red Blue Green", ""},
		{"Red 40 Blue 38", "40>38"},
		{"38", ""},
		{"", ""},
	} {
		chart := &Chart{}
		for _, l := range strings.Fields(c.labels) {
			chart.Sizes = append(chart.Sizes, Size{Label: strings.ReplaceAll(l, "_", " ")})
		}
		var got []string
		for _, p := range chart.OutOfOrder() {
			got = append(got, fmt.Sprintf("%s>%s", p[0], p[1]))
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("%s: %q, want %q", c.labels, s, c.want)
		}
	}
}

func TestSkips(t *testing.T) {
	for _, c := range []struct{ labels, others, want string }{
		{"8 10 12 14", "", ""},
		{"8 10 14 16", "", "10>14"},
		{"8 10 12 16", "", "12>16"},
		{"4 8 10 12", "", "4>8"},
		{"8 10 12", "11", "10>12"},
		{"8 12 16", "10 14", "8>12 12>16"},
		{"8 12 16", "6 18 M", ""},
		{"6 7 8 10 12 14", "", ""}, // steps of one become steps of two
		{"128 134 140 152 164", "", ""},
		{"00 0 2 4", "", ""},
		{"XS S M L XL 2XL", "", ""},
		{"XS S L XL", "", "S>L"},
		{"18 19 20 36 38 40", "", "20>36"}, // short sizes before others
		{"36 38 40 72 76 80", "", "40>72"}, // long ones behind
		{"14W 16W 20W 22W", "", "16W>20W"},
		{"3M 6M 9M 12M 18M 24M", "", ""},
		{"0-3M 3-6M 12-18M", "6-12M", "3-6M>12-18M"},
		{"10-12 14-16 22-24 26-28", "", "14-16>22-24"},
		{"Red Blue Green", "", ""},
		{"8 10 S M L", "", ""},
		{"8", "", ""},
		{"", "8", ""},
	} {
		chart := &Chart{}
		for _, l := range strings.Fields(c.labels) {
			chart.Sizes = append(chart.Sizes, Size{Label: l})
		}
		var got []string
		for _, p := range chart.Skips(strings.Fields(c.others)) {
			got = append(got, fmt.Sprintf("%s>%s", p[0], p[1]))
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("%s beside %s: %q, want %q", c.labels, c.others, s, c.want)
		}
	}
}
