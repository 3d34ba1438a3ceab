package font

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/internal/pdf"
)

// exampleCMap is after the example of ISO 32000-1, 9.7.5.4, from memory: the
// shape and the codespace are those of the standard.
const exampleCMap = `%!PS-Adobe-3.0 Resource-CMap
%%DocumentNeededResources: ProcSet (CIDInit)
/CIDInit /ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo
3 dict dup begin
/Registry (Adobe) def
/Ordering (Japan1 \) begincidrange) def
/Supplement 0 def
end def
/CMapName /90ms-RKSJ-H def
/CMapVersion 10.001 def
/CMapType 1 def
/UIDOffset 950 def
/XUID [ 1 10 25343 ] def
/WMode 0 def
4 begincodespacerange
<00> <80>
<8140> <9FFC>
<A0> <DF>
<E040> <FCFC>
endcodespacerange
1 beginnotdefrange
<00> <1F> 231
endnotdefrange
100 begincidrange
<20> <7D> 231
<7E> <7E> 631
<8140> <817E> 633
<8180> <81AC> 696
<81B8> <81BF> 741
<FB40> <FB7E> 8518
<FC40> <FC4B> 8706
endcidrange
endcmap
CMapName currentdict /CMap defineresource pop
end
end
%%EndResource
%%EOF
`

func stream(data string) *pdf.Stream { return &pdf.Stream{Dict: pdf.Dict{}, Raw: []byte(data)} }

// small is a CMap with the given sections.
func small(sections string) *pdf.Stream {
	return stream("begincmap 1 begincodespacerange <00> <7F> endcodespacerange " + sections + " endcmap")
}

