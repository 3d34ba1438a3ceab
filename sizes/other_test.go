package sizes

import (
	"slices"
	"strings"
	"testing"
)

// otherCases are the names of a file beside a chart that knows fewer sizes: which say plainly
// another size, in the order of the report, and which may be anything.
var otherCases = []struct {
	why     string
	labels  string   // of the chart
	names   []string // of the file
	others  string   // joined by bars
	unknown []string
}{
	{"marked, below and above", "38 40 42", []string{"Size 34", "Size 38", "Size 44", "Size 36", "Size 40", "Text"}, "34|36|44", []string{"Text"}},
	{"bare, step by step", "38 40 42", []string{"34", "36", "38", "40", "44"}, "34|36|44", nil},
	{"bare, with one of the chart alone", "38", []string{"36", "38", "40"}, "36|40", nil},
	{"bare, with one missing between", "38 40", []string{"34", "38", "40"}, "34", nil},
	{"a lone number beside sizes may be a page", "38 40 42", []string{"38", "40", "1", "2"}, "", []string{"1", "2"}},
	{"numbers that count are no sizes", "2 3 4 5", []string{"1", "2", "3", "4", "5", "6"}, "", []string{"1", "6"}},
	{"a span over the chart draws its sizes too", "38 40 42", []string{"Size 38", "Size 34-46", "Size 34-38"}, "", []string{"Size 34-46", "Size 34-38"}},
	{"a span beyond the chart", "38 40 42", []string{"Size 38", "Size 44-46", "Size 34/36"}, "34/36|44-46", nil},
	{"a list on both sides is beyond it too, but not between", "38 40 42", []string{"Size 38", "Size 36/44"}, "", []string{"Size 36/44"}},
	{"part of a size of the chart that is a range", "36-38 40-42", []string{"Size 36-38", "Size 36", "Size 44-46", "Size 44"}, "44|44-46", []string{"Size 36"}},
	{"letters beside numbers may be the same sizes", "38 40 42", []string{"Size 38", "Size M", "L"}, "", []string{"Size M", "L"}},
	{"another system may be the same sizes", "US 8|US 10", []string{"US 8", "EU 34"}, "", []string{"EU 34"}},
	{"the same system", "EU 38|EU 40", []string{"EU 38", "EU 34", "Size 36"}, "EU 34|36", nil},
	{"two systems, neither in the chart", "US 8 / EU 38|US 10 / EU 40", []string{"US 8 / EU 38", "US 6 / EU 36"}, "US 6", nil},
	{"letters, bare, step by step", "S M L", []string{"XS", "S", "M", "L", "XL", "XXL"}, "XS|XL|2XL", nil},
	{"a letter that is a side", "S M", []string{"S", "M", "L", "R"}, "", []string{"L", "R"}},
	{"a letter that is no side", "S M", []string{"S", "M", "L"}, "L", nil},
	{"letters with one missing", "S M", []string{"S", "M", "XL"}, "", []string{"XL"}},
	{"letters marked", "S M", []string{"Size S", "Size 3XL"}, "3XL", nil},
	{"plus sizes beside others may be the same", "XL XXL", []string{"Size XL", "Size 2X"}, "", []string{"Size 2X"}},
	{"ages", "3-6 months|6-9 months", []string{"0-3 months", "3-6 months", "2 years", "12m"}, "0-3 months|12 months|2 years", nil},
	{"an age within one of the chart", "3-6 months|6-12 months", []string{"3-6 months", "9 months"}, "", []string{"9 months"}},
	{"a length beside ages that are years", "Size 2|Size 4", []string{"Size 2", "3m"}, "", []string{"3m"}},
	{"women's and toddlers' sizes beside plain ones", "14 16", []string{"14", "16W", "Size 18W", "16T"}, "16W|16T|18W", nil},
	{"variants of a size", "8 10", []string{"Size 8", "Size 8 tall", "Plus size 8", "Size 10 C cup"}, "size 8 tall|plus size 8|size 10 c cup", nil},
	{"a longer name", "8 10", []string{"tollmere_sz08_cut", "tollmere_sz12_cut"}, "12", nil},
	{"the size of another thing", "8 10", []string{"Size 8", "Needle size 12", "up to size 14"}, "", []string{"Needle size 12", "up to size 14"}},
	{"what is no size at all", "8 10", []string{"Size 8", "Page 12", "2 in", "View A", "Layer 1", "red"}, "", []string{"Page 12", "2 in", "View A", "Layer 1", "red"}},
	{"heights of children", "98 104", []string{"92", "98", "104", "110", "116", "152"}, "92|110|116", []string{"152"}},
}

func TestOtherSizes(t *testing.T) {
	for _, c := range otherCases {
		chart := chartOfLabels(c.labels)
		m := chart.Match(c.names)
		pick, err := m.Pick(Want{Labels: chart.Labels()[:1]})
		if err != nil {
			t.Errorf("%s: %v", c.why, err)
			continue
		}
		var labels, unknown []string
		for _, o := range pick.Others {
			labels = append(labels, o.Label)
			for _, i := range o.Positions {
				if !slices.Contains(pick.Dropped(), i) {
					t.Errorf("%s: %q is not dropped", c.why, c.names[i])
				}
			}
		}
		for _, i := range pick.Unknown() {
			unknown = append(unknown, c.names[i])
		}
		if got := strings.Join(labels, "|"); got != c.others || !slices.Equal(unknown, c.unknown) {
			t.Errorf("%s: other sizes %q, unknown %q; want %q and %q", c.why, got, unknown, c.others, c.unknown)
		}
	}
}

// chartOfLabels is a chart of labels joined by bars, or else by spaces.
func chartOfLabels(labels string) *Chart {
	sep := " "
	if strings.Contains(labels, "|") {
		sep = "|"
	}
	c := &Chart{}
	for _, label := range strings.Split(labels, sep) {
		c.Sizes = append(c.Sizes, Size{Label: label})
	}
	return c
}
