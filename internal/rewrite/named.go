package rewrite

import "github.com/sizeply/sizeply/internal/resources"

// missing records names in the output that no resource dictionary has.
func (w *walker) missing(names map[resources.Name]use) {
	for k := range names {
		w.res.Missing[k] = true
	}
}
