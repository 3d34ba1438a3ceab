package sizes

import (
	"fmt"
	"strings"
)

// How lists and numbers are written in reasons, notes and errors.

// quoteAll lists names for a sentence: `"8", "10" and "12"`.
func quoteAll(names []string) string { return andList(quoted(names)) }

func quoted(names []string) []string {
	out := make([]string, len(names))
	for i, name := range names {
		out[i] = fmt.Sprintf("%q", name)
	}
	return out
}

func andList(words []string) string { return wordList(words, " and ") }

// wordList writes a list with a word before the last.
func wordList(words []string, before string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + before + words[last]
}

// quoteSome is quoteAll cut to a few names, for lists of unknown length.
func quoteSome(names []string) string {
	const few = 12
	if len(names) <= few {
		return quoteAll(names)
	}
	return quoteAll(names[:few]) + fmt.Sprintf(" and %d more", len(names)-few)
}

// sizeWords writes labels with the noun: `size "8"`, `sizes "8" and "10"`.
func sizeWords(labels []string) string {
	if len(labels) == 1 {
		return "size " + quoteAll(labels)
	}
	return "sizes " + quoteAll(labels)
}

// count writes a number with its noun: "no size", "1 size", "2 sizes".
func count(n int, noun string) string {
	switch n {
	case 0:
		return "no " + noun
	case 1:
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// clip cuts a text to what a reason quotes.
func clip(s string) string {
	if r := []rune(s); len(r) > maxQuote {
		return string(r[:maxQuote]) + "..."
	}
	return s
}