func TestCMap(t *testing.T) {
	objs := objects{1: small("1 begincidrange <00> <7F> 1000 endcidrange 1 begincidchar <41> 7 endcidchar")}
	objs[2] = &pdf.Stream{Dict: pdf.Dict{"UseCMap": pdf.Ref(2)}, Raw: []byte("1 begincodespacerange <00> <FF> endcodespacerange")}
	use := func(o pdf.Object, data string) *pdf.Stream {
		return &pdf.Stream{Dict: pdf.Dict{"UseCMap": o}, Raw: []byte(data)}
	}
	for _, c := range []struct {
		name  string
		o     pdf.Object
		codes []string
		want  []int // -1 where the mapping is not known
		fault string
	}{
		{"the example of 9.7.5.4", stream(exampleCMap),
			[]string{"\x20", "\x7d", "\x7e", "\x81\x40", "\x81\x7e", "\x81\x80", "\xfc\x4b"},
			[]int{231, 324, 631, 633, 695, 696, 8717}, ""},
		{"notdef range", stream(exampleCMap), []string{"\x00", "\x1f"}, []int{231, 231}, ""},
		{"no mapping", stream(exampleCMap), []string{"\x80", "\x90\x40"}, []int{0, 0}, ""},
		{"codes of other lengths differ", small("1 begincidchar <0041> 7 endcidchar"), []string{"A", "\x00A"}, []int{0, 7}, ""},
		{"cidchar", small("2 begincidchar <41> 7 <42> 9 endcidchar"), []string{"A", "B", "C"}, []int{7, 9, 0}, ""},
		{"white space and comments", small("1 begincidchar < 4 1 > %no\n 7\x00endcidchar"), []string{"A"}, []int{7}, ""},
		{"notdefchar", small("1 beginnotdefchar <41> 7 endnotdefchar"), []string{"A"}, []int{7}, ""},
		{"bf sections mean nothing here", small("1 beginbfchar <41> <0042> endbfchar"), []string{"A"}, []int{0}, ""},
		{"a name is no operator", small("/begincidchar <41> 7"), []string{"A"}, []int{0}, ""},
		{"Identity", pdf.Name("Identity-H"), []string{"\x01\x02"}, []int{0x102}, ""},
		{"indirect", pdf.Ref(1), []string{"B"}, []int{1066}, "CMap with two CIDs for one code"},
		{"the same CID twice", small("1 begincidrange <00> <20> 5 endcidrange 1 begincidrange <10> <30> 21 endcidrange"),
			[]string{"\x00", "\x20", "\x30"}, []int{5, 37, 53}, ""},
		{"usecmap of a predefined one, own mapping first", small("/Identity-H usecmap 1 begincidchar <0041> 7 endcidchar"),
			[]string{"\x00A", "\x00B"}, []int{7, 66}, ""},
		{"usecmap of one whose mapping is not known", small("/90ms-RKSJ-H usecmap 1 begincidchar <41> 7 endcidchar"),
			[]string{"A", "B"}, []int{7, -1}, ""},
		{"UseCMap of a stream", use(small("1 begincidchar <41> 7 <42> 8 endcidchar"), "1 begincidchar <41> 9 endcidchar"),
			[]string{"A", "B", "C"}, []int{9, 8, 0}, ""},
		{"UseCMap goes before usecmap", use(pdf.Name("Identity-H"), "/nonesuch usecmap"), []string{"\x00A"}, []int{65}, ""},
		{"usecmap of an unknown one", small("/nonesuch usecmap"), nil, nil, "unknown CMap nonesuch"},
		{"a chain without end", pdf.Ref(2), nil, nil, "a chain of UseCMap without end"},
		{"unknown name", pdf.Name("Tollmere-H"), nil, nil, "unknown CMap Tollmere-H"},
		{"no name and no stream", ints(1), nil, nil, "Type 0 font without a CMap"},
		{"no codespace", stream("1 begincidchar <41> 7 endcidchar"), nil, nil, "CMap without codespace ranges"},
		{"too many codespace ranges", stream("begincodespacerange" + strings.Repeat("<00> <7F>", 1000) + "endcodespacerange"), nil, nil, "CMap with too many codespace ranges"},
		{"code lengths differ", small("1 begincidrange <00> <FFFF> 1 endcidrange"), nil, nil, "malformed CMap"},
		{"code of five bytes", small("1 begincidchar <0000000041> 1 endcidchar"), nil, nil, "malformed CMap"},
		{"no CID", small("1 begincidchar <41> endcidchar"), nil, nil, "malformed CMap"},
		{"negative CID", small("1 begincidchar <41> -1 endcidchar"), nil, nil, "malformed CMap"},
		{"CID beyond the last", small("1 begincidchar <41> 65536 endcidchar"), nil, nil, "malformed CMap"},
		{"foreign operator in a section", small("1 begincidchar <41> 1 dup <42> 2 endcidchar"), nil, nil, "malformed CMap"},
		{"cut off in a section", stream("1 begincodespacerange <00> <FF>"), nil, nil, "malformed CMap"},
		{"a section after a malformed one is read", small("1 begincidchar (A) 1 <41> 2 endcidchar 1 begincidchar <42> 3 endcidchar"),
			[]string{"A", "B"}, []int{0, 3}, "malformed CMap"},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := loadCMap(plainReader(objs), c.o)
			var got []int
			for _, code := range c.codes {
				cid, mapped := m.cid([]byte(code))
				if !mapped {
					cid = -1
				}
				got = append(got, cid)
			}
			if d := cmp.Diff(c.want, got, nearly); d != "" {
				t.Error(d)
			}
			if m.fault != c.fault {
				t.Errorf("fault %q, want %q", m.fault, c.fault)
			}
		})
	}
}

// WMode of the stream dictionary and of the file should be equal (Table 120);
// where they are not, the dictionary decides.
func TestCMapWritingMode(t *testing.T) {
	in := func(d pdf.Dict, data string) *pdf.Stream { return &pdf.Stream{Dict: d, Raw: []byte(data)} }
	for _, c := range []struct {
		name string
		o    pdf.Object
		want bool
	}{
		{"Identity-H", pdf.Name("Identity-H"), false},
		{"Identity-V", pdf.Name("Identity-V"), true},
		{"V", pdf.Name("V"), true},
		{"UniJIS-UCS2-HW-V", pdf.Name("UniJIS-UCS2-HW-V"), true},
		{"default", in(nil, ""), false},
		{"in the file", in(nil, "/WMode 1 def"), true},
		{"in the dictionary", in(pdf.Dict{"WMode": pdf.Integer(1)}, ""), true},
		{"in both", in(pdf.Dict{"WMode": pdf.Integer(0)}, "/WMode 1 def"), false},
		{"not of the base", in(pdf.Dict{"UseCMap": pdf.Name("Identity-V")}, ""), false},
	} {
		if m := loadCMap(plainReader(nil), c.o); m.vertical != c.want {
			t.Errorf("%s: vertical %v", c.name, m.vertical)
		}
	}
}

