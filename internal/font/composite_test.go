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
