package sizes

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// What looks like sizes in a row. Steps, letters and ages are common practice in sewing patterns, no
// source.

// countsUp reports whether values are whole numbers that count from one, as the numbers of pieces
// and pages do.
func countsUp(values []form) bool {
	numbers := numbersOf(values)
	for i, n := range numbers {
		if n != float64(i+1) {
			return false
		}
	}
	return len(numbers) > 0
}

// numbersOf are the values of numbers, ascending; none where one is something else.
func numbersOf(values []form) []float64 {
	var out []float64
	for _, v := range values {
		if v.kind != formNumber {
			return nil
		}
		out = append(out, numberValue(v.value))
	}
	slices.Sort(out)
	return out
}

// inARow says how much different values look like sizes: 2 for three in the steps of sizes and for
// what is a size by itself, such as "2XL" and "3 years", 1 for two, else 0. Steps of sizes are 2 of
// women's numbers, 4 and 12 where every second one is left out, 6 of children's heights, and from 50
// on 5 and 10. Common practice, no source; EN 13402-3 has steps of 4 cm and more for the body, from
// memory.
func inARow(values []form) int {
	if len(values) < 2 {
		return 0
	}
	switch numbers := numbersOf(values); {
	case numbers != nil:
		return min(stepsOfSizes(numbers), len(values)-1)
	case values[0].kind == formLetter:
		return lettersInARow(values)
	}
	least, most := math.Inf(1), 0.0 // of plain numbers, and of those with a letter
	for _, v := range values {
		at, ok := v.extent()
		switch {
		case !ok, v.kind == formLetter, v.kind != values[0].kind && (v.kind == formAge || values[0].kind == formAge):
			return 0
		case v.kind == formNumber:
			least = min(least, at.from)
		case v.kind == formRanged:
			most = max(most, at.from)
		}
	}
	if least < most {
		return 0
	}
	return 2
}

// inTurn is 2 for three ranges of which each begins behind the one before, as in "32-34" and
// "36-38", or two with an X, 1 for other two, else 0.
func inTurn(names []slotted) int {
	var all []extent
	withX := false
	for _, s := range names {
		e := s.place.size
		at, ok := e.extent()
		if !ok || len(e.items) != 2 || e.seps[0].kind == sepDouble || at.from == at.to ||
			at.kind == formNumber && at.to-at.from < 2 {
			return 0
		}
		withX = withX || at.kind == formLetter && strings.Contains(e.text(), "x")
		all = append(all, at)
	}
	slices.SortFunc(all, func(a, b extent) int { return cmp.Compare(a.from, b.from) })
	all = slices.Compact(all)
	for i := 1; i < len(all); i++ {
		between := all[i].from - all[i-1].to
		if all[i].form != all[0].form || between <= 0 || between > 2*(all[i-1].to-all[i-1].from) {
			return 0
		}
	}
	if withX && len(all) > 1 {
		return 2
	}
	return min(2, len(all)-1)
}

// stepsOfSizes is 2 where numbers lie in the steps of sizes, with one missing here and there.
func stepsOfSizes(numbers []float64) int {
	numbers = slices.Compact(numbers) // 00 and 0
	step, last := leastStep(numbers), numbers[len(numbers)-1]
	typical := []float64{2, 4, 6, 12}
	if numbers[0] >= 50 {
		typical = append(typical, 5, 10)
	}
	if !slices.Contains(typical, step) || last >= 200 {
		return 0
	}
	for i := 1; i < len(numbers); i++ {
		if d := numbers[i] - numbers[i-1]; d != step && d != 2*step {
			return 0
		}
	}
	return 2
}

// lettersInARow is 2 for three letters one after another, or two with an X in one, 1 for other two.
func lettersInARow(values []form) int {
	var at []float64
	withX := false
	for _, v := range values {
		if v.kind != formLetter {
			return 0
		}
		at = append(at, letterValue(v.value))
		withX = withX || strings.Contains(v.value, "x")
	}
	slices.Sort(at)
	for i := 1; i < len(at); i++ {
		if at[i]-at[i-1] > 1 { // 1X stands half a step behind XL
			return 0
		}
	}
	if withX {
		return 2
	}
	return min(2, len(at)-1)
}
