package layout

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// Every code of a warning is written once, explained, of one form, and given by
// something.
func TestWarningCodes(t *testing.T) {
	form := regexp.MustCompile(`^[a-z]+(-[a-z]+)*$`)
	used := identifiers(t)
	codes := map[string]string{}
	for _, file := range []string{"layers/warning/warning.go", "layers/pattern/warning.go"} {
		path := filepath.Join("../..", file)
		if _, err := os.Stat(path); err != nil {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			spec, ok := n.(*ast.ValueSpec)
			if !ok || len(spec.Values) != 1 {
				return true
			}
			value, ok := spec.Values[0].(*ast.BasicLit)
			if !ok {
				return true
			}
			name, code := spec.Names[0].Name, value.Value
			if text, err := strconv.Unquote(code); err != nil || !form.MatchString(text) {
				t.Errorf("%s: the code of %s, %s, is not of words and hyphens", file, name, code)
			}
			if other := codes[code]; other != "" {
				t.Errorf("%s: %s and %s have the same code %s", file, name, other, code)
			}
			if codes[code] = name; spec.Comment == nil {
				t.Errorf("%s: nothing says what %s is about", file, name)
			}
			if used[name] < 2 {
				t.Errorf("%s: nothing warns with %s", file, name)
			}
			return true
		})
	}
	if len(codes) < 20 {
		t.Errorf("%d codes found", len(codes))
	}
}

// identifiers counts the names in the files of the product.
func identifiers(t *testing.T) map[string]int {
	counts := map[string]int{}
	for _, dir := range []string{"layers", "internal", "cli"} {
		err := filepath.WalkDir(filepath.Join("../..", dir), func(path string, _ os.DirEntry, err error) error {
			if err != nil || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
				return err
			}
			f, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
			if err != nil {
				return err
			}
			ast.Inspect(f, func(n ast.Node) bool {
				if id, ok := n.(*ast.Ident); ok {
					counts[id.Name]++
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return counts
}