// Of a damaged stream the part before the damage is a guess.
func TestCMapDamaged(t *testing.T) {
	r := reader{shared: NewLibrary(nil), decode: func(_ pdf.Objects, s *pdf.Stream, limit int64) ([]byte, error) {
		if limit <= 0 {
			t.Errorf("decoded without a limit")
		}
		return s.Raw, errors.New("bad data")
	}}
	m := loadCMap(r, small("1 begincidchar <41> 7 endcidchar"))
	if cid, _ := m.cid([]byte("A")); cid != 7 || m.fault != "damaged CMap" {
		t.Errorf("CID %d, fault %q", cid, m.fault)
	}
}

// Load decodes the stream of a CMap.
func TestLoadCompressedCMap(t *testing.T) {
	f := NewLibrary(nil).Load(type0(pdf.NewStream(context.Background(), pdf.Dict{}, []byte(exampleCMap)), pdf.Dict{"W": ints(231, 231, 500)}))
	if d := cmp.Diff([]float64{500, 1000}, advances(f, " \x81\x40"), nearly); d != "" {
		t.Error(d, f.Reason())
	}
}

// Codes by ISO 32000-1, 9.7.6.2; what to pass over where none matches by
// 9.7.6.3. A negative length stands for bytes that are no code.
func TestCodespace(t *testing.T) {
	const mixed = "00-80 8140-9FFC A0-DF E040-FCFC" // of 90ms-RKSJ-H
	for _, c := range []struct {
		name, space, s string
		want           []int
	}{
		{"two bytes", "0000-FFFF", "abcd", []int{2, 2}},
		{"odd number of bytes", "0000-FFFF", "abc", []int{2, -1}},
		{"mixed", mixed, "A\x81\x40\xa0\xfc\xfc\x80", []int{1, 2, 1, 2, 1}},
		{"each byte has its own range", mixed, "\x9f\x3f", []int{-2}},
		{"second byte out of range: length of the partial match", mixed, "\x81\x20A", []int{-2, 1}},
		{"first byte in no range: the shortest", mixed, "\xfd\x40", []int{-1, 1}},
		{"first byte in no range, all of two bytes", "2121-7E7E", "\x20\x21\x21\x21", []int{-2, 2}},
		{"longest partial match", "00-7F 8140-FEFE 81308130-FE39FE39", "\x81\x30\x81\x20\x81\x30\x81\x30", []int{-4, 4}},
		{"partial matches of one length: the shortest", "00-7F 8140-FEFE 81308130-FE39FE39", "\x81\x20\x20\x20", []int{-2, 1, 1}},
		{"surrogates", "0000-D7FF E000-FFFF D800DC00-DBFFDFFF", "\x00\x41\xd8\x40\xdc\x0b\xe0\x00", []int{2, 4, 2}},
		{"lone surrogate", "0000-D7FF E000-FFFF D800DC00-DBFFDFFF", "\xd8\x40\x00\x41", []int{-4}},
	} {
		t.Run(c.name, func(t *testing.T) {
			space := space(c.space)
			var got []int
			for s := []byte(c.s); len(s) > 0; {
				n, valid := space.next(s)
				s = s[n:]
				if !valid {
					n = -n
				}
				got = append(got, n)
			}
			if d := cmp.Diff(c.want, got); d != "" {
				t.Error(d)
			}
		})
	}
}

// Any CMap file is read to the end, and what it maps stays within what it
// says: a CID that is no higher than the highest there is, unless a range runs
// over the end.
func FuzzCMap(f *testing.F) {
	f.Add([]byte(exampleCMap), []byte("A\x81\x40"))
	f.Add([]byte("1 begincidrange <00000000> <FFFFFFFF> 65535 endcidrange"), []byte("\xff\xff\xff\xff"))
	f.Add([]byte("/Identity-H usecmap ((( \\"), []byte("\xff"))
	f.Fuzz(func(t *testing.T, data, s []byte) {
		m := loadCMap(plainReader(nil), stream(string(data)))
		for i := 1; i < len(m.ranges); i++ {
			if a, b := m.ranges[i-1], m.ranges[i]; a.n > b.n || a.n == b.n && a.hi >= b.lo || a.lo > a.hi {
				t.Fatalf("ranges %v and %v are not in order", a, b)
			}
		}
		for len(s) > 0 {
			n, _ := m.space.next(s)
			if n < 1 || n > len(s) {
				t.Fatalf("a code of %d bytes in %d", n, len(s))
			}
			m.cid(s[:n])
			s = s[n:]
		}
	})
}
