package content

// imageParams are the entries of an inline image that tell the length of its
// data (ISO 32000-1, 8.9.7, Tables 93 and 94).
type imageParams struct {
	width, height int
	bits          int // for each component
	components    int // 0: unknown
	mask          bool
	filter        string // of several the first to be undone, "" for none
	earlyChange   bool   // of LZWDecode
	length        int    // -1: not given
}

// imageParams reads the entries. Those of the wrong kind count as missing.
func (s *Scanner) imageParams(dict Operand) imageParams {
	p := imageParams{earlyChange: true, length: -1}
	o := Operation{data: s.data}
	o.EntriesOf(dict, func(key string, value Operand) bool {
		switch key {
		case "W", "Width":
			p.width = o.intOf(value)
		case "H", "Height":
			p.height = o.intOf(value)
		case "BPC", "BitsPerComponent":
			p.bits = o.intOf(value)
		case "L", "Length": // since PDF 2.0 (ISO 32000-2, 8.9.7)
			p.length = o.intOf(value)
		case "IM", "ImageMask":
			p.mask = string(o.RawOf(value)) == "true"
		case "CS", "ColorSpace":
			p.components = s.components(&o, value)
		case "F", "Filter":
			p.filter, _ = o.NameOf(o.firstOf(value))
		case "DP", "DecodeParms":
			p.earlyChange = o.earlyChange(o.firstOf(value))
		}
		return true
	})
	return p
}

// rawSize returns the length of the data without filters: rows begin at a
// byte (8.9.5.2). False if it is unknown or beyond any stream.
func (p *imageParams) rawSize() (int, bool) {
	bits, components := p.bits, p.components
	if p.mask {
		bits, components = 1, 1
	}
	const limit = 1 << 30
	if p.width <= 0 || p.height <= 0 || p.width > limit || p.height > limit ||
		bits <= 0 || bits > 16 || components <= 0 || components > 32 {
		return 0, false
	}
	row := (int64(p.width)*int64(bits)*int64(components) + 7) / 8
	if row > limit/int64(p.height) {
		return 0, false
	}
	return int(row) * p.height, true
}

// components returns the number of components of a colour space, 0 if it is
// unknown. An array is an Indexed space, the only one that inline images may
// have.
func (s *Scanner) components(o *Operation, e Operand) int {
	array := e.Kind == Array
	name, _ := o.NameOf(o.firstOf(e))
	switch name {
	case "G", "DeviceGray", "CalGray":
		return 1
	case "RGB", "DeviceRGB", "CalRGB", "Lab":
		return 3
	case "CMYK", "DeviceCMYK":
		return 4
	case "I", "Indexed":
		return 1
	}
	if name == "" || array || s.ColourComponents == nil {
		return 0
	}
	n, _ := s.ColourComponents(name)
	return n
}

// intOf returns a number as an integer, -1 if it is none or negative.
func (o *Operation) intOf(e Operand) int {
	v, ok := o.FloatOf(e)
	if !ok || v < 0 || v > 1<<31-1 {
		return -1
	}
	return int(v)
}

// firstOf returns the first element of an array, and any other operand
// itself.
func (o *Operation) firstOf(e Operand) Operand {
	if e.Kind != Array {
		return e
	}
	var first Operand
	o.ElementsOf(e, func(e Operand) bool {
		first = e
		return false
	})
	return first
}

// earlyChange reads that entry of LZWDecode's parameters (Table 8); the
// default is true.
func (o *Operation) earlyChange(e Operand) bool {
	early := true
	o.EntriesOf(e, func(key string, value Operand) bool {
		if key == "EarlyChange" {
			early = o.intOf(value) != 0
		}
		return true
	})
	return early
}
