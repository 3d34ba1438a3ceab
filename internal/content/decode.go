package content

import "bytes"

// decodeName returns the name in a token that begins with a solidus. #xx
// stands for a byte (ISO 32000-1, 7.3.5); a number sign without two digits
// stands for itself, as in MuPDF and pdf.js.
func decodeName(token []byte) string {
	token = token[1:]
	if bytes.IndexByte(token, '#') < 0 {
		return string(token)
	}
	name := make([]byte, 0, len(token))
	for i := 0; i < len(token); i++ {
		c := token[i]
		if c == '#' && i+2 < len(token) && hexDigit(token[i+1]) >= 0 && hexDigit(token[i+2]) >= 0 {
			c = byte(hexDigit(token[i+1])<<4 | hexDigit(token[i+2]))
			i += 2
		}
		name = append(name, c)
	}
	return string(name)
}

// decodeString returns the bytes of a string token, brackets included. They
// are the token's own where nothing needs decoding, else they are in the
// buffer, which is returned for the next time.
func decodeString(token, buffer []byte) (decoded, reuse []byte) {
	inner := unbracket(token)
	if token[0] == '<' {
		buffer = appendHex(buffer[:0], inner)
		return buffer, buffer
	}
	if bytes.IndexByte(inner, '\\') < 0 && bytes.IndexByte(inner, '\r') < 0 {
		return inner, buffer
	}
	buffer = appendLiteral(buffer[:0], inner)
	return buffer, buffer
}

// unbracket takes off the brackets; the closing one is missing at the end of
// a broken stream.
func unbracket(token []byte) []byte {
	end := len(token)
	if last := token[end-1]; end > 1 && (last == ')' || last == '>') {
		end--
	}
	return token[1:end:end]
}

// appendHex decodes pairs of hexadecimal digits; a missing last one is 0
// (7.3.4.3).
func appendHex(dst, src []byte) []byte {
	high := -1
	for _, c := range src {
		d := hexDigit(c)
		switch {
		case d < 0:
		case high < 0:
			high = d
		default:
			dst = append(dst, byte(high<<4|d))
			high = -1
		}
	}
	if high >= 0 {
		dst = append(dst, byte(high<<4))
	}
	return dst
}

func hexDigit(c byte) int {
	switch {
	case c-'0' <= 9:
		return int(c - '0')
	case c|0x20 >= 'a' && c|0x20 <= 'f':
		return int(c|0x20-'a') + 10
	}
	return -1
}

// appendLiteral decodes escapes (7.3.4.2, Table 3). An end of line, whichever
// it is, is one line feed.
func appendLiteral(dst, src []byte) []byte {
	for i := 0; i < len(src); i++ {
		switch c := src[i]; {
		case c == '\\' && i+1 < len(src):
			dst, i = appendEscape(dst, src, i+1)
		case c == '\r':
			dst = append(dst, '\n')
			i = lineEnd(src, i)
		default:
			dst = append(dst, c)
		}
	}
	return dst
}

// appendEscape decodes what follows a reverse solidus at src[i] and returns
// the index of its last byte.
func appendEscape(dst, src []byte, i int) ([]byte, int) {
	const letters, meant = "nrtbf", "\n\r\t\b\f"
	c := src[i]
	if n := bytes.IndexByte([]byte(letters), c); n >= 0 {
		return append(dst, meant[n]), i
	}
	switch {
	case c-'0' <= 7:
		return appendOctal(dst, src, i)
	case c == '\n' || c == '\r':
		return dst, lineEnd(src, i)
	}
	return append(dst, c), i
}

// appendOctal decodes one to three octal digits; overflow is ignored.
func appendOctal(dst, src []byte, i int) ([]byte, int) {
	code, last := 0, i
	for ; last < i+3 && last < len(src) && src[last]-'0' <= 7; last++ {
		code = code<<3 | int(src[last]-'0')
	}
	return append(dst, byte(code)), last - 1
}

// lineEnd returns the index of the last byte of the end of line at i.
func lineEnd(src []byte, i int) int {
	if src[i] == '\r' && i+1 < len(src) && src[i+1] == '\n' {
		return i + 1
	}
	return i
}
