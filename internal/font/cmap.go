package font

import (
	"cmp"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/pdf"
)

// cmap maps codes to CIDs (ISO 32000-1, 9.7.5). A predefined one other than
// Identity knows only which bytes are codes: its mapping is not in the file.
type cmap struct {
	vertical bool
	space    codespace
	ranges   []cidRange // sorted, disjoint
	notdef   []cidRange
	base     *cmap    // where usecmap looks further
	identity bool     // the code is the CID
	name     pdf.Name // of a predefined CMap whose mapping is not known
	fault    string   // why its codes cannot be trusted
}

// cidRange maps the codes lo to hi of n bytes to CIDs from cid on, or in a
// notdef range all to cid.
type cidRange struct {
	n      int
	lo, hi uint32
	cid    int
}

// loadCMap reads the Encoding of a Type 0 font: a name or a stream.
func loadCMap(r reader, o pdf.Object) *cmap {
	read := func() *cmap { return loadCMapAt(r, o, 0) }
	s, ok := pdf.Resolve(r.src, o).(*pdf.Stream)
	if !ok {
		return read()
	}
	return once(r.shared, r.shared.cmaps, s, read)
}

// maxBases bounds a chain of usecmap.
const maxBases = 4

// maxCMap bounds the decoded size of a CMap stream; the largest published one
// has less than 1 MB.
const maxCMap = 4 << 20

func loadCMapAt(r reader, o pdf.Object, depth int) *cmap {
	switch e := pdf.Resolve(r.src, o).(type) {
	case pdf.Name:
		return predefinedCMap(e)
	case *pdf.Stream:
		return embeddedCMap(r, e, depth)
	}
	// The codes of most fonts have two bytes.
	return &cmap{space: twoBytes(), fault: "Type 0 font without a CMap"}
}

// embeddedCMap reads a CMap stream (Table 120). WMode and UseCMap of the
// dictionary have precedence over those of the data.
func embeddedCMap(r reader, s *pdf.Stream, depth int) *cmap {
	data, err := r.decode(r.src, s, maxCMap)
	m := &cmap{}
	if err != nil {
		m.fault = "damaged CMap"
	}
	base := parseCMap(m, data)
	if v, ok := r.integer(s.Dict["WMode"]); ok {
		m.vertical = v == 1
	}
	var use pdf.Object
	if base != "" {
		use = base
	}
	if s.Dict["UseCMap"] != nil {
		use = s.Dict["UseCMap"]
	}
	m.use(r, use, depth)
	m.finish()
	return m
}

// use takes over the codespace and the faults of a base.
func (m *cmap) use(r reader, o pdf.Object, depth int) {
	if o == nil {
		return
	}
	if depth == maxBases {
		m.setFault("a chain of UseCMap without end")
		return
	}
	m.base = loadCMapAt(r, o, depth+1)
	m.setFault(m.base.fault)
	m.space = append(m.space, m.base.space...)
}

// finish checks what was read and puts it in order.
func (m *cmap) finish() {
	if len(m.space) == 0 {
		m.space = twoBytes()
		m.setFault("CMap without codespace ranges")
	}
	if len(m.space) > maxRanges {
		m.space = m.space[:maxRanges]
		m.setFault("CMap with too many codespace ranges")
	}
	var clash, clashNotdef bool
	m.ranges, clash = disjoint(m.ranges, 1)
	m.notdef, clashNotdef = disjoint(m.notdef, 0)
	if clash || clashNotdef {
		m.setFault("CMap with two CIDs for one code")
	}
}

func (m *cmap) setFault(fault string) {
	if m.fault == "" {
		m.fault = fault
	}
}

