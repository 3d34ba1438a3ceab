package layout

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// tree is what documents may speak of.
type tree struct {
	paths    map[string]bool            // files and folders, from the root
	bases    map[string]bool            // file names alone
	declared map[string]map[string]bool // by package name: what is declared in it, methods and fields too
	text     string                     // of all Go files and scripts
}

// TestDocuments holds what the documents name against the tree: paths, files,
// Go names, flags and variables of the environment.
func TestDocuments(t *testing.T) {
	has := walkTree(t)
	pages, err := filepath.Glob("../../examples/*.md")
	if err != nil || len(pages) < 5 {
		t.Fatalf("found the pages %v: %v", pages, err)
	}
	for _, name := range append(pages, "../../README.md", "../../DEVELOPERS.md") {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		terms := inBackticks(string(text))
		if len(terms) < 4 {
			t.Errorf("%s: only %d terms were found", name, len(terms))
		}
		for _, term := range terms {
			if wrong := has.missing(term); wrong != "" {
				t.Errorf("%s: `%s`: %s", name, term, wrong)
			}
		}
	}
}

// TestMissing: what is not there is told.
func TestMissing(t *testing.T) {
	has := walkTree(t)
	for _, term := range []string{
		"layers/nowhere.go", "./cli/nowhere", "nowhere.go", "layers.Nowhere", "Report.Nowhere", "pdf.Edit.Nowhere",
		"SIZEPLY_NOWHERE", "--nowhere", "sizeply isolate skirt.pdf --nowhere 14", ".ci/nowhere",
	} {
		if has.missing(term) == "" {
			t.Errorf("%s is there", term)
		}
	}
	for _, term := range []string{
		"layers/isolate.go", "./cli/sizeply", "isolate.go", "layers.Isolate", "Report.Check", "rewrite.Options.KeepState",
		"SIZEPLY_PASSWORD", "--size", "sizeply isolate skirt.pdf --size 14", ".ci/run", "layers/*_test.go", "isolate", "qpdf --check",
	} {
		if wrong := has.missing(term); wrong != "" {
			t.Errorf("%s: %s", term, wrong)
		}
	}
}

// TestMapIsWhole wants every package in DEVELOPERS.md's map, and the reading
// order true to the files.
func TestMapIsWhole(t *testing.T) {
	has := walkTree(t)
	data, err := os.ReadFile("../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	_, block, _ := strings.Cut(text, "```\n")
	block, _, _ = strings.Cut(block, "```")
	listed := map[string]bool{}
	for line := range strings.Lines(block) {
		entry := strings.TrimSuffix(strings.Fields(line)[0], "/")
		listed[entry] = true
		if !has.paths[entry] {
			t.Errorf("the map lists %s, which is not there", entry)
		}
	}
	for _, p := range list(t) {
		name := strings.TrimPrefix(p.ImportPath, module+"/")
		if !covered(listed, name) {
			t.Errorf("the map does not list %s", name)
		}
	}
	_, order, _ := strings.Cut(text, "## Reading order")
	order, _, _ = strings.Cut(order, "\n## ")
	found := readingOrder.FindAllStringSubmatch(order, -1)
	if len(found) < 6 {
		t.Errorf("the reading order names %d packages", len(found))
	}
	for _, m := range found {
		for _, file := range strings.Split(m[2], ", ") {
			if full := m[1] + "/" + file + ".go"; !has.paths[full] {
				t.Errorf("the reading order names %s, which is not there", full)
			}
		}
	}
}

// readingOrder is a package with its files, as in "`sizes` chart, read".
var readingOrder = regexp.MustCompile("`([a-z/]+)` ([a-z_]+(?:, [a-z_]+)*)[;.]")

// covered tells whether a package or a folder above it is listed; below
// internal it has to be the folder right there.
func covered(listed map[string]bool, name string) bool {
	for ; name != "." && name != "internal"; name = path.Dir(name) {
		if listed[name] {
			return true
		}
	}
	return false
}

// walkTree reads the module.
func walkTree(t *testing.T) *tree {
	t.Helper()
	has := &tree{paths: map[string]bool{}, bases: map[string]bool{}, declared: map[string]map[string]bool{}}
	var all strings.Builder
	root := os.DirFS("../..")
	err := fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return fs.SkipDir
		case name == ".git" && d.IsDir():
			return fs.SkipDir
		case name == ".git": // a file in a worktree: to skip it would skip the rest of the folder
			return nil
		}
		has.paths[name] = true
		if d.IsDir() {
			return nil
		}
		has.bases[path.Base(name)] = true
		if !strings.HasSuffix(name, ".go") && !strings.HasPrefix(name, ".ci/") {
			return nil
		}
		data, err := fs.ReadFile(root, name)
		if err != nil {
			return err
		}
		if !strings.HasPrefix(name, "internal/layout/") { // which names what is not there
			all.Write(data)
		}
		if strings.HasSuffix(name, ".go") {
			return has.declare(name, data)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	has.text = all.String()
	return has
}

// declare notes what a Go file declares.
func (h *tree) declare(name string, data []byte) error {
	file, err := parser.ParseFile(token.NewFileSet(), name, data, parser.SkipObjectResolution)
	if err != nil {
		return err
	}
	names := h.declared[file.Name.Name]
	if names == nil {
		names = map[string]bool{}
		h.declared[file.Name.Name] = names
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			names[n.Name.Name] = true
			return false
		case *ast.TypeSpec:
			names[n.Name.Name] = true
		case *ast.ValueSpec:
			for _, id := range n.Names {
				names[id.Name] = true
			}
		case *ast.Field:
			for _, id := range n.Names {
				names[id.Name] = true
			}
		}
		return true
	})
	return nil
}

