package check

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// states finds layers that a print may lack.
func (c *checker) states(f *file) {
	for _, l := range f.layers {
		switch {
		case len(l.Uses) > 0 || l.Within || f.heads(l):
		case f.onlyOne(l):
			c.add("layer-empty", f, l, quote(l.Name)+" holds nothing, so that nobody can print this size.",
				"Put its lines on it, or delete it.").Severity = Error
		default:
			c.add("layer-empty", f, l, quote(l.Name)+" holds nothing.", "Put on it what belongs there, or delete it.")
		}
		if l.answer.Kind == sizes.KindDrop {
			continue // no print needs it
		}
		switch {
		case l.unlisted:
			c.add("layer-unlisted", f, l, "Viewers do not list "+quote(l.Name)+" among the layers.",
				"Export the file anew, with this layer among the others.")
		case !l.On:
			c.add("layer-off", f, l, quote(l.Name)+" is off when the file is opened.",
				"Switch it on before you export.")
		case !l.Print:
			c.add("layer-not-printed", f, l, quote(l.Name)+" is seen on the screen and not printed.",
				"Set it to print.")
		}
		if l.Locked {
			c.add("layer-locked", f, l, quote(l.Name)+" is locked.", "Unlock it before you export.")
		}
	}
}

// onlyOne reports whether a layer is a size of which no other layer of the file
// holds anything.
func (f *file) onlyOne(l *layer) bool {
	return l.answer.Kind == sizes.KindSize && !slices.ContainsFunc(f.layers, func(o *layer) bool {
		return (len(o.Uses) > 0 || o.Within) && slices.ContainsFunc(l.answer.Sizes,
			func(label string) bool { return slices.Contains(o.answer.Sizes, label) })
	})
}

// content finds what stands in the wrong place.
func (c *checker) content(f *file) {
	if len(f.Outside) > 0 {
		var pages []int
		for _, u := range f.Outside {
			pages = append(pages, u.Page)
		}
		c.add("content-outside", f, nil, fmt.Sprintf("Something on %s is in no layer.", pagesOf(pages)),
			"Put it on a layer of its own, such as \"Text\".").Pages = pages
	}
	var programs []string
	for _, p := range f.Private {
		if p.Bytes > 0 && !slices.Contains(programs, p.Program) {
			programs = append(programs, p.Program)
		}
	}
	if len(programs) > 0 {
		c.add("private-data", f, nil,
			fmt.Sprintf("The file holds what %s needs to edit it, perhaps the whole drawing.", and(programs)),
			"Export it without the drawing program's own data.")
	}
	c.texts(f)
}

// pagesOf names pages for a sentence.
func pagesOf(pages []int) string {
	if len(pages) == 1 {
		return fmt.Sprintf("page %d", pages[0])
	}
	const few = 8
	var list []string
	for i := 0; i < len(pages); {
		if len(list) == few {
			list = append(list, fmt.Sprintf("%d more", len(pages)-i))
			break
		}
		end := i + 1 // of pages that follow each other
		for end < len(pages) && pages[end] == pages[end-1]+1 {
			end++
		}
		switch end - i {
		case 1:
			list = append(list, fmt.Sprint(pages[i]))
		case 2:
			list = append(list, fmt.Sprint(pages[i]), fmt.Sprint(pages[i+1]))
		default:
			list = append(list, fmt.Sprintf("%d to %d", pages[i], pages[end-1]))
		}
		i = end
	}
	return "pages " + and(list)
}

// texts finds texts that stand on all sizes in one place.
func (c *checker) texts(f *file) {
	steps := c.steps(f)
	if len(steps) < 3 {
		return
	}
	places := make([]map[textKey][]layers.Shown, len(steps)) // the texts of each size
	for i, s := range steps {
		places[i] = map[textKey][]layers.Shown{}
		for _, l := range s.layers {
			for _, t := range l.shown {
				k := textKey{t.Page, t.Text}
				places[i][k] = append(places[i][k], t)
			}
		}
	}
	var texts []string
	var pages []int
	for _, t := range steps[0].layers[0].shown {
		if strings.TrimSpace(t.Text) == "" || slices.Contains(texts, t.Text) || f.labels(t.Page, t.Text) ||
			!everywhere(places, t) {
			continue
		}
		texts = append(texts, t.Text)
		if !slices.Contains(pages, t.Page) {
			pages = append(pages, t.Page)
		}
	}
	if len(texts) > 0 {
		c.add("text-repeated", f, steps[0].layers[0],
			fmt.Sprintf("Every size shows %s in the same place.", quoted(texts)),
			"Put it once on a layer that every print needs, such as \"Text\".").Pages = pages
	}
}

