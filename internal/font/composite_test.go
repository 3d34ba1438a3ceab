package font

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/pdf"
)

func type0(encoding pdf.Object, cidFont pdf.Dict) pdf.Dict {
	return pdf.Dict{"Subtype": pdf.Name("Type0"), "Encoding": encoding, "DescendantFonts": pdf.Array{cidFont}}
}

var someWidths = pdf.Array{pdf.Integer(65), ints(600, 700), pdf.Integer(300), pdf.Integer(400), pdf.Integer(250)}

// ISO 32000-1, 9.7.4.3 for the widths, 9.7.6 for the codes.
var compositeCases = []struct {
	name string
	font pdf.Dict
	s    string
	want []float64
	why  string
}{
	{"Identity-H", type0(pdf.Name("Identity-H"), pdf.Dict{"W": someWidths, "DW": pdf.Integer(123)}),
		"\x00A\x00B\x00C\x01\x2c", []float64{600, 700, 123, 250}, "codespace"},
	{"no W: DW is 1000", type0(pdf.Name("Identity-H"), pdf.Dict{}), "\x00A", []float64{1000}, "codespace"},
	{"odd byte at the end", type0(pdf.Name("Identity-H"), pdf.Dict{}), "\x00AB", []float64{1000, unknown}, "codespace"},
	{"embedded CMap", type0(small("1 begincidchar <41> 66 endcidchar"), pdf.Dict{"W": someWidths}),
		"A\x80", []float64{700, unknown}, "codespace"},
	{"predefined CMap without W", type0(pdf.Name("90ms-RKSJ-H"), pdf.Dict{"DW": pdf.Integer(500)}),
		"A\x82\xa0\xff", []float64{500, 500, unknown}, "codespace"},
	{"predefined CMap, W says what DW says", type0(pdf.Name("GBK-EUC-H"), pdf.Dict{"W": ints(1, 95, 1000)}),
		"A\x82\xa0", []float64{1000, 1000}, "codespace"},
	{"predefined CMap with W", type0(pdf.Name("90ms-RKSJ-H"), pdf.Dict{"W": someWidths}),
		"A\x82\xa0", []float64{unknown, unknown}, "predefined CMap 90ms-RKSJ-H with a W array"},
	{"predefined vertical CMap: W does not matter", type0(pdf.Name("90ms-RKSJ-V"), pdf.Dict{"W": someWidths}),
		"A", []float64{-1000}, "codespace"},
	{"predefined vertical CMap with W2", type0(pdf.Name("90ms-RKSJ-V"), pdf.Dict{"W2": ints(1, 9, -500, 0, 0)}),
		"A", []float64{unknown}, "predefined CMap 90ms-RKSJ-V with a W2 array"},
	{"predefined base, own mapping", type0(small("/90ms-RKSJ-H usecmap 1 begincidchar <41> 65 endcidchar"), pdf.Dict{"W": someWidths}),
		"AB", []float64{600, unknown}, "predefined CMap 90ms-RKSJ-H with a W array"},
	{"vertical", type0(pdf.Name("Identity-V"), pdf.Dict{"W2": pdf.Array{pdf.Integer(1), ints(-900, 0, 0)}, "DW2": ints(880, -800)}),
		"\x00\x01\x00\x02", []float64{-900, -800}, "codespace"},
	{"broken DW2", type0(pdf.Name("Identity-V"), pdf.Dict{"DW2": ints(880)}), "\x00\x02", []float64{-1000}, "codespace"},
	{"unknown CMap, even without W", type0(pdf.Name("Tollmere-H"), pdf.Dict{}), "\x00\x02", []float64{unknown}, "unknown CMap"},
	{"broken W", type0(pdf.Name("Identity-H"), pdf.Dict{"W": ints(1)}), "\x00\x02", []float64{unknown}, "malformed"},
	{"no descendant", pdf.Dict{"Subtype": pdf.Name("Type0"), "Encoding": pdf.Name("Identity-H")}, "\x00\x02", []float64{unknown}, "descendant"},
}

func TestComposite(t *testing.T) {
	for _, c := range compositeCases {
		t.Run(c.name, func(t *testing.T) {
			f := loadPlain(nil, c.font)
			if d := cmp.Diff(c.want, advances(f, c.s), nearly); d != "" {
				t.Error(d)
			}
			if !strings.Contains(f.Reason(), c.why) {
				t.Errorf("reason %q lacks %q", f.Reason(), c.why)
			}
		})
	}
}

// Every predefined CMap of ISO 32000-1, Table 118, has a codespace.
func TestPredefinedCMaps(t *testing.T) {
	both := strings.Fields(`GB-EUC GBpc-EUC GBK-EUC GBKp-EUC GBK2K UniGB-UCS2 UniGB-UTF16
		HKscs-B5 B5pc ETen-B5 ETenms-B5 CNS-EUC UniCNS-UCS2 UniCNS-UTF16
		90ms-RKSJ 90msp-RKSJ Add-RKSJ EUC Ext-RKSJ UniJIS-UCS2 UniJIS-UCS2-HW UniJIS-UTF16
		KSC-EUC KSCms-UHC KSCms-UHC-HW UniKS-UCS2 UniKS-UTF16 Identity`)
	names := strings.Fields("83pv-RKSJ-H 90pv-RKSJ-H KSCpc-EUC-H H V")
	for _, n := range both {
		names = append(names, n+"-H", n+"-V")
	}
	for _, n := range names {
		m := predefinedCMap(pdf.Name(n))
		if m.fault != "" || len(m.space) == 0 || m.vertical != strings.HasSuffix(n, "V") {
			t.Errorf("%s: %+v", n, m)
		}
	}
}

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
			table := loadCIDTable(plainReader(objs), c.o, c.stride, 1000)
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
	if table := loadCIDTable(plainReader(nil), a, 1, 1000); table.fault == "" {
		t.Error("overlaps were compared without a bound")
	}
}
