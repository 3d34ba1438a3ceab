package font

import "github.com/sizeply/sizeply/internal/pdf"

// encoding reads the Encoding of a font with the metrics of s: glyph names by
// code, "" where there is none (ISO 32000-1, 9.6.6, Table 114). What it leaves
// open is the font's own encoding, for the text fonts StandardEncoding.
func (s standard) encoding(r reader, o pdf.Object) *[256]string {
	base := s.builtIn()
	switch e := pdf.Resolve(r.src, o).(type) {
	case pdf.Name:
		return namedEncoding(e, base)
	case pdf.Dict:
		base = namedEncoding(r.name(e["BaseEncoding"]), base)
		return differences(r, r.array(e["Differences"]), base)
	}
	return base
}

func (s standard) builtIn() *[256]string {
	switch s {
	case symbol:
		return &symbolEncoding
	case zapfDingbats:
		return &zapfEncoding
	}
	return &standardEncoding
}

func namedEncoding(n pdf.Name, def *[256]string) *[256]string {
	switch n {
	case "StandardEncoding": // no value of Encoding by Table 111, but met
		return &standardEncoding
	case "WinAnsiEncoding":
		return &winAnsiEncoding
	case "MacRomanEncoding":
		return &macRomanEncoding
	case "MacExpertEncoding":
		return &macExpertEncoding
	}
	return def
}

// differences gives base as a Differences array changes it: a number is a
// code, each name after it goes to that code and the next ones.
func differences(r reader, a pdf.Array, base *[256]string) *[256]string {
	enc := *base
	code := 0
	for _, o := range a {
		if n, ok := pdf.Resolve(r.src, o).(pdf.Name); ok {
			if code >= 0 && code < len(enc) {
				enc[code] = string(n)
			}
			code++
		} else if v, ok := r.integer(o); ok {
			code = v
		}
	}
	return &enc
}
