package pdf

import (
	"cmp"
	"encoding/hex"
	"math"
	"slices"
	"strings"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// convertAll takes over all objects that pdfcpu has read, and measures the
// data of streams: pdfcpu trusts every Length. Cross-reference and object
// streams are the file's own structure and no objects here. odd are objects
// that did not come from pdfcpu.
func (l *loader) convertAll(ctx *model.Context, odd map[Ref]Object) (lost int, err error) {
	l.objects, l.streams = make(map[Ref]Object, len(ctx.Table)), nil
	c := converter{left: l.lim.ObjectBytes, names: map[string]Name{}}
	ends := streamEnds{data: l.data}
	for _, nr := range inFileOrder(ctx) {
		e := ctx.Table[nr]
		if o := odd[Ref(nr)]; o != nil && !isStream(e.Object) {
			l.objects[Ref(nr)] = o
			continue
		}
		if e.Object == nil {
			if e.Offset != nil && *e.Offset > 0 || e.Compressed {
				lost++
			}
			continue
		}
		dict, _ := odd[Ref(nr)].(Dict)
		if o := l.convert(&c, Ref(nr), e.Object, dict, &ends); o != nil {
			l.objects[Ref(nr)] = o
		}
		if c.left < 0 {
			return 0, &LimitError{"bytes of objects", l.lim.ObjectBytes}
		}
	}
	return lost, l.ctx.Err()
}

// inFileOrder lists the numbers in use, those of streams by where their data
// stands, so that each byte is looked at once.
func inFileOrder(ctx *model.Context) []int {
	var list []int
	at := func(nr int) int64 {
		if sd, ok := ctx.Table[nr].Object.(types.StreamDict); ok {
			return sd.StreamOffset
		}
		return -1
	}
	for nr, e := range ctx.Table {
		if e != nil && !e.Free && nr > 0 && nr <= maxNumber {
			list = append(list, nr)
		}
	}
	slices.SortFunc(list, func(a, b int) int { return cmp.Or(cmp.Compare(at(a), at(b)), cmp.Compare(a, b)) })
	return list
}

func isStream(o types.Object) bool { _, ok := o.(types.StreamDict); return ok }

// convert takes over one object. Where there is a dictionary, it takes the place
// of a stream's.
func (l *loader) convert(c *converter, num Ref, o types.Object, dict Dict, ends *streamEnds) Object {
	sd, ok := o.(types.StreamDict)
	if !ok {
		return c.object(o, 0)
	}
	if dict == nil {
		dict = c.dict(sd.Dict, 0)
	}
	delete(dict, "Length")
	s := &Stream{Dict: dict, Raw: sd.Raw}
	if start := int(sd.StreamOffset); start > 0 && start <= len(l.data) {
		end, trusted := ends.find(start, len(sd.Raw))
		if !trusted {
			l.warn.add("object %d: the length of the stream is wrong; it was measured", num)
		}
		s.Raw = l.data[start:end:end]
	}
	return s
}

// converter turns pdfcpu's objects into ours.
type converter struct {
	left  int64 // bytes that may still be taken over, about
	names map[string]Name
}

// object converts what is no stream. What is nested too deep is null.
func (c *converter) object(o types.Object, depth int) Object {
	if c.left -= 16; depth > maxNesting || c.left < 0 {
		return nil
	}
	switch o := o.(type) {
	case types.Boolean:
		return bool(o)
	case types.Integer:
		return Integer(o)
	case types.Float:
		return real(float64(o))
	case types.Name:
		return c.name(string(o))
	case types.StringLiteral:
		c.left -= int64(len(o))
		return String(unescape([]byte(o)))
	case types.HexLiteral:
		c.left -= int64(len(o))
		return hexBytes(string(o))
	case types.IndirectRef:
		if n := int(o.ObjectNumber); n > 0 && n <= maxNumber {
			return Ref(n)
		}
		return nil
	case *types.IndirectRef:
		if o == nil {
			return nil
		}
		return c.object(*o, depth)
	case types.Array:
		a := make(Array, len(o))
		for i, v := range o {
			a[i] = c.object(v, depth+1)
		}
		return a
	case types.Dict:
		return c.dict(o, depth)
	}
	return nil
}

// dict converts a dictionary; entries that are null are left out (7.3.7).
func (c *converter) dict(o types.Dict, depth int) Dict {
	d := make(Dict, len(o))
	for k, v := range o {
		if v := c.object(v, depth+1); v != nil {
			d[c.name(k)] = v
		}
	}
	return d
}

// name gives equal names one copy. pdfcpu has decoded #xx already.
func (c *converter) name(s string) Name {
	n, ok := c.names[s]
	if !ok {
		c.left -= int64(len(s))
		n = Name(strings.Clone(s))
		if c.names != nil {
			c.names[s] = n
		}
	}
	return n
}

// largest bounds numbers: readers, pdfcpu among them, take one whose digits
// before the point make no 64-bit integer for 0. Nothing on a page is as far
// off (Annex C.2, Table C.1 asks for 3.4e38, which no picture needs).
const largest = 9e18

// real is a number that can be written and read again.
func real(v float64) Object {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Integer(0)
	}
	return Real(min(max(v, -largest), largest))
}

// hexBytes decodes the digits of a hexadecimal string; a last one alone is
// followed by 0 (7.3.4.3).
func hexBytes(digits string) String {
	if len(digits)%2 > 0 {
		digits += "0"
	}
	b, err := hex.DecodeString(digits)
	if err != nil {
		return ""
	}
	return String(b)
}
