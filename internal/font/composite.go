package font

import (
	"cmp"
	"math"
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
)

// composite is what a Type 0 font needs to give displacements: a CMap from
// codes to CIDs and the table of advances by CID in the writing mode of the
// CMap, in thousandths.
type composite struct {
	cmap     *cmap
	advances cidTable
	byCID    bool // the advance depends on the CID
	known    bool // codes and advances can be trusted
}

// loadComposite reads a Type 0 font and its CIDFont (ISO 32000-1, 9.7.6.1,
// Table 121, and 9.7.4.1, Table 117).
func (f *Font) loadComposite(r reader, d pdf.Dict) {
	m := loadCMap(r, d["Encoding"])
	f.Vertical = m.vertical
	f.fault(m.fault)
	var cid pdf.Dict
	if a := r.array(d["DescendantFonts"]); len(a) > 0 {
		cid = r.dict(a[0])
	}
	if cid == nil {
		f.fault("Type 0 font without a descendant font")
	}
	f.extent(r, r.dict(cid["FontDescriptor"]), nil, thousandths)
	c := &composite{cmap: m}
	key := c.loadAdvances(r, cid)
	f.fault(c.advances.fault)
	c.known = f.reason == ""
	if m.opaque() != "" && c.byCID {
		f.fault("predefined CMap " + m.opaque() + " with a " + key + " array")
	}
	f.fault("a code outside the codespace of the CMap")
	f.composite = c
}

// loadAdvances reads W and DW, or W2 and DW2 for vertical writing (9.7.4.3),
// and returns the key of the table.
func (c *composite) loadAdvances(r reader, cid pdf.Dict) (key string) {
	if c.cmap.vertical {
		def := -1000.0
		if v := r.numbers(cid["DW2"], 2); v != nil {
			def = v[1]
		}
		c.advances = loadCIDTable(r, cid["W2"], 3, def)
		key = "W2"
	} else {
		c.advances = loadCIDTable(r, cid["W"], 1, r.numberOr(cid["DW"], 1000))
		key = "W"
	}
	c.byCID = !c.advances.uniform()
	return key
}

// glyphs implements Font.Glyphs.
func (c *composite) glyphs(s []byte, yield func(Glyph) bool) {
	for len(s) > 0 {
		n, valid := c.cmap.space.next(s)
		if !yield(c.glyph(s[:n], valid)) {
			return
		}
		s = s[n:]
	}
}

func (c *composite) glyph(code []byte, valid bool) Glyph {
	cid, mapped := c.cmap.cid(code)
	if !valid {
		cid = 0
	}
	return Glyph{
		Advance: c.advances.at(cid) / 1000,
		Space:   valid && len(code) == 1 && code[0] == ' ',
		Known:   c.known && valid && (mapped || !c.byCID),
	}
}

// maxCID is the highest CID there can be (ISO 32000-1, Annex C).
const maxCID = math.MaxUint16

// cidTable gives a number for each CID: what W or W2 says, else a default.
type cidTable struct {
	def    float64
	spans  []cidSpan // sorted, disjoint once load is done
	values []float64 // of the lists
	fault  string
}

// cidSpan is a range of CIDs with one value, or with one value each.
type cidSpan struct {
	lo, hi int
	list   int // position in values of that of lo, -1 where all have one value
	value  float64
}

// maxListed bounds the listed values: twice as many as there are CIDs.
const maxListed = 2 * (maxCID + 1)

// loadCIDTable reads an array of the forms "c [v ...]" and "c1 c2 v", each
// entry having stride numbers of which the first counts (ISO 32000-1,
// 9.7.4.3). Ranges are stored as such, never expanded. Where two entries give
// a CID different values, viewers choose differently, and the table is faulty.
func loadCIDTable(r reader, o pdf.Object, stride int, def float64) cidTable {
	t := cidTable{def: def}
	for a := r.array(o); len(a) > 0; {
		n := t.entry(r, a, stride)
		if n == 0 {
			t.fault = "malformed table of CID widths"
			break
		}
		a = a[n:]
	}
	t.sort()
	return t
}

