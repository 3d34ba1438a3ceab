package font

import "bytes"

// cmapLexer cuts a CMap file into PostScript tokens. It reads any bytes.
type cmapLexer struct {
	data []byte
	pos  int
}

// token is one token; text is a part of the data without delimiters.
type token struct {
	kind tokenKind
	text []byte
}

type tokenKind int

const (
	endToken    tokenKind = iota
	wordToken             // an operator or any other run of regular characters
	numberToken           // a run that begins with a digit
	nameToken             // without its slash
	hexToken              // the digits of a hexadecimal string, with white space
	otherToken            // a string in parentheses or a delimiter
)

func (l *cmapLexer) next() token {
	l.skipSpace()
	if l.pos == len(l.data) {
		return token{}
	}
	switch b := l.data[l.pos]; b {
	case '/':
		l.pos++
		return token{nameToken, l.regular()}
	case '<':
		if bytes.HasPrefix(l.data[l.pos:], []byte("<<")) {
			l.pos += 2
			return token{kind: otherToken}
		}
		return l.hexString()
	case '(':
		l.skipString()
		return token{kind: otherToken}
	case ')', '>', '[', ']', '{', '}':
		l.pos++
		return token{kind: otherToken}
	default:
		t := token{wordToken, l.regular()}
		if b >= '0' && b <= '9' {
			t.kind = numberToken
		}
		return t
	}
}

// skipSpace passes over white space and comments.
func (l *cmapLexer) skipSpace() {
	for l.pos < len(l.data) {
		switch b := l.data[l.pos]; {
		case isSpace(b):
			l.pos++
		case b == '%':
			for l.pos < len(l.data) && l.data[l.pos] != '\n' && l.data[l.pos] != '\r' {
				l.pos++
			}
		default:
			return
		}
	}
}

func (l *cmapLexer) regular() []byte {
	start := l.pos
	for l.pos < len(l.data) && !isSpace(l.data[l.pos]) && bytes.IndexByte([]byte("()<>[]{}/%"), l.data[l.pos]) < 0 {
		l.pos++
	}
	return l.data[start:l.pos]
}

// hexString reads a hexadecimal string.
func (l *cmapLexer) hexString() token {
	start := l.pos + 1
	n := bytes.IndexByte(l.data[start:], '>')
	if n < 0 {
		l.pos = len(l.data)
		return token{hexToken, l.data[start:]}
	}
	l.pos = start + n + 1
	return token{hexToken, l.data[start : start+n]}
}

// skipString passes over a string in parentheses, which may nest.
func (l *cmapLexer) skipString() {
	for depth := 0; l.pos < len(l.data); l.pos++ {
		switch l.data[l.pos] {
		case '\\':
			l.pos = min(l.pos+1, len(l.data)-1)
		case '(':
			depth++
		case ')':
			if depth--; depth == 0 {
				l.pos++
				return
			}
		}
	}
}

func isSpace(b byte) bool {
	switch b {
	case 0, '\t', '\n', '\f', '\r', ' ':
		return true
	}
	return false
}
