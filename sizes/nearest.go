package sizes

import (
	"math"
	"strconv"
	"strings"
)

// Nearest returns the choice that is most like the word, or "" when none is
// like it. Numbers are compared by value, where a tie goes up; all else by the
// number of letters to add, drop, change or swap, of which it allows one in
// three and at least one. A word cut short is as good as one letter off.
func Nearest(word string, choices []string) string {
	if best, ok := nearestNumber(word, choices); ok {
		return best
	}
	w := []rune(fold(word))
	if len(w) > 64 {
		return "" // a sentence, not a slip of the pen
	}
	best, least := "", max(1, len(w)/3)+1
	for _, choice := range choices {
		c := []rune(fold(choice))
		n := distance(w, c)
		if len(w) > 1 && strings.HasPrefix(string(c), string(w)) {
			n = min(n, 1)
		}
		if n < least && n < max(len(w), len(c)) {
			best, least = choice, n
		}
	}
	return best
}

func nearestNumber(word string, choices []string) (string, bool) {
	want, err := strconv.ParseFloat(fold(word), 64)
	if err != nil || math.IsNaN(want) || math.IsInf(want, 0) {
		return "", false
	}
	best, least, value := "", math.Inf(1), 0.0
	for _, choice := range choices {
		have, err := strconv.ParseFloat(fold(choice), 64)
		if err != nil {
			continue
		}
		off := math.Abs(have - want)
		if off < least || off == least && have > value {
			best, least, value = choice, off, have
		}
	}
	return best, best != ""
}

// distance is the least number of runes to add, drop or change, or of
// neighbours to swap, that turns one text into the other: the Levenshtein
// distance with swaps, in which no rune is touched twice.
func distance(a, b []rune) int {
	var before []int // the row two above
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		next := make([]int, len(b)+1)
		next[0] = i + 1
		for j := range b {
			next[j+1] = min(row[j+1]+1, next[j]+1, row[j]+unlike(a[i], b[j]))
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				next[j+1] = min(next[j+1], before[j-1]+1)
			}
		}
		before, row = row, next
	}
	return row[len(b)]
}

func unlike(a, b rune) int {
	if a == b {
		return 0
	}
	return 1
}
