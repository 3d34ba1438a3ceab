package layout

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// What code that is shipped keeps to, so that it is read without scrolling.
const (
	maxColumns = 120 // of a line, a tab being tabColumns
	tabColumns = 4
	maxLines   = 80 // of a function, from func to its closing brace
)

// unshaped are the folders of what is not shipped.
var unshaped = []string{"examples", "internal/bench", "internal/demo", "internal/testpdf"}

// TestShape finds lines and functions that are too long in code that is shipped.
func TestShape(t *testing.T) {
	looked := 0
	err := fs.WalkDir(os.DirFS("../.."), ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir():
			if d.Name() == ".git" || d.Name() == "testdata" || slices.Contains(unshaped, name) {
				return fs.SkipDir
			}
			return nil
		case !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		looked++
		data, err := os.ReadFile(filepath.Join("../..", filepath.FromSlash(name)))
		if err != nil {
			return err
		}
		for i, line := range strings.Split(string(data), "\n") {
			if n := columns(line); n > maxColumns {
				t.Errorf("%s:%d has %d columns", name, i+1, n)
			}
		}
		files := token.NewFileSet()
		file, err := parser.ParseFile(files, name, data, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		for _, decl := range file.Decls {
			f, ok := decl.(*ast.FuncDecl)
			if !ok {
				continue
			}
			from, to := files.Position(f.Pos()), files.Position(f.End())
			if n := to.Line - from.Line + 1; n > maxLines {
				t.Errorf("%s: %s has %d lines", from, f.Name.Name, n)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if looked < 100 {
		t.Errorf("only %d files were looked at", looked)
	}
}

// columns is how wide an editor shows a line.
func columns(line string) int {
	return utf8.RuneCountInString(line) + (tabColumns-1)*strings.Count(line, "\t")
}
