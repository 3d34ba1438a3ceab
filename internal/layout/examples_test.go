package layout

import (
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

// public are the packages that programs outside of this module import.
var public = []string{"layers", "layers/failure", "layers/pattern", "layers/pattern/check", "layers/render",
	"layers/warning", "layers/witness", "sizes"}

// worked are the types that callers work with: an example shows each of their
// methods.
var worked = []string{"Chart", "Choice", "Document", "Drafted", "Engine", "File", "Match", "Pattern", "Pick", "Report",
	"Result"}

// usual are the methods that the standard library knows by their names, and that do
// what is said there.
var usual = regexp.MustCompile(`^(Close|Error|Is|String|Unwrap|(M|Unm)arshal[A-Z]\w*)$`)

// TestEveryFunctionHasAnExample wants an example with checked output for each exported
// function, and for the methods of the types that callers work with.
func TestEveryFunctionHasAnExample(t *testing.T) {
	wanted, found := 0, 0
	for _, folder := range public {
		p := readPackage(t, folder)
		for _, name := range p.called() {
			if wanted++; p.examples[name] {
				found++
			} else {
				t.Errorf("%s has no Example%s with an Output", folder, name)
			}
		}
	}
	t.Logf("%d of %d functions and methods have an example", found, wanted)
	if wanted < 60 {
		t.Errorf("only %d functions were found", wanted)
	}
}

// TestEveryNameIsDocumented wants a comment for each exported name: one for a group of
// constants or variables, or one for each of them.
func TestEveryNameIsDocumented(t *testing.T) {
	names, found := 0, 0
	for _, folder := range public {
		for name, comment := range readPackage(t, folder).comments() {
			if names++; comment != "" {
				found++
			} else {
				t.Errorf("%s: %s has no comment", folder, name)
			}
		}
	}
	t.Logf("%d of %d names have a comment", found, names)
	if names < 250 {
		t.Errorf("only %d names were found", names)
	}
}

// TestLacks: an example or a comment that is missing is found.
func TestLacks(t *testing.T) {
	p := parsePackage(t, "p", map[string]string{
		"p.go": `// Package p has a little of each.
package p

// A Chart has methods.
type Chart struct{}

type Bare struct{}

func New() *Chart { return nil }

// Read has an example.
func Read() {}

// Check has none with an output.
func (c *Chart) Check() {}

func (c *Chart) Close() error { return nil }

// The group.
const A, B = 1, 2

var (
	// C has one of its own.
	C = 3
	D = 4
)
`,
		"p_test.go": `package p

import "fmt"

func ExampleRead_twice() {
	fmt.Println(1)
	// Output: 1
}

func ExampleChart_Check() {}
`})
	var without []string
	for _, name := range p.called() {
		if !p.examples[name] {
			without = append(without, name)
		}
	}
	slices.Sort(without)
	if want := []string{"Chart_Check", "New"}; !slices.Equal(without, want) {
		t.Errorf("without an example are %v, want %v", without, want)
	}
	without = nil
	for name, comment := range p.comments() {
		if comment == "" {
			without = append(without, name)
		}
	}
	slices.Sort(without)
	if want := []string{"Bare", "Chart.Close", "D", "New"}; !slices.Equal(without, want) {
		t.Errorf("without a comment are %v, want %v", without, want)
	}
}

// documented is a package as its documentation shows it.
type documented struct {
	*doc.Package
	examples map[string]bool // with an output, by what they are for: "Open", "Document_Layers"
	aliased  []*doc.Type     // what exported aliases stand for in other packages of the module
}

// readPackage reads a package with its tests, and what its aliases stand for.
func readPackage(t *testing.T, folder string) *documented {
	t.Helper()
	sources := map[string]string{}
	names, err := filepath.Glob("../../" + folder + "/*.go")
	if err != nil || len(names) == 0 {
		t.Fatalf("%d files in %s, %v", len(names), folder, err)
	}
	for _, name := range names {
		sources[name] = ""
	}
	return parsePackage(t, folder, sources)
}

// parsePackage parses files by name, from their text or, where that is empty, from
// the disk.
func parsePackage(t *testing.T, folder string, sources map[string]string) *documented {
	t.Helper()
	files := token.NewFileSet()
	var all, tests []*ast.File
	imports := map[string]string{}
	for name, text := range sources {
		var source any
		if text != "" {
			source = text
		}
		file, err := parser.ParseFile(files, name, source, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, file)
		if strings.HasSuffix(name, "_test.go") {
			tests = append(tests, file)
			continue
		}
		for _, i := range file.Imports {
			if of, inside := strings.CutPrefix(strings.Trim(i.Path.Value, `"`), module+"/"); inside {
				imports[path.Base(of)] = of
			}
		}
	}
	p := &documented{examples: map[string]bool{}}
	for _, e := range doc.Examples(tests...) {
		if e.Output != "" || e.EmptyOutput {
			p.examples[e.Name], p.examples[withoutSuffix(e.Name)] = true, true
		}
	}
	var err error
	if p.Package, err = doc.NewFromFiles(files, all, module+"/"+folder); err != nil {
		t.Fatal(err)
	}
	for _, typ := range p.Types {
		of, ok := typ.Decl.Specs[0].(*ast.TypeSpec).Type.(*ast.SelectorExpr)
		if !ok {
			continue
		}
		other := readPackage(t, imports[of.X.(*ast.Ident).Name])
		for _, o := range other.Types {
			if o.Name == of.Sel.Name {
				o.Name = typ.Name // which is how callers know it
				p.aliased = append(p.aliased, o)
			}
		}
	}
	return p
}

// withoutSuffix is the name of an example without what tells it from others of the
// same function: "Match_Pick_missingLayer" is one of "Match_Pick".
func withoutSuffix(name string) string {
	at := strings.LastIndex(name, "_")
	if first, _ := utf8.DecodeRuneInString(name[at+1:]); at < 0 || !unicode.IsLower(first) {
		return name
	}
	return name[:at]
}

// called are the functions and methods that want an example, as its name has them.
func (p *documented) called() (names []string) {
	for _, f := range p.Funcs {
		names = append(names, f.Name)
	}
	for _, typ := range p.Types {
		for _, f := range typ.Funcs {
			names = append(names, f.Name)
		}
	}
	for _, typ := range append(p.aliased, p.Types...) {
		for _, m := range typ.Methods {
			if slices.Contains(worked, typ.Name) && !usual.MatchString(m.Name) {
				names = append(names, typ.Name+"_"+m.Name)
			}
		}
	}
	return names
}

// comments are the exported names with what is said of them. Methods called Error are
// not among them: they give the sentence of the error.
func (p *documented) comments() map[string]string {
	of := map[string]string{"package " + p.Name: p.Doc}
	values := func(list []*doc.Value) {
		for _, v := range list {
			for _, spec := range v.Decl.Specs {
				s := spec.(*ast.ValueSpec)
				for _, name := range s.Names {
					of[name.Name] = v.Doc + s.Doc.Text() + s.Comment.Text()
				}
			}
		}
	}
	funcs := func(list []*doc.Func, prefix string) {
		for _, f := range list {
			if f.Name != "Error" {
				of[prefix+f.Name] = f.Doc
			}
		}
	}
	values(p.Consts)
	values(p.Vars)
	funcs(p.Funcs, "")
	for _, typ := range append(p.aliased, p.Types...) {
		values(typ.Consts)
		values(typ.Vars)
		funcs(typ.Methods, typ.Name+".")
	}
	for _, typ := range p.Types {
		of[typ.Name] = typ.Doc
		funcs(typ.Funcs, "")
	}
	return of
}
