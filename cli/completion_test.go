package cli

import (
	"io"
	"strings"
	"testing"
)

// TestExamples: the help of every command shows how it is called.
func TestExamples(t *testing.T) {
	p := &program{out: io.Discard, err: io.Discard}
	for _, c := range p.app().VisibleCommands() {
		if c.Name == "help" {
			continue
		}
		if !strings.Contains(c.Description, "   sizeply "+c.Name) && !strings.Contains(c.Description, "(sizeply "+c.Name) {
			t.Errorf("%s has no example", c.Name)
		}
		for _, line := range strings.Split(c.Description, "\n") {
			if len(line) > 94 {
				t.Errorf("%s: a line of the help is %d characters wide", c.Name, len(line))
			}
		}
	}
}
