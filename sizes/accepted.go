package sizes

import (
	"fmt"
	"io"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// An Acceptance says that something a check of the files found is meant to be
// so, and why.
type Acceptance struct {
	Finding string `json:"finding"`         // the id of what was found, such as "layer-empty"
	Layer   string `json:"layer,omitempty"` // a name or glob; empty for any layer
	File    string `json:"file,omitempty"`  // a name or glob, without folders; empty for any file
	Reason  string `json:"reason"`
}

// Covers says whether the acceptance is about that finding in that layer of
// that file. Names are compared as Match does; a file is named without folders.
func (a Acceptance) Covers(finding, file, layer string) bool {
	return a.Finding == finding && covers(a.File, file) && covers(a.Layer, layer)
}

// covers says whether an entry, unless it is empty, finds a name.
func covers(entry, name string) bool {
	if entry == "" {
		return true
	}
	p, err := newPattern(entry)
	if err != nil {
		return fold(entry) == fold(name)
	}
	return p.exact == fold(name) || p.matches(newFolded(name))
}

// acceptance reads an entry of accepted.
func (d *decoder) acceptance(path string, n ast.Node) Acceptance {
	var a Acceptance
	d.mapping(n, path, "an accepted finding", map[string]func(string, ast.Node){
		"finding": func(path string, n ast.Node) { a.Finding = d.text(path, n) },
		"layer":   func(path string, n ast.Node) { a.Layer = d.text(path, n) },
		"file":    func(path string, n ast.Node) { a.File = d.text(path, n) },
		"reason":  func(path string, n ast.Node) { a.Reason = d.text(path, n) },
	})
	for _, key := range []string{"finding", "reason"} {
		if _, ok := d.at[path+"."+key]; !ok {
			d.fail(n, `an accepted finding needs a %s, as in {finding: layer-empty, layer: "Logo", reason: "filled in later"}`, key)
		}
	}
	return a
}

func (c *Chart) checkAccepted() *problem {
	if len(c.Accepted) > maxPatterns {
		return problemf("accepted", "more than %d findings are accepted", maxPatterns)
	}
	for i, a := range c.Accepted {
		path := fmt.Sprintf("accepted[%d]", i)
		for _, field := range []struct{ key, what, text string }{
			{".finding", "finding", a.Finding}, {".reason", "reason", a.Reason},
		} {
			if p := checkText(path+field.key, field.what, field.text); p != nil {
				return p
			}
		}
		for _, field := range []struct{ key, what, text string }{{".layer", "layer name", a.Layer}, {".file", "file name", a.File}} {
			if field.text == "" {
				continue
			}
			if p := checkText(path+field.key, field.what, field.text); p != nil {
				return p
			}
			if _, err := newPattern(field.text); err != nil {
				return problemf(path+field.key, "%q is no glob: %v", field.text, err)
			}
		}
	}
	return nil
}

// writeAccepted writes the accepted findings in YAML.
func (c *Chart) writeAccepted(w io.Writer) {
	if len(c.Accepted) == 0 {
		return
	}
	fmt.Fprintln(w, "accepted:")
	for _, a := range c.Accepted {
		parts := []string{"finding: " + yamlText(a.Finding)}
		if a.Layer != "" {
			parts = append(parts, "layer: "+yamlText(a.Layer))
		}
		if a.File != "" {
			parts = append(parts, "file: "+yamlText(a.File))
		}
		parts = append(parts, "reason: "+yamlText(a.Reason))
		fmt.Fprintf(w, "  - {%s}\n", strings.Join(parts, ", "))
	}
}
