package pdf

import (
	"bytes"
	"context"
	"errors"
	"strconv"
	"strings"
)

// isSpace reports whether c is a white-space character (Table 1).
func isSpace(c byte) bool {
	return c == ' ' || c == '\n' || c == '\r' || c == '\t' || c == '\f' || c == 0
}

// isDelimiter reports whether c is a delimiter (Table 2).
func isDelimiter(c byte) bool {
	switch c {
	case '(', ')', '<', '>', '[', ']', '{', '}', '/', '%':
		return true
	}
	return false
}

func isRegular(c byte) bool { return !isSpace(c) && !isDelimiter(c) }

func isDigit(c byte) bool { return '0' <= c && c <= '9' }

// lexer reads the tokens of 7.2 and 7.3 from data at pos.
type lexer struct {
	data []byte
	pos  int
	// names holds one copy of each name met; it may be shared.
	names map[string]Name
	// damage is the first fault that was passed over, "" where there is none.
	damage string
}

func (x *lexer) damaged(what string) {
	if x.damage == "" {
		x.damage = what
	}
}

// skipSpace passes white space and comments (7.2.3).
func (x *lexer) skipSpace() {
	for x.pos < len(x.data) {
		switch c := x.data[x.pos]; {
		case isSpace(c):
			x.pos++
		case c == '%':
			end := bytes.IndexAny(x.data[x.pos:], "\r\n")
			if end < 0 {
				end = len(x.data) - x.pos
			}
			x.pos += end
		default:
			return
		}
	}
}

// startsWith reports whether s stands at pos.
func (x *lexer) startsWith(s string) bool {
	return len(x.data)-x.pos >= len(s) && string(x.data[x.pos:x.pos+len(s)]) == s
}

// accept passes s if it stands at pos.
func (x *lexer) accept(s string) bool {
	if !x.startsWith(s) {
		return false
	}
	x.pos += len(s)
	return true
}

// digits reads an unsigned integer of at most ten digits.
func (x *lexer) digits() (n int64, ok bool) {
	start := x.pos
	for x.pos < len(x.data) && isDigit(x.data[x.pos]) {
		if x.pos-start == 10 {
			return 0, false
		}
		n = n*10 + int64(x.data[x.pos]-'0')
		x.pos++
	}
	return n, x.pos > start
}

// word reads a run of regular characters.
func (x *lexer) word() []byte {
	start := x.pos
	for x.pos < len(x.data) && isRegular(x.data[x.pos]) {
		x.pos++
	}
	return x.data[start:x.pos]
}

// name reads a name (7.3.5); its slash stands at pos. A number sign that no
// two hexadecimal digits follow stands for itself, and so does that of #00,
// which no name holds.
func (x *lexer) name() Name {
	x.pos++
	raw := x.word()
	if n, ok := x.names[string(raw)]; ok {
		return n
	}
	n := Name(unescapeName(raw))
	if x.names != nil {
		x.names[string(raw)] = n
	}
	return n
}

func unescapeName(raw []byte) []byte {
	if bytes.IndexByte(raw, '#') < 0 {
		return raw
	}
	out := make([]byte, 0, len(raw))
	for i := 0; i < len(raw); i++ {
		if raw[i] == '#' && i+2 < len(raw) && hexValue(raw[i+1]) >= 0 && hexValue(raw[i+2]) >= 0 {
			if c := byte(hexValue(raw[i+1])<<4 | hexValue(raw[i+2])); c != 0 {
				out = append(out, c)
				i += 2
				continue
			}
		}
		out = append(out, raw[i])
	}
	return out
}

// hexValue returns the value of a hexadecimal digit, -1 where c is none.
func hexValue(c byte) int {
	switch {
	case isDigit(c):
		return int(c - '0')
	case 'a' <= c && c <= 'f':
		return int(c-'a') + 10
	case 'A' <= c && c <= 'F':
		return int(c-'A') + 10
	}
	return -1
}