// disjoint sorts ranges and cuts off what an earlier one already maps. clash
// is true where they map a code differently; CIDs rise by step within one.
func disjoint(all []cidRange, step int) (kept []cidRange, clash bool) {
	slices.SortStableFunc(all, func(a, b cidRange) int {
		return cmp.Or(cmp.Compare(a.n, b.n), cmp.Compare(a.lo, b.lo))
	})
	kept = make([]cidRange, 0, len(all))
	for _, s := range all {
		if n := len(kept); n > 0 && kept[n-1].n == s.n && s.lo <= kept[n-1].hi {
			last := kept[n-1]
			clash = clash || s.cid != last.cid+step*(int(s.lo)-int(last.lo))
			if s.hi <= last.hi {
				continue
			}
			s.cid += step * (int(last.hi) + 1 - int(s.lo))
			s.lo = last.hi + 1
		}
		kept = append(kept, s)
	}
	return kept, clash
}

// cid gives the CID of a code; mapped is false where that takes a mapping that
// is not known. A code that nothing maps has the CID of its notdef range, else
// 0 (9.7.6.3).
func (m *cmap) cid(code []byte) (cid int, mapped bool) {
	v := value(code)
	for c := m; c != nil; c = c.base {
		switch {
		case c.identity:
			return int(v & maxCID), true
		case c.name != "":
			return 0, false
		}
		if r := find(c.ranges, len(code), v); r != nil {
			return r.cid + int(v-r.lo), true
		}
	}
	for c := m; c != nil; c = c.base {
		if r := find(c.notdef, len(code), v); r != nil {
			return r.cid, true
		}
	}
	return 0, true
}

// value reads the bytes of a code as a number, the first the highest.
func value(code []byte) uint32 {
	var v uint32
	for _, b := range code {
		v = v<<8 | uint32(b)
	}
	return v
}

func find(ranges []cidRange, n int, v uint32) *cidRange {
	i, ok := slices.BinarySearchFunc(ranges, cidRange{n: n, lo: v}, func(a, b cidRange) int {
		return cmp.Or(cmp.Compare(a.n, b.n), cmp.Compare(a.lo, b.lo))
	})
	if !ok {
		i--
	}
	if i < 0 || ranges[i].n != n || v > ranges[i].hi {
		return nil
	}
	return &ranges[i]
}

// opaque is the name of the predefined CMap on which the mapping rests and
// which is not known, "" where there is none.
func (m *cmap) opaque() string {
	for m.base != nil {
		m = m.base
	}
	if m.name == "" {
		return ""
	}
	return shown(m.name)
}

// predefinedCMap gives a CMap by its name (ISO 32000-1, Table 118). One that
// the standard does not have is faulty.
func predefinedCMap(n pdf.Name) *cmap {
	family, dir := cutDirection(n)
	m := &cmap{vertical: dir == "V", name: n}
	if family == "Identity" && dir != "" {
		return &cmap{vertical: m.vertical, identity: true, space: twoBytes()}
	}
	if m.space = predefinedSpace(family); m.space == nil || dir == "" {
		m.fault = "unknown CMap " + shown(n)
		m.space = twoBytes()
	}
	return m
}

// cutDirection splits "90ms-RKSJ-H" into "90ms-RKSJ" and "H"; dir is "" where
// there is none. The CMaps H and V are of the family "".
func cutDirection(n pdf.Name) (family, dir string) {
	s := string(n)
	if s == "H" || s == "V" {
		return "", s
	}
	if strings.HasSuffix(s, "-H") || strings.HasSuffix(s, "-V") {
		return s[:len(s)-2], s[len(s)-1:]
	}
	return s, ""
}

