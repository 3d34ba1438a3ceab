package layout

import (
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/internal/survey"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/failure"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/layers/render"
	"github.com/sizeply/sizeply/layers/witness"
	"github.com/sizeply/sizeply/sizes"
)

// sorted has every error of the public packages by the sentinel that it matches.
var sorted = map[error]struct {
	types []error
	vars  map[string]error
}{
	fault.ErrBadFile: {
		[]error{&failure.FormatError{}, &failure.EncryptionError{}, &failure.UnreadableError{},
			&failure.UnknownWidthError{}, &failure.LostLayersError{}, &pattern.IncompleteError{},
			&pattern.ArchiveError{}, &pattern.PicturesError{Err: layers.ErrNoLayers},
			&failure.CheckError{Err: errors.New("wrong")}},
		map[string]error{"layers.ErrBadFile": layers.ErrBadFile, "layers.ErrNotPDF": layers.ErrNotPDF,
			"layers.ErrEmpty": layers.ErrEmpty, "layers.ErrNoLayers": layers.ErrNoLayers,
			"failure.ErrNoLayers": failure.ErrNoLayers, "witness.ErrCipher": witness.ErrCipher},
	},
	fault.ErrBadRequest: {
		[]error{&failure.ResidueError{}, &failure.PositionError{}, &failure.PageError{}, &failure.WrongDocumentError{},
			&survey.ForeignLineError{}, &pattern.UnknownByError{}, &pattern.NoPaperError{},
			&pattern.PageListError{}, &pattern.NoSizesError{},
			&pattern.AmbiguousLineError{}, &pattern.AllTextsError{}, &pattern.ColourError{}, &pattern.MissingLineError{}, &pattern.UnknownLayersError{},
			&pattern.NoSuchLayerError{}, &sizes.AmbiguousError{Answers: make([]sizes.Answer, 1)},
			&sizes.DoubtError{Answers: make([]sizes.Answer, 1)},
			&sizes.AmbiguousSizeError{}, &sizes.ChartError{}, &sizes.MissingLayerError{}, &sizes.NoMatchError{},
			&sizes.UnknownMeasurementError{}, &sizes.UnknownSizeError{}},
		map[string]error{"layers.ErrBadRequest": layers.ErrBadRequest, "sizes.ErrBadRequest": sizes.ErrBadRequest,
			"layers.ErrNothingKept": layers.ErrNothingKept, "failure.ErrNothingKept": failure.ErrNothingKept,
			"layers.ErrNotOpened": layers.ErrNotOpened, "pattern.ErrNoLines": pattern.ErrNoLines,
			"pattern.ErrNoSizes": pattern.ErrNoSizes, "pattern.ErrNothingWanted": pattern.ErrNothingWanted,
			"sizes.ErrNothingWanted": sizes.ErrNothingWanted},
	},
	fault.ErrForbidden: {
		[]error{&failure.PermissionError{}},
		map[string]error{"layers.ErrForbidden": layers.ErrForbidden, "layers.ErrPassword": layers.ErrPassword,
			"render.ErrPassword": render.ErrPassword},
	},
	fault.ErrTooLarge: {
		[]error{&failure.LimitError{}, &render.SizeError{}},
		map[string]error{"layers.ErrTooLarge": layers.ErrTooLarge},
	},
	fault.ErrInternal: {
		[]error{&failure.CheckError{Own: true, Err: errors.New("wrong")}},
		map[string]error{"layers.ErrInternal": layers.ErrInternal},
	},
}

// TestEveryErrorIsSorted holds that each error of the public packages matches one
// sentinel and no other, and that none is forgotten here.
func TestEveryErrorIsSorted(t *testing.T) {
	listed := map[string]bool{}
	for want, list := range sorted {
		check := func(name string, err error) {
			listed[name] = true
			for _, sentinel := range fault.Sentinels() {
				if got := errors.Is(fmt.Errorf("wrapped: %w", err), sentinel); got != (sentinel == want) {
					t.Errorf("%s: it is %q: %t", name, sentinel, got)
				}
			}
		}
		for _, err := range list.types {
			check(strings.TrimPrefix(fmt.Sprintf("%T", err), "*"), err)
		}
		for name, err := range list.vars {
			check(name, err)
		}
	}
	for _, folder := range public {
		for _, name := range declaredErrors(t, "../../"+folder) {
			if full := filepath.Base(folder) + "." + name; !listed[full] {
				t.Errorf("%s is not in the list of sorted errors", full)
			}
		}
	}
}

// declaredErrors finds the exported types whose names end in Error, but for aliases,
// and the variables whose names begin with Err that a package declares.
func declaredErrors(t *testing.T, folder string) (names []string) {
	t.Helper()
	files, err := filepath.Glob(folder + "/*.go")
	if err != nil || len(files) == 0 {
		t.Fatalf("%d files in %s, %v", len(files), folder, err)
	}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(parsed, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.TypeSpec:
				if !n.Assign.IsValid() && n.Name.IsExported() && strings.HasSuffix(n.Name.Name, "Error") {
					names = append(names, n.Name.Name)
				}
			case *ast.ValueSpec:
				for _, name := range n.Names {
					if regexp.MustCompile(`^Err[A-Z]`).MatchString(name.Name) {
						names = append(names, name.Name)
					}
				}
			case *ast.FuncDecl:
				return false
			}
			return true
		})
	}
	return names
}
