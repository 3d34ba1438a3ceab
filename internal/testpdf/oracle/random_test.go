package oracle

import (
	"bytes"
	"image"
	"slices"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// seeds are enough for a look at every test run.
const seeds = 8

func TestRandomIsDrawn(t *testing.T) {
	for seed := range uint64(seeds) {
		d := testpdf.Random(seed)
		all := reference(t, d.Bytes, func(int) bool { return true })
		none := reference(t, d.Bytes, func(int) bool { return false })
		for _, r := range Renderers(t) {
			on, off := pages(t, r, all), pages(t, r, none)
			if len(on) != d.Pages || len(off) != d.Pages {
				t.Fatalf("seed %d: %s draws %d and %d pages, want %d", seed, r.Name, len(on), len(off), d.Pages)
			}
			differ := false
			for i := range on {
				differ = differ || !testpdf.Compare(on[i], off[i]).Equal()
				if testpdf.Ink(on[i]) < 500 {
					t.Errorf("seed %d, page %d: %s draws next to nothing", seed, i+1, r.Name)
				}
			}
			if !differ {
				t.Errorf("seed %d: %s draws all groups and none alike", seed, r.Name)
			}
		}
	}
}

// With the file's own states the copy must look like the file, where the
// renderer reads those states right.
func TestRandomDefaultState(t *testing.T) {
	for seed := range uint64(seeds) {
		d := testpdf.Random(seed)
		states, err := testpdf.DefaultState(d.Bytes)
		if err != nil {
			t.Fatal(err)
		}
		copied := reference(t, d.Bytes, func(obj int) bool { return states[obj] })
		for _, r := range Renderers(t) {
			if !misread(r.Name, d.Features) {
				r.Same(t, d.Bytes, copied, 60)
			}
		}
	}
}

// misread says that a renderer draws an original with these features wrongly.
func misread(renderer string, features []string) bool {
	return slices.ContainsFunc(testpdf.Gaps(renderer), func(g testpdf.Gap) bool {
		return g.Original && slices.Contains(features, g.Feature)
	})
}

// Whatever is in a file, renderers must get through its reference copy.
func TestRandomEverything(t *testing.T) {
	for seed := range uint64(seeds) {
		d := testpdf.RandomWith(seed, testpdf.RandomOptions{Everything: true})
		copied := reference(t, d.Bytes, func(obj int) bool { return obj%2 == 0 })
		for _, r := range Renderers(t) {
			if got := pages(t, r, copied); len(got) != d.Pages {
				t.Errorf("seed %d: %s draws %d pages, want %d", seed, r.Name, len(got), d.Pages)
			}
		}
	}
}

func TestRandomIsSound(t *testing.T) {
	testpdf.Tool(t, "qpdf")
	for seed := range uint64(seeds) {
		d := testpdf.Random(seed)
		if len(testpdf.Unfit(testpdf.NameQPDF, d.Features)) > 0 {
			continue
		}
		for _, pdf := range [][]byte{d.Bytes, reference(t, d.Bytes, func(int) bool { return false })} {
			if err := testpdf.QPDF(pdf); err != nil {
				t.Errorf("seed %d: %v", seed, err)
			}
		}
	}
}

func reference(t *testing.T, pdf []byte, state func(int) bool) []byte {
	t.Helper()
	out, err := testpdf.Reference(pdf, state)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.HasPrefix(out, pdf) {
		t.Error("the original's bytes are not at the start of the copy")
	}
	return out
}

func pages(t *testing.T, r Renderer, pdf []byte) []*image.RGBA {
	t.Helper()
	out, err := r.Draw(pdf, 60)
	if err != nil {
		t.Fatalf("%s: %v", r.Name, err)
	}
	return out
}
