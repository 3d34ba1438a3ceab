package font

import (
	"math"

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