// number reads a number (7.3.3). As viewers do, it takes several signs for
// one, leaves out a minus inside, and reads no digits as 0.
func (x *lexer) number() Object {
	start := x.pos
	negative := x.data[x.pos] == '-'
	for x.pos < len(x.data) && (x.data[x.pos] == '-' || x.data[x.pos] == '+') {
		x.pos++
	}
	body := x.pos
	dots, minuses := 0, 0
	for ; x.pos < len(x.data); x.pos++ {
		c := x.data[x.pos]
		if c == '.' && dots == 0 {
			dots++
		} else if c == '-' {
			minuses++
		} else if !isDigit(c) {
			break
		}
	}
	text := x.data[body:x.pos]
	if minuses > 0 || body-start > 1 {
		x.damaged("a number with misplaced signs")
		text = bytes.ReplaceAll(text, []byte("-"), nil)
	}
	if len(text) == dots {
		x.damaged("a number without digits")
		return Integer(0)
	}
	return makeNumber(string(text), negative, dots == 0)
}

// makeNumber converts digits with at most one dot. What neither an integer nor
// a real holds to the last digit is kept as it is written.
func makeNumber(text string, negative, integer bool) Object {
	if negative {
		text = "-" + text
	}
	if integer {
		if n, err := strconv.ParseInt(text, 10, 64); err == nil {
			return Integer(n)
		}
		return Numeral(text)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || v < -largest || v > largest {
		return Numeral(text)
	}
	const exact = 15 // digits that any real holds
	if len(text) > exact+1 && strconv.FormatFloat(v, 'f', -1, 64) != plainDigits(text) {
		return Numeral(text)
	}
	return Real(v)
}

// plainDigits takes the zeros off a number that stand for nothing.
func plainDigits(text string) string {
	sign := ""
	if text[0] == '-' {
		sign, text = "-", text[1:]
	}
	text = strings.TrimLeft(text, "0")
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "" || text[0] == '.' {
		text = "0" + text
	}
	return sign + text
}

var errString = errors.New("a string does not end")

// literal reads a literal string (7.3.4.2); its parenthesis stands at pos. It
// gives errString where the string does not end.
func (x *lexer) literal() (Object, error) {
	start := x.pos + 1
	depth, plain := 1, true
	for i := start; i < len(x.data); i++ {
		switch x.data[i] {
		case '\\':
			plain = false
			i++
		case '\r':
			plain = false
		case '(':
			depth++
		case ')':
			if depth--; depth == 0 {
				x.pos = i + 1
				if plain {
					return String(x.data[start:i]), nil
				}
				return String(unescape(x.data[start:i])), nil
			}
		}
	}
	x.pos = len(x.data)
	return nil, errString
}

// unescape resolves the escape sequences of Table 3, and ends of lines.
func unescape(raw []byte) []byte {
	out := make([]byte, 0, len(raw))
	for i := 0; i < len(raw); i++ {
		switch c := raw[i]; {
		case c == '\r':
			out = append(out, '\n')
			if i+1 < len(raw) && raw[i+1] == '\n' {
				i++
			}
		case c == '\\' && i+1 < len(raw):
			var n int
			out, n = unescapeOne(out, raw[i+1:])
			i += n
		case c != '\\':
			out = append(out, c)
		}
	}
	return out
}

// unescapeOne appends what the sequence at the start of raw, after the
// backslash, stands for, and returns its length.
func unescapeOne(out, raw []byte) ([]byte, int) {
	switch c := raw[0]; c {
	case 'n':
		return append(out, '\n'), 1
	case 'r':
		return append(out, '\r'), 1
	case 't':
		return append(out, '\t'), 1
	case 'b':
		return append(out, '\b'), 1
	case 'f':
		return append(out, '\f'), 1
	case '\n':
		return out, 1
	case '\r':
		if len(raw) > 1 && raw[1] == '\n' {
			return out, 2
		}
		return out, 1
	case '0', '1', '2', '3', '4', '5', '6', '7':
		v, n := 0, 0
		for n < 3 && n < len(raw) && '0' <= raw[n] && raw[n] <= '7' {
			v = v<<3 | int(raw[n]-'0')
			n++
		}
		return append(out, byte(v)), n
	default:
		return append(out, c), 1
	}
}

// hexString reads a hexadecimal string (7.3.4.3); its angle bracket stands at
// pos. Whatever is no digit is left out. It gives errString where the string does
// not end.
func (x *lexer) hexString() (Object, error) {
	end := bytes.IndexByte(x.data[x.pos:], '>')
	if end < 0 {
		x.pos = len(x.data)
		return nil, errString
	}
	raw := x.data[x.pos+1 : x.pos+end]
	x.pos += end + 1
	out, err := unASCIIHex(context.Background(), raw)
	if err != nil {
		x.damaged("a hexadecimal string with other characters")
	}
	return String(out), nil
}
