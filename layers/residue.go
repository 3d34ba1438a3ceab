package layers

import (
	"fmt"
	"strings"
)

// A ResidueError says that something of removed layers would have to stay so
// that the rest looks as before, which IsolateOptions.NoResidue forbids.
type ResidueError struct{ Residue []Residue }

func (e *ResidueError) Error() string {
	var list []string
	for i, r := range e.Residue {
		if i == maxListed {
			list = append(list, fmt.Sprintf("and %d more", len(e.Residue)-maxListed))
			break
		}
		list = append(list, r.String())
	}
	return "something of the removed layers would have to stay, since what is kept is drawn with it: " + strings.Join(list, ", ")
}

// maxListed is how many things a message lists.
const maxListed = 5

// String says what stayed and where: "a clipping path (page 2)".
func (r Residue) String() string {
	what := map[string]string{"state": "the resource " + r.Name, "clip": "a clipping path", "text clip": "text that clips"}[r.Kind]
	return fmt.Sprintf("%s (page %d)", what, r.Page)
}

// allowed gives a *ResidueError where residue is not allowed.
func (c *choice) allowed(list []Residue) error {
	if !c.noResidue || len(list) == 0 {
		return nil
	}
	return &ResidueError{list}
}
