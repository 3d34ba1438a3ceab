package cli

import (
	"cmp"
	"math"
	"slices"

	"github.com/sizeply/sizeply/layers"
)

// shownOrder gives the positions of layers in the order in which viewers list
// them; behind them, in the order of the file, those that they do not list.
func shownOrder(list []layers.Layer) []int {
	order := make([]int, len(list))
	for i := range order {
		order[i] = i
	}
	place := func(i int) int {
		if list[i].Place == 0 {
			return math.MaxInt
		}
		return list[i].Place
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(place(a), place(b)) })
	return order
}

// inShownOrder are the layers in that order.
func inShownOrder(list []layers.Layer) []layers.Layer {
	var out []layers.Layer
	for _, i := range shownOrder(list) {
		out = append(out, list[i])
	}
	return out
}
