package layout

import (
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

const module = "github.com/sizeply/sizeply"

// allowed names, for each package or tree of packages ("/..."), what it may
// import besides the standard library: packages of this module by their path
// from the root, others by their whole path. The longest pattern that fits
// counts. Arrows point up the list. Test files are free to use more, but for
// what onlyFor says.
var allowed = map[string][]string{
	// The garment side.
	"sizes": {"internal/fault", "internal/words", "github.com/goccy/go-yaml/...", "golang.org/x/text/..."},

	// The PDF side, from the ground up.
	"internal/content":   {},
	"internal/parallel":  {},
	"internal/words":     {},
	"internal/fault":     {},
	"internal/steps":     {},
	"layers/failure":     {"internal/fault", "internal/words"},
	"layers/warning":     {},
	"internal/report":    {},
	"internal/pdf":       {"internal/fault", "layers/failure", "internal/parallel", "github.com/klauspost/compress/..."},
	"internal/font":      {"internal/pdf"},
	"internal/paint":     {"internal/pdf", "internal/content", "github.com/lucasb-eyer/go-colorful"},
	"internal/resources": {"internal/pdf", "internal/content"},
	"internal/optional":  {"layers/warning", "layers/failure", "internal/pdf", "internal/content"},
	"internal/draw": {"internal/optional", "internal/resources", "internal/pdf", "internal/content", "internal/font",
		"internal/paint"},
	"internal/survey": {"layers/warning", "internal/fault", "layers/failure", "internal/draw", "internal/optional", "internal/resources", "internal/parallel", "internal/pdf",
		"internal/content", "internal/paint", "github.com/lucasb-eyer/go-colorful", "golang.org/x/image/colornames"},
	"internal/rewrite": {"layers/warning", "layers/failure", "internal/pdf", "internal/resources", "internal/parallel", "internal/content", "internal/font",
		"internal/paint"},
	"internal/isolate": {"internal/steps", "layers/warning", "internal/fault", "layers/failure", "internal/survey", "internal/rewrite", "internal/optional", "internal/resources",
		"internal/parallel", "internal/paint", "internal/pdf", "internal/content"},
	"layers":         {"internal/steps", "layers/warning", "internal/fault", "layers/failure", "internal/isolate", "internal/survey", "internal/rewrite", "internal/optional", "internal/pdf"},
	"layers/witness": {"internal/fault", "layers", "github.com/pdfcpu/pdfcpu/..."},
	"layers/render":  {"internal/fault", "github.com/klippa-app/go-pdfium/...", "github.com/tetratelabs/wazero/..."},

	// Both sides.
	"layers/pattern": {"layers/warning", "layers", "sizes", "internal/fault", "internal/words",
		"github.com/lucasb-eyer/go-colorful"},
	"layers/pattern/check": {"layers", "layers/pattern", "sizes", "internal/words", "golang.org/x/text/..."},
	"cli": {"layers/...", "sizes", "internal/words", "internal/report", "golang.org/x/image/...",
		"github.com/urfave/cli/v2", "github.com/schollz/progressbar/v3", "golang.org/x/term"},
	"cli/sizeply":  {"cli"},
	"examples/...": {"layers/...", "sizes"},

	// What is not shipped.
	"internal/demo/...": {"internal/demo/...", "sizes", "golang.org/x/image/...", "github.com/klauspost/compress/..."},
	"internal/testpdf/...": {"internal/testpdf/...", "internal/golden", "layers/render", "golang.org/x/image/...",
		"github.com/google/go-cmp/..."},
	"internal/bench/...": {"internal/bench", "layers/pattern", "github.com/klauspost/compress/..."},
	"internal/golden":    {"github.com/google/go-cmp/..."},
	"internal/layout":    {},
}

// onlyFor lists what the named packages alone may import, in tests too.
var onlyFor = map[string][]string{
	"github.com/pdfcpu/pdfcpu": {"layers/witness", "internal/pdf"}, // in internal/pdf its tests
	module + "/cli":            {"cli/sizeply", "cli"},
}

// goPackage is what go list tells of a package.
type goPackage struct {
	ImportPath                         string
	Imports, TestImports, XTestImports []string
}

func TestImports(t *testing.T) {
	for _, p := range list(t) {
		name := strings.TrimPrefix(p.ImportPath, module+"/")
		may, ok := lookup(name)
		if !ok {
			t.Errorf("%s is not on the map: add it to allowed in this test and to DEVELOPERS.md", name)
			continue
		}
		for _, imp := range p.Imports {
			if foreign(imp) && !fits(may, strings.TrimPrefix(imp, module+"/")) {
				t.Errorf("%s imports %s, which the map does not allow", name, imp)
			}
		}
		for _, imp := range slices.Concat(p.Imports, p.TestImports, p.XTestImports) {
			for what, who := range onlyFor {
				if (imp == what || strings.HasPrefix(imp, what+"/pkg")) && !slices.Contains(who, name) {
					t.Errorf("%s imports %s, which is for %v alone", name, imp, who)
				}
			}
		}
	}
}

// TestAlone: what people run neither asks the network nor starts programs.
func TestAlone(t *testing.T) {
	looked := 0
	for _, p := range list(t) {
		name := strings.TrimPrefix(p.ImportPath, module+"/")
		if match("internal/testpdf/...", name) || match("internal/bench/...", name) || match("examples/...", name) {
			continue
		}
		looked++
		for _, imp := range p.Imports {
			if imp == "net" || strings.HasPrefix(imp, "net/") && imp != "net/url" || imp == "os/exec" || imp == "plugin" {
				t.Errorf("%s imports %s", name, imp)
			}
		}
	}
	if looked < 10 {
		t.Errorf("only %d packages were looked at", looked)
	}
}

// TestUntouched: what a service embeds takes readers and writers. It has no way
// to a file, to the environment or to the user's folder.
func TestUntouched(t *testing.T) {
	cmd := exec.Command("go", "list", "-deps", "-f", "{{.ImportPath}}: {{join .Imports \" \"}}", module+"/layers", module+"/sizes")
	cmd.Dir = "../.."
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	looked := 0
	for line := range strings.Lines(string(out)) {
		name, imports, _ := strings.Cut(strings.TrimSpace(line), ": ")
		if !strings.HasPrefix(name, module+"/") {
			continue
		}
		looked++
		for _, imp := range strings.Fields(imports) {
			if imp == "os" || strings.HasPrefix(imp, "os/") || imp == "syscall" || imp == "io/ioutil" {
				t.Errorf("%s imports %s", name, imp)
			}
		}
	}
	if looked < 10 {
		t.Errorf("only %d packages were looked at", looked)
	}
}

// TestCarried: whoever builds one package gets nothing along that it has no use
// for, through others either.
func TestCarried(t *testing.T) {
	for _, c := range []struct {
		name string
		not  []string // modules, or packages of this one
	}{
		{"layers", []string{
			"github.com/pdfcpu/pdfcpu", "github.com/urfave/cli", "github.com/klippa-app/go-pdfium", "github.com/tetratelabs/wazero",
			module + "/sizes", module + "/cli", "net", "crypto/tls", "image/png", "image/jpeg", "image/gif", "os/exec",
			"text/template",
		}},
		{"sizes", []string{
			"github.com/pdfcpu/pdfcpu", "github.com/urfave/cli", "github.com/klippa-app/go-pdfium",
			module + "/layers", module + "/internal/pdf", module + "/internal/content", module + "/cli", "net", "crypto",
			"image", "os/exec", "text/template",
		}},
	} {
		cmd := exec.Command("go", "list", "-deps", module+"/"+c.name)
		cmd.Dir = "../.."
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("go list: %v", err)
		}
		deps := strings.Fields(string(out))
		if len(deps) < 10 {
			t.Errorf("%s: only %d packages were found", c.name, len(deps))
		}
		for _, dep := range deps {
			for _, not := range c.not {
				if dep != module+"/"+c.name && match(not+"/...", dep) {
					t.Errorf("whoever imports %s carries %s", c.name, dep)
				}
			}
		}
	}
}

