package words

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"
)

// How much of what strangers wrote is shown, in bytes.
const (
	maxName = 500  // of a name: more than names have
	maxLine = 4000 // of a line, which may hold several
)

// Printable writes a name so that it cannot do anything to a terminal and
// shows what is in it: characters that are not seen are written out. One that
// has no end is cut.
func Printable(name string) string {
	if name == "" {
		return "(no name)"
	}
	return writtenOut(name, maxName)
}

// Line makes one line of a text in which there may be names that nobody has
// looked at. Tabs stay; of a line that has no end the middle goes.
func Line(text string) string {
	parts := strings.Split(text, "\t")
	for i, part := range parts {
		parts[i] = writtenOut(part, math.MaxInt)
	}
	return Middle(strings.Join(parts, "\t"), maxLine)
}

// writtenOut writes characters that are not seen as <U+202E>, until there are
// most bytes.
func writtenOut(text string, most int) string {
	var b strings.Builder
	for _, r := range text {
		if b.Len() >= most {
			b.WriteRune('…')
			break
		}
		if unicode.IsPrint(r) || r == '\u3000' {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, "<U+%04X>", r)
		}
	}
	return b.String()
}

// Harmless replaces, one for one so that columns still count, what could move a
// terminal's cursor or turn text round. Tabs stay.
func Harmless(text string) string {
	return strings.Map(func(r rune) rune {
		if acts(r) && r != '\t' {
			return unicode.ReplacementChar
		}
		return r
	}, strings.ToValidUTF8(text, string(unicode.ReplacementChar)))
}

// acts reports whether a character is no sign and no blank: it controls, turns
// or joins what stands around it, or has no meaning.
func acts(r rune) bool { return !unicode.IsGraphic(r) }

// Cut is a text of at most n characters, the last of which says that it was cut.
func Cut(text string, n int) string {
	if r := []rune(text); len(r) > n {
		return string(r[:n-1]) + "…"
	}
	return text
}

// Middle takes the middle out of a text of more than about n bytes, since what
// to do stands at the end of a sentence.
func Middle(text string, n int) string {
	if len(text) <= n {
		return text
	}
	head, tail := n*3/4, len(text)-n/4
	for head > 0 && !utf8.RuneStart(text[head]) {
		head--
	}
	for tail < len(text) && !utf8.RuneStart(text[tail]) {
		tail++
	}
	return text[:head] + " … " + text[tail:]
}

// EncodeJSON writes a value as JSON (RFC 8259) for programs, which a person may
// look at too: indented, and with every character that acts on a terminal as
// \u202e, which is the same value.
func EncodeJSON(w io.Writer, v any) error {
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return err
	}
	_, err := io.WriteString(w, escaped(b.String()))
	return err
}

// escaped writes what acts in a JSON text by its number: a pair of them beyond
// U+FFFF (RFC 8259, 7). Such characters stand in strings alone, but for the line
// ends between values, which stay.
func escaped(text string) string {
	if !strings.ContainsFunc(text, func(r rune) bool { return acts(r) && r != '\n' }) {
		return text
	}
	var b strings.Builder
	for _, r := range text {
		switch {
		case !acts(r) || r == '\n':
			b.WriteRune(r)
		case r > 0xFFFF:
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(&b, `\u%04x\u%04x`, high, low)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return b.String()
}
