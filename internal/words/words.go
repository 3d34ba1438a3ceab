// Package words writes names, lists and page numbers for people, in sentences
// and tables. Names come from files of strangers: what is written is safe for a
// terminal, and has an end. What makes it so is in shown.go.
package words

import (
	"fmt"
	"strings"
)

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
