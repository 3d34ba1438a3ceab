package typeface

import "fmt"

// dashes and quotation marks that WinAnsiEncoding has beside ASCII and Latin-1
// (ISO 32000-1, annex D.2).
var extra = [...]struct {
	code byte
	r    rune
}{{0x91, '‘'}, {0x92, '’'}, {0x93, '“'}, {0x94, '”'}, {0x96, '–'}, {0x97, '—'}}

// Encode gives the codes of a text in WinAnsiEncoding: ASCII, the printing
// characters of Latin-1, and the dashes and quotation marks.
func Encode(text string) ([]byte, error) {
	var codes []byte
	for _, r := range text {
		code, ok := encode(r)
		if !ok {
			return nil, fmt.Errorf("text %q: no code for %q in WinAnsiEncoding", text, r)
		}
		codes = append(codes, code)
	}
	return codes, nil
}

func encode(r rune) (byte, bool) {
	if r < 256 {
		back, ok := decode(byte(r))
		return byte(r), ok && back == r
	}
	for _, e := range extra {
		if e.r == r {
			return e.code, true
		}
	}
	return 0, false
}

func decode(code byte) (rune, bool) {
	if code >= ' ' && code <= '~' || code > 0xa0 && code != 0xad {
		return rune(code), true
	}
	for _, e := range extra {
		if e.code == code {
			return e.r, true
		}
	}
	return 0, false
}
