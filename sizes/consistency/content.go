package consistency

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/sizes"
)

// states finds layers that a print may lack.
func (c *checker) states(f *file) {
	for _, l := range f.layers {
		switch {
		case len(l.Holds) > 0 || l.Within || f.heads(l):
		case f.onlyOne(l):
			c.add("layer-empty", f, l, quote(l.Name)+" holds nothing, so that nobody can print this size.", "Put its lines on it, or delete it.").Severity = Error
		default:
			c.add("layer-empty", f, l, quote(l.Name)+" holds nothing.", "Put on it what belongs there, or delete it.")
		}
		if l.answer.Kind == sizes.KindDrop {
			continue // no print needs it
		}
		switch {
		case l.Unlisted:
			c.add("layer-unlisted", f, l, "Viewers do not list "+quote(l.Name)+" among the layers.", "Export the file anew, with this layer among the others.")
		case l.Hidden:
			c.add("layer-off", f, l, quote(l.Name)+" is off when the file is opened.", "Switch it on before you export.")
		case l.NotPrinted:
			c.add("layer-not-printed", f, l, quote(l.Name)+" is seen on the screen and not printed.", "Set it to print.")
		}
		if l.Locked {
			c.add("layer-locked", f, l, quote(l.Name)+" is locked.", "Unlock it before you export.")
		}
	}
}

// onlyOne says whether a layer is a size of which no other layer of the file
// holds anything.
func (f *file) onlyOne(l *layer) bool {
	return l.answer.Kind == sizes.KindSize && !slices.ContainsFunc(f.layers, func(o *layer) bool {
		return (len(o.Holds) > 0 || o.Within) && slices.ContainsFunc(l.answer.Sizes, func(label string) bool { return slices.Contains(o.answer.Sizes, label) })
	})
}

// content finds what stands in the wrong place.
func (c *checker) content(f *file) {
	if len(f.Outside) > 0 {
		c.add("content-outside", f, nil, fmt.Sprintf("Something on %s is in no layer.", pagesOf(f.Outside)),
			"Put it on a layer of its own, such as \"Text\".").Pages = f.Outside
	}
	var programs []string
	for _, p := range f.Private {
		if p.Bytes > 0 && !slices.Contains(programs, p.Program) {
			programs = append(programs, p.Program)
		}
	}
	if len(programs) > 0 {
		c.add("private-data", f, nil, fmt.Sprintf("The file holds what %s needs to edit it, perhaps the whole drawing.", and(programs)),
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
	places := make([]map[textKey][]Text, len(steps))
	for i, s := range steps {
		places[i] = s.texts()
	}
	var texts []string
	var pages []int
	for _, h := range steps[0].layers[0].Holds {
		for _, t := range h.Texts {
			if strings.TrimSpace(t.Text) == "" || slices.Contains(texts, t.Text) || f.labels(h.Page, t.Text) || !everywhere(places, h.Page, t) {
				continue
			}
			texts = append(texts, t.Text)
			if !slices.Contains(pages, h.Page) {
				pages = append(pages, h.Page)
			}
		}
	}
	if len(texts) > 0 {
		c.add("text-repeated", f, steps[0].layers[0], fmt.Sprintf("Every size shows %s in the same place.", quoted(texts)),
			"Put it once on a layer that every print needs, such as \"Text\".").Pages = pages
	}
}

// labels says whether a text is that of a test square on a layer: a square on a
// size has a finding of its own.
func (f *file) labels(page int, text string) bool {
	return slices.ContainsFunc(f.Squares, func(s Square) bool { return s.Page == page && s.Label == text && len(s.Layers) > 0 })
}

// everywhere says whether all sizes show a text at one place of a page.
func everywhere(places []map[textKey][]Text, page int, t Text) bool {
	const off = 0.5 // mm
	for _, p := range places {
		if !slices.ContainsFunc(p[textKey{page, t.Text}], func(o Text) bool {
			return math.Abs(o.X-t.X) <= off && math.Abs(o.Y-t.Y) <= off
		}) {
			return false
		}
	}
	return true
}

type textKey struct {
	page int
	text string
}

// texts are those of a size, by page and text.
func (s *step) texts() map[textKey][]Text {
	all := map[textKey][]Text{}
	for _, l := range s.layers {
		for _, h := range l.Holds {
			for _, t := range h.Texts {
				k := textKey{h.Page, t.Text}
				all[k] = append(all[k], t)
			}
		}
	}
	return all
}