// predefinedSpace gives the codespace ranges of a family, as Adobe's CMap
// resources have them, nil for an unknown one.
func predefinedSpace(family string) codespace {
	switch family {
	case "":
		return space("2121-7E7E")
	case "GB-EUC", "KSC-EUC":
		return space("00-80 A1A1-FEFE")
	case "GBpc-EUC":
		return space("00-80 FD-FF A1A1-FCFE")
	case "GBK-EUC", "GBKp-EUC":
		return space("00-80 8140-FEFE")
	case "GBK2K":
		return space("00-7F 8140-FEFE 81308130-FE39FE39")
	case "B5pc":
		return space("00-80 FD-FF A140-FCFE")
	case "HKscs-B5":
		return space("00-80 8740-FEFE")
	case "ETen-B5", "ETenms-B5":
		return space("00-80 A140-FEFE")
	case "CNS-EUC":
		return space("00-80 A1A1-FEFE 8EA1A1A1-8EA1FEFE 8EA2A1A1-8EA2FEFE 8EA3A1A1-8EA3FEFE")
	case "83pv-RKSJ", "90pv-RKSJ":
		return space("00-80 A0-DF FD-FF 8140-9FFC E040-FCFC")
	case "90ms-RKSJ", "90msp-RKSJ", "Add-RKSJ", "Ext-RKSJ":
		return space("00-80 A0-DF 8140-9FFC E040-FCFC")
	case "EUC":
		return space("00-80 8EA0-8EDF A1A1-FEFE")
	case "KSCms-UHC", "KSCms-UHC-HW":
		return space("00-80 8141-FEFE")
	case "KSCpc-EUC":
		return space("00-84 FE-FF A141-FDFE")
	case "UniGB-UCS2", "UniCNS-UCS2", "UniJIS-UCS2", "UniJIS-UCS2-HW", "UniKS-UCS2":
		return space("0000-D7FF E000-FFFF")
	case "UniGB-UTF16", "UniCNS-UTF16", "UniJIS-UTF16", "UniJIS2004-UTF16", "UniKS-UTF16":
		return space("0000-D7FF E000-FFFF D800DC00-DBFFDFFF")
	}
	return nil
}

func twoBytes() codespace { return space("0000-FFFF") }

// space reads codespace ranges from hexadecimal digits.
func space(s string) codespace {
	var c codespace
	for _, f := range strings.Fields(s) {
		lo, hi, _ := strings.Cut(f, "-")
		c = append(c, codeRange{len(lo) / 2, hexBytes(lo), hexBytes(hi)})
	}
	return c
}

func hexBytes(s string) (b [maxCode]byte) {
	for i := range len(s) {
		d, _ := hexDigit(s[i])
		b[i/2] |= d << (4 * (1 - i%2))
	}
	return b
}

// codespace is the codespace ranges of a CMap: which sequences of bytes are
// codes (ISO 32000-1, 9.7.6.2).
type codespace []codeRange

// codeRange holds the codes of n bytes of which each lies between those of lo
// and hi.
type codeRange struct {
	n      int
	lo, hi [maxCode]byte
}

// maxCode is the length of the longest code.
const maxCode = 4

// maxRanges bounds the codespace ranges of a font, so that the time for a
// string is bounded. Published CMaps have six at most.
const maxRanges = 128

// next gives the length of the code that s, which is not empty, begins with.
// valid is false where none does; n is then the number of bytes to pass over.
func (c codespace) next(s []byte) (n int, valid bool) {
	for n = 1; n <= min(maxCode, len(s)); n++ {
		for i := range c {
			if c[i].n == n && c[i].prefix(s) == n {
				return n, true
			}
		}
	}
	return c.skip(s), false
}

// skip chooses the range that matches most bytes, and of these the one with
// the shortest codes (9.7.6.3).
func (c codespace) skip(s []byte) int {
	best, n := -1, 1
	for i := range c {
		switch match := c[i].prefix(s); {
		case match > best:
			best, n = match, c[i].n
		case match == best:
			n = min(n, c[i].n)
		}
	}
	return min(n, len(s))
}

// prefix counts how many bytes of s match, from the first on.
func (r *codeRange) prefix(s []byte) int {
	for i := range min(r.n, len(s)) {
		if s[i] < r.lo[i] || s[i] > r.hi[i] {
			return i
		}
	}
	return min(r.n, len(s))
}