var (
	fenced   = regexp.MustCompile("(?s)```.*?```")
	spanned  = regexp.MustCompile("`([^`\n]+)`")
	asPath   = regexp.MustCompile(`^(\./)?\.?[a-z]+(/[\w.*-]+)+/?$`)
	asFile   = regexp.MustCompile(`^[\w-]+\.(go|mjs|txtar)$`)
	asGoName = regexp.MustCompile(`^([A-Za-z]\w*)\.([A-Z]\w*)(?:\.([A-Z]\w*))?$`)
	asEnv    = regexp.MustCompile(`\bSIZEPLY_[A-Z]+\b`)
	asFlag   = regexp.MustCompile(`(?:^|\s)--([a-z][a-z-]*[a-z])(?:[\s="),.;:]|$)`)
)

// inBackticks are the terms of a text that stand between backticks, and the
// lines of its examples that call the command.
func inBackticks(text string) []string {
	var terms []string
	for _, block := range fenced.FindAllString(text, -1) {
		for line := range strings.Lines(block) {
			if strings.Contains(line, "sizeply ") {
				terms = append(terms, strings.TrimSpace(line))
			}
		}
	}
	for _, m := range spanned.FindAllStringSubmatch(fenced.ReplaceAllString(text, ""), -1) {
		terms = append(terms, m[1])
	}
	return terms
}

// missing says what of a term is not there; "" where all is.
func (h *tree) missing(term string) string {
	for _, name := range asEnv.FindAllString(term, -1) {
		if !strings.Contains(h.text, name) {
			return "nothing reads " + name
		}
	}
	if !strings.HasPrefix(term, "qpdf") && !strings.HasPrefix(term, "mutool") {
		for _, m := range asFlag.FindAllStringSubmatch(term, -1) {
			if !strings.Contains(h.text, `Name: "`+m[1]+`"`) && !strings.Contains(h.text, `"`+m[1]+`"`) {
				return "there is no flag --" + m[1]
			}
		}
	}
	switch m := asGoName.FindStringSubmatch(term); {
	case asPath.MatchString(term):
		name := strings.TrimSuffix(strings.TrimPrefix(term, "./"), "/")
		if found, _ := filepath.Glob(filepath.Join("../..", filepath.FromSlash(name))); len(found) == 0 {
			return "there is no such path"
		}
	case asFile.MatchString(term):
		if !h.bases[term] {
			return "there is no such file"
		}
	case m != nil:
		if !h.knows(m[1], m[2:]...) {
			return "nothing of this name is declared"
		}
	}
	return ""
}

// knows tells whether a package, or the package of a type, declares names.
func (h *tree) knows(first string, names ...string) bool {
	for pkg, declared := range h.declared {
		all := pkg == first || declared[first]
		for _, n := range names {
			all = all && (n == "" || declared[n])
		}
		if all {
			return true
		}
	}
	return false
}
