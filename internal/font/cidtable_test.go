package font

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/pdf"
)

func TestCIDTable(t *testing.T) {
	big := make(pdf.Array, 70000)
	for i := range big {
		big[i] = pdf.Integer(i % 7)
	}
	objs := objects{1: ints(11, 12), 2: pdf.Integer(13), 3: big}
	for _, c := range []struct {
		name   string
		o      pdf.Object
		stride int
		cids   []int
		want   []float64
		fault  string
	}{
		{"none", nil, 1, []int{0, 9}, []float64{1000, 1000}, ""},
		{"after the example of 9.7.4.3", pdf.Array{pdf.Integer(120), ints(400, 325, 500), pdf.Integer(7080), pdf.Integer(8032), pdf.Integer(1000)}, 1,
			[]int{119, 120, 121, 122, 123, 7080, 8032, 8033}, []float64{1000, 400, 325, 500, 1000, 1000, 1000, 1000}, ""},
		{"range", ints(5, 7, 42), 1, []int{4, 5, 7, 8}, []float64{1000, 42, 42, 1000}, ""},
		{"indirect", pdf.Array{pdf.Ref(2), pdf.Ref(1), pdf.Integer(20), pdf.Ref(2), pdf.Integer(5)}, 1,
			[]int{13, 14, 15, 20}, []float64{11, 12, 1000, 1000}, ""},
		{"unsorted", ints(20, 30, 2, 1, 10, 1), 1, []int{1, 10, 15, 20, 30}, []float64{1, 1, 1000, 2, 2}, ""},
		{"vertical, after the example of 9.7.4.3", pdf.Array{pdf.Integer(120), ints(-1000, 250, 772), pdf.Integer(7080), pdf.Integer(8032), pdf.Integer(-990), pdf.Integer(500), pdf.Integer(900)}, 3,
			[]int{120, 121, 7080, 8032}, []float64{-1000, 1000, -990, -990}, ""},
		{"vertical, incomplete last entry", pdf.Array{pdf.Integer(1), ints(-1, 2, 3, -4, 5)}, 3, []int{1, 2}, []float64{-1, 1000}, ""},
		{"equal values twice", pdf.Array{pdf.Integer(1), ints(5, 5, 6), pdf.Integer(1), pdf.Integer(2), pdf.Integer(5), pdf.Integer(3), ints(6, 7)}, 1,
			[]int{1, 2, 3, 4}, []float64{5, 5, 6, 7}, ""},
		{"two values", ints(1, 5, 10, 3, 3, 20), 1, nil, nil, "two widths for one CID"},
		{"two values, hidden behind a cut span", ints(0, 10, 1, 5, 20, 1, 6, 8, 2), 1, nil, nil, "two widths for one CID"},
		{"two values in lists", pdf.Array{pdf.Integer(1), ints(5, 6), pdf.Integer(2), ints(7)}, 1, nil, nil, "two widths for one CID"},
		{"upside down range is empty", ints(9, 3, 42), 1, []int{3, 9}, []float64{1000, 1000}, ""},
		{"beyond the last CID", ints(65535, 999999999, 4, 70000, 70001, 5), 1, []int{65535}, []float64{4}, ""},
		{"no number", pdf.Array{pdf.Name("x")}, 1, nil, nil, "malformed"},
		{"negative CID", ints(-1, 3, 5), 1, nil, nil, "malformed"},
		{"cut off after c", ints(1), 1, nil, nil, "malformed"},
		{"cut off after c2", ints(1, 2), 1, nil, nil, "malformed"},
		{"no number in a list", pdf.Array{pdf.Integer(1), pdf.Array{nil}}, 1, nil, nil, "malformed"},
		{"a long list again and again", pdf.Array{pdf.Integer(1), pdf.Ref(3), pdf.Integer(2), pdf.Ref(3)}, 1, nil, nil, "malformed"},
	} {
		t.Run(c.name, func(t *testing.T) {
			table := loadCIDTable(reader{objs, plain}, c.o, c.stride, 1000)
			var got []float64
			for _, cid := range c.cids {
				got = append(got, table.at(cid))
			}
			if d := cmp.Diff(c.want, got, nearly); d != "" {
				t.Error(d)
			}
			if (c.fault == "") != (table.fault == "") || len(c.fault) > len(table.fault) || table.fault[:len(c.fault)] != c.fault {
				t.Errorf("fault %q, want %q", table.fault, c.fault)
			}
		})
	}
}

// Work on hostile overlaps is bounded: 100,000 spans over one long list that
// all agree would take 6.5 thousand million comparisons.
func TestCIDTableOverlapBounded(t *testing.T) {
	list := make(pdf.Array, 65536)
	for i := range list {
		list[i] = pdf.Integer(500)
	}
	a := pdf.Array{pdf.Integer(0), list}
	for range 100000 {
		a = append(a, pdf.Integer(0), pdf.Integer(65535), pdf.Integer(500))
	}
	if table := loadCIDTable(reader{nil, plain}, a, 1, 1000); table.fault == "" {
		t.Error("overlaps were compared without a bound")
	}
}
