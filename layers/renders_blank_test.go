package layers

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"os"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/internal/testpdf/oracle"
)

// TestRendersBlank holds the pages that a report calls blank against what is drawn
// of them, on tiles of the demo sheet and of random documents. They are all white;
// white tiles within the bounds of a path are not among them. Of test squares and
// grainlines, which are small, it is all white tiles.
func TestRendersBlank(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	sheet, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	whole := tiles(t, sheet, 5)
	for i, l := range open(t, whole).Layers() {
		if i%4 > 0 && i < 10 && !long() {
			continue
		}
		white, blank := blanksOf(t, l.Name, whole, Selection{Layers: []int{i}})
		if (l.Name == "Test squares" || l.Name == "Grainline") && (white != blank || blank == 0) {
			t.Errorf("%s: %d tiles are drawn white, %d are called blank", l.Name, white, blank)
		}
	}
	count := uint64(8)
	if long() {
		count = 200
	}
	white, blank := 0, 0
	for seed := range count {
		file := tiles(t, testpdf.Random(seed).Bytes, 6)
		w, b := blanksOf(t, fmt.Sprint("random document ", seed), file, randomSelection(seed, len(open(t, file).Layers())))
		white, blank = white+w, blank+b
	}
	t.Logf("of random documents, %d tiles are drawn white, %d of them called blank", white, blank)
	if blank == 0 {
		t.Error("no tile is called blank")
	}
}

// blanksOf counts the pages that lost something and are white in both renderers,
// and those among them that the report calls empty; none may be that is not
// white.
func blanksOf(t *testing.T, name string, file []byte, sel Selection) (white, blank int) {
	t.Helper()
	var out bytes.Buffer
	report, err := open(t, file).Isolate(context.Background(), &out, sel, nil)
	if err != nil {
		t.Logf("%s: %v", name, err)
		return 0, 0
	}
	if len(report.Pages) == 0 {
		return 0, 0 // nothing was removed
	}
	whites := make([]bool, len(report.Pages))
	for i := range whites {
		whites[i] = true
	}
	renderers := oracle.Renderers(t)
	for _, r := range renderers[:min(2, len(renderers))] { // PDFium, and Poppler where it is
		pages, err := r.Draw(out.Bytes(), 36)
		if err != nil || len(pages) != len(report.Pages) {
			t.Fatalf("%s in %s: %d pages of %d: %v", name, r.Name, len(pages), len(report.Pages), err)
		}
		for i, p := range report.Pages {
			if is := isWhite(pages[i]); !is {
				whites[i] = false
				if p.Empty() {
					t.Errorf("%s, page %d in %s: something is drawn on a page called blank", name, p.Page, r.Name)
				}
			}
		}
	}
	for i, p := range report.Pages {
		if whites[i] && p.Removed > 0 {
			white++
		}
		if p.Empty() {
			blank++
		}
	}
	return white, blank
}

func isWhite(img *image.RGBA) bool {
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			if img.RGBAAt(x, y) != (color.RGBA{255, 255, 255, 255}) {
				return false
			}
		}
	}
	return true
}

// tiles makes n times n pages of the first page of a file, each of which shows a
// part of it.
func tiles(t *testing.T, file []byte, n int) []byte {
	t.Helper()
	doc := open(t, file).file.PDF
	first, edit := doc.Pages()[0], doc.Edit()
	tree, _ := first.Dict["Parent"].(pdf.Ref)
	node := pdf.AsDict(doc, tree).Clone()
	kids, box := pdf.Array{}, first.MediaBox
	w, h := (box.URX-box.LLX)/float64(n), (box.URY-box.LLY)/float64(n)
	for i := range n * n {
		x, y := box.LLX+w*float64(i%n), box.LLY+h*float64(i/n)
		page := first.Dict.Clone()
		delete(page, "CropBox")
		delete(page, "Annots") // they belong to one page
		page["MediaBox"] = pdf.Array{pdf.Real(x), pdf.Real(y), pdf.Real(x + w), pdf.Real(y + h)}
		kids = append(kids, edit.Add(page))
	}
	node["Kids"], node["Count"] = kids, pdf.Integer(len(kids))
	edit.Set(tree, node)
	var out bytes.Buffer
	if _, err := edit.Write(context.Background(), &out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