// entry adds the entry that a begins with and returns its length, 0 where it
// is malformed.
func (t *cidTable) entry(r reader, a pdf.Array, stride int) int {
	lo, ok := r.integer(a[0])
	if !ok || lo < 0 || len(a) < 2 {
		return 0
	}
	if list, ok := pdf.Resolve(r.src, a[1]).(pdf.Array); ok {
		if !t.list(r, lo, list, stride) {
			return 0
		}
		return 2
	}
	hi, ok := r.integer(a[1])
	if !ok || len(a) < 2+stride {
		return 0
	}
	v, ok := r.number(a[2])
	if !ok {
		return 0
	}
	t.add(cidSpan{lo: lo, hi: hi, list: -1, value: v})
	return 2 + stride
}

// list adds the values of a list; false where one is no number or there are
// too many. An incomplete entry at the end is left out.
func (t *cidTable) list(r reader, lo int, list pdf.Array, stride int) bool {
	at := len(t.values)
	for i := 0; i+stride <= len(list); i += stride {
		v, ok := r.number(list[i])
		if !ok || len(t.values) == maxListed {
			return false
		}
		t.values = append(t.values, v)
	}
	t.add(cidSpan{lo: lo, hi: lo + len(t.values) - at - 1, list: at})
	return true
}

func (t *cidTable) add(s cidSpan) {
	if s.hi = min(s.hi, maxCID); s.lo <= s.hi {
		t.spans = append(t.spans, s)
	}
}

// sort puts the spans in order and makes them disjoint.
func (t *cidTable) sort() {
	slices.SortStableFunc(t.spans, func(a, b cidSpan) int { return cmp.Compare(a.lo, b.lo) })
	kept := make([]cidSpan, 0, len(t.spans))
	steps := maxCompared
	for _, s := range t.spans {
		for i := len(kept) - 1; i >= 0 && kept[i].hi >= s.lo && t.fault == ""; i-- {
			if !t.agree(kept[i], s, &steps) {
				t.fault = "two widths for one CID"
			}
		}
		if n := len(kept); n > 0 && s.lo <= kept[n-1].hi {
			s = s.from(kept[n-1].hi + 1)
		}
		if s.lo <= s.hi {
			kept = append(kept, s)
		}
	}
	t.spans = kept
}

// maxCompared bounds the work on overlapping spans.
const maxCompared = 1 << 20

// agree reports whether two spans give the same values where they overlap;
// false also where there are no steps left to find out.
func (t *cidTable) agree(a, b cidSpan, steps *int) bool {
	lo, hi := max(a.lo, b.lo), min(a.hi, b.hi)
	if a.list < 0 && b.list < 0 {
		hi = min(hi, lo) // one value each
	}
	for cid := lo; cid <= hi; cid++ {
		if *steps--; *steps < 0 || t.value(a, cid) != t.value(b, cid) {
			return false
		}
	}
	return true
}

// from is the part of a span from a CID on.
func (s cidSpan) from(lo int) cidSpan {
	if s.list >= 0 {
		s.list += lo - s.lo
	}
	s.lo = lo
	return s
}

func (t *cidTable) value(s cidSpan, cid int) float64 {
	if s.list < 0 {
		return s.value
	}
	return t.values[s.list+cid-s.lo]
}

// at gives the number for a CID.
func (t *cidTable) at(cid int) float64 {
	i, ok := slices.BinarySearchFunc(t.spans, cid, func(s cidSpan, cid int) int { return cmp.Compare(s.lo, cid) })
	if !ok {
		i--
	}
	if i < 0 || cid > t.spans[i].hi {
		return t.def
	}
	return t.value(t.spans[i], cid)
}

// uniform reports whether every CID has the default.
func (t *cidTable) uniform() bool {
	for _, s := range t.spans {
		if s.list < 0 && s.value != t.def {
			return false
		}
	}
	return !slices.ContainsFunc(t.values, func(v float64) bool { return v != t.def })
}
