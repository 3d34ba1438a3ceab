package pdf

import "fmt"

// warnings collects sentences, each once, and counts those past the bound.
type warnings struct {
	list []string
	seen map[string]bool
	more int
}

func (w *warnings) add(format string, args ...any) {
	s := fmt.Sprintf(format, args...)
	switch {
	case w.seen[s]:
	case len(w.list) == maxWarnings:
		w.more++
	default:
		if w.seen == nil {
			w.seen = map[string]bool{}
		}
		w.seen[s] = true
		w.list = append(w.list, s)
	}
}

// sentences returns the list, with the number of those left out.
func (w *warnings) sentences() []string {
	if w.more == 0 {
		return w.list
	}
	return append(w.list, fmt.Sprintf("%d further warnings are left out", w.more))
}
