package sizes

import (
	"fmt"
	"strings"
)

// grade says what to grade where measurements fall in several sizes, at their
// positions in the chart, or "". On the way along the body, in the order of the
// measurements, it names only where the size stops growing or shrinking.
func (f *Fit) grade(at []int) string {
	if len(f.Sizes) < 2 {
		return ""
	}
	var has []string
	for _, m := range f.Measurements {
		has = append(has, m.Name+" "+m.Size)
	}
	var ways []string
	last := -1
	for _, way := range gradeWays(at) {
		from := fmt.Sprintf("from %s at the %s ", f.Measurements[way[0]].Size, f.Measurements[way[0]].Name)
		if way[0] == last {
			from = "then "
		}
		last = way[1]
		ways = append(ways, fmt.Sprintf("%sto %s at the %s", from, f.Measurements[last].Size, f.Measurements[last].Name))
	}
	return strings.Join(has, ", ") + ": grade " + strings.Join(ways, ", ")
}

// gradeWays splits a row of sizes into runs that only grow or only shrink, each
// with its first and last position, without those at which nothing changes.
func gradeWays(at []int) [][2]int {
	var ways [][2]int
	for i := 1; i < len(at); i++ {
		if at[i] == at[i-1] {
			continue
		}
		grows := at[i] > at[i-1]
		if n := len(ways); n > 0 && grows == (at[ways[n-1][1]] > at[ways[n-1][0]]) {
			ways[n-1][1] = i
			continue
		}
		ways = append(ways, [2]int{i - 1, i})
	}
	return ways
}