// TestMapIsTrue finds entries of the map that no package stands for.
func TestMapIsTrue(t *testing.T) {
	packages := list(t)
	for pattern := range allowed {
		if !slices.ContainsFunc(packages, func(p goPackage) bool {
			return match(pattern, strings.TrimPrefix(p.ImportPath, module+"/"))
		}) {
			t.Errorf("%s is on the map, but there is no such package", pattern)
		}
	}
}

func TestTop(t *testing.T) {
	want := []string{
		".ci", ".gitattributes", ".gitignore", "CHANGELOG.md", "DEVELOPERS.md", "LICENSE", "README.md",
		"cli", "examples", "go.mod", "go.sum", "internal", "layers", "sizes", "testdata",
	}
	for _, name := range atTop(t) {
		if !slices.Contains(want, name) {
			t.Errorf("%s stands at the top, where only %v belong", name, want)
		}
	}
}

// atTop lists what git tracks at the top: what a run of the command leaves there,
// as the README's first one does, is not the project's.
func atTop(t *testing.T) []string {
	t.Helper()
	cmd := exec.Command("git", "ls-files", "-z")
	cmd.Dir = "../.."
	out, err := cmd.Output()
	if err != nil {
		if os.Getenv("SIZEPLY_REQUIRE_TOOLS") == "1" {
			t.Fatalf("git ls-files: %v", err)
		}
		t.Skipf("git does not say what belongs to the project: %v", err)
	}
	var list []string
	for file := range strings.SplitSeq(strings.TrimSuffix(string(out), "\x00"), "\x00") {
		name, _, _ := strings.Cut(file, "/")
		if !slices.Contains(list, name) {
			list = append(list, name)
		}
	}
	return list
}

// list asks the go command for every package of the module.
func list(t *testing.T) []goPackage {
	t.Helper()
	cmd := exec.Command("go", "list", "-json=ImportPath,Imports,TestImports,XTestImports", module+"/...")
	cmd.Dir = "../.."
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var all []goPackage
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p goPackage
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
}

// lookup finds the longest pattern that fits a package.
func lookup(name string) ([]string, bool) {
	best, found := "", false
	for pattern := range allowed {
		if match(pattern, name) && len(pattern) >= len(best) {
			best, found = pattern, true
		}
	}
	return allowed[best], found
}

// match tells whether a pattern, with "/..." at its end or not, means a path.
func match(pattern, name string) bool {
	if tree, ok := strings.CutSuffix(pattern, "/..."); ok {
		return name == tree || strings.HasPrefix(name, tree+"/")
	}
	return name == pattern
}

func fits(patterns []string, imp string) bool {
	return slices.ContainsFunc(patterns, func(p string) bool { return match(p, imp) })
}

// foreign is true for what is not in the standard library.
func foreign(imp string) bool {
	host, _, _ := strings.Cut(imp, "/")
	return strings.Contains(host, ".")
}
