package cli

import (
	"fmt"
	"slices"

	"github.com/sizeply/sizeply/sizes"
)

// roleWords says what a picked size is to the person: her size, or how many
// below or above it.
func roleWords(chart *sizes.Chart, pick *sizes.Pick, z sizes.PickedSize) string {
	switch z.Role {
	case sizes.RoleWanted:
		return "your size"
	case sizes.RoleBetween:
		return "in between"
	}
	labels := chart.Labels()
	at, steps := slices.Index(labels, z.Label), len(labels)
	for _, other := range pick.Sizes {
		d := slices.Index(labels, other.Label) - at
		if other.Role == sizes.RoleWanted && (d > 0) == (z.Role == sizes.RoleBelow) {
			steps = min(steps, max(d, -d))
		}
	}
	side := "above"
	if z.Role == sizes.RoleBelow {
		side = "below"
	}
	if words := []string{"", "one", "two", "three", "four"}; steps < len(words) {
		return words[steps] + " " + side
	}
	return fmt.Sprintf("%d %s", steps, side)
}
