// Package words writes names, lists and page numbers for people, in sentences
// and tables. Names come from files of strangers: what is written is safe for a
// terminal, and has an end.
package words

import (
	"fmt"
	"strings"
	"unicode"
)

// maxName is how many bytes of a name people are shown: more than names have.
const maxName = 500

// Printable writes a name so that it cannot do anything to a terminal and
// shows what is in it: characters that are not seen are written out. One that
// has no end is cut.
func Printable(name string) string {
	if name == "" {
		return "(no name)"
	}
	var b strings.Builder
	for _, r := range name {
		if b.Len() >= maxName {
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

// List writes names with commas between, the first most of them.
func List(names []string, most int) string { return list(names, most, Printable) }

// Quoted writes names in quotes, the first twelve of them.
func Quoted(names []string) string {
	return list(names, 12, func(n string) string { return `"` + Printable(n) + `"` })
}

// list writes the first most names, and how many more there are. Of layers with
// one name, as programs make for each page anew, the name is listed once.
func list(names []string, most int, write func(string) string) string {
	count := map[string]int{}
	var different, parts []string
	for _, n := range names {
		if count[n]++; count[n] == 1 {
			different = append(different, n)
		}
	}
	for i, n := range different {
		if i == most {
			parts = append(parts, fmt.Sprintf("and %d more", len(different)-most))
			break
		}
		word := write(n)
		if count[n] > 1 {
			word += fmt.Sprintf(" (%d layers)", count[n])
		}
		parts = append(parts, word)
	}
	return strings.Join(parts, ", ")
}

// Plural is the word for n things.
func Plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// Count writes a number with the word for what is counted.
func Count(n int, one, many string) string { return fmt.Sprint(n, " ", Plural(n, one, many)) }

// Pages writes page numbers, runs of them as first-last.
func Pages(pages []int) string {
	var parts []string
	for i := 0; i < len(pages); {
		j := i
		for j+1 < len(pages) && pages[j+1] == pages[j]+1 {
			j++
		}
		if j == i {
			parts = append(parts, fmt.Sprint(pages[i]))
		} else {
			parts = append(parts, fmt.Sprintf("%d-%d", pages[i], pages[j]))
		}
		i = j + 1
	}
	return strings.Join(parts, ", ")
}