// labels reports whether a text is that of a test square on a layer: a square on a
// size has a finding of its own.
func (f *file) labels(page int, text string) bool {
	return slices.ContainsFunc(f.Squares,
		func(s layers.TestSquare) bool { return s.Page == page && s.Label == text && len(s.Layers) > 0 })
}

// everywhere reports whether all sizes show a text at one place of a page.
func everywhere(places []map[textKey][]layers.Shown, t layers.Shown) bool {
	const off = 0.5 * millimetre
	near := func(o layers.Shown) bool { return math.Abs(o.Left-t.Left) <= off && math.Abs(o.Bottom-t.Bottom) <= off }
	return !slices.ContainsFunc(places, func(p map[textKey][]layers.Shown) bool {
		return !slices.ContainsFunc(p[textKey{t.Page, t.Text}], near)
	})
}

type textKey struct {
	page int
	text string
}

// sameScale is how far two scales may be apart: half a per cent, 5 mm on a metre.
const sameScale = 0.005

// squares finds test squares that are wrong, misplaced or missing.
func (c *checker) squares(f *file) {
	if f.at == 0 && !slices.ContainsFunc(c.files, func(f *file) bool { return len(f.Squares) > 0 }) {
		c.add("square-missing", f, nil, "No test square was found in the pattern.",
			"Draw a square of 5 cm or 2 in and write that beside it, on a layer for all sizes.")
	}
	if !c.scales(f) {
		return
	}
	for _, s := range f.Squares {
		if !s.True() {
			text := fmt.Sprintf("The test square %q measures %.2f mm, not %.2f.", s.Label, s.Side, s.Nominal)
			c.add("square-wrong", f, nil, text,
				"Export the file at 100 %, or mend the square or its label.").Pages = []int{s.Page}
		}
		for _, l := range f.layers {
			if slices.Contains(s.Layers, l.Object) && l.answer.Kind == sizes.KindSize {
				text := fmt.Sprintf("The test square %q is on %s, the layer of a size.", s.Label, quote(l.Name))
				do := `Put it on a layer that every print needs, such as "Test squares".`
				c.add("square-on-size", f, l, text, do).Pages = []int{s.Page}
			}
		}
	}
}

// scales finds pages that are drawn at different scales, as their squares say.
func (c *checker) scales(f *file) (same bool) {
	var pages []int
	first := 0.0
	for _, s := range f.Squares {
		scale := s.Side / s.Nominal
		if first == 0 {
			first = scale
		}
		if math.Abs(scale/first-1) > sameScale && s.Page != f.Squares[0].Page {
			pages = append(pages, s.Page)
		}
	}
	if len(pages) == 0 {
		return true
	}
	pages = slices.Compact(pages)
	text := fmt.Sprintf("By their test squares these pages are drawn at another scale than page %d.", f.Squares[0].Page)
	c.add("scale-differs", f, nil, text, "Export all pages at 100 %.").Pages = pages
	return false
}

// ofPaper reports whether a name has a word for what goes with the paper rather than
// with the pattern: a background that a large sheet has, frames that only pages
// to be joined have. One file may have it and another not. Common practice, no
// source; the languages are those of sizes.Draft.
func ofPaper(name string) bool {
	for _, w := range strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) }) {
		switch w {
		case "background", "frame", "frames", "border", "borders", "grid", "tile", "tiles", "tiling",
			"page", "pages", "cover", "watermark",
			"hintergrund", "rahmen", "raster", "seite", "seiten", "fond", "cadre", "fondo", "marco", "fundo", "moldura",
			"sfondo", "cornice", "achtergrond", "kader", "bakgrund", "baggrund", "фон", "рамка":
			return true
		}
	}
	return false
}
