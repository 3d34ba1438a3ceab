package pattern

import (
	"fmt"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/warning"
	"github.com/sizeply/sizeply/sizes"
)

// An AllTextsError says that everything that is written on a page would go with the
// line of a size, though more is written there than sizes.
type AllTextsError struct {
	Page  int      // from 1
	Size  string   // the label
	Texts []string // those that name no size
}

func (e *AllTextsError) Error() string {
	return fmt.Sprintf("all that is written on page %d would go with the line of size %s, such as %s: "+
		"take text: true from that size in the chart",
		e.Page, words.Printable(e.Size), words.List(quotedTexts(e.Texts), 3))
}

// Is reports whether target is [layers.ErrBadRequest].
func (*AllTextsError) Is(target error) bool { return target == layers.ErrBadRequest }

// quotedTexts are texts as sentences have them.
func quotedTexts(texts []string) []string {
	list := make([]string, len(texts))
	for i, t := range texts {
		list[i] = fmt.Sprintf("%q", words.Printable(t))
	}
	return list
}

// unlike reports whether a size has more of something than sizes of one pattern have:
// by more than a quarter more than any other (common practice, no source).
func unlike(counts []int, i int) bool {
	most := 0
	for k, n := range counts {
		if k != i {
			most = max(most, n)
		}
	}
	return 4*counts[i] > 5*most
}

// losses warn of what goes with the lines of the sizes that are not kept though it looks
// as if every print needed it. It gives an *AllTextsError where that is all that is
// written on a page, unless forced.
func (c *Choice) losses(forced bool) error {
	_, labels := LineSpecs(c.Chart)
	lines := make([][]layers.LineStyle, len(labels))
	for i, label := range labels {
		for _, at := range c.Lines.Of(label) {
			lines[i] = append(lines[i], c.Lines.Styles[at])
		}
	}
	goes := func(i int) bool {
		at := c.Lines.Of(labels[i])
		return len(at) > 0 && !slices.ContainsFunc(at, func(k int) bool {
			return slices.ContainsFunc(c.Lines.Answers[k].Sizes, c.Keeps)
		})
	}
	c.strayWarnings(labels, lines, goes)
	return c.textWarnings(labels, lines, goes, forced)
}

// warnOfOtherLines warns of the lines that stay since the chart states none like them, though their
// outlines lie within those of sizes, or around them, as those of one more size do.
func (c *Choice) warnOfOtherLines() {
	const few = 6 // are said what they look like
	lines := layers.ProposeLines(c.Lines.Styles)
	known := func(i int) bool { return len(c.Lines.Answers[i].Sizes) > 0 }
	isSize := func(l layers.ProposedLine) bool { return slices.ContainsFunc(l.Styles, known) }
	if !slices.ContainsFunc(lines, isSize) {
		return
	}
	var others, colours []string
	for _, l := range lines {
		if l.Nested && !isSize(l) {
			others = append(others, LineWords(&c.Lines.Styles[l.Styles[0]]))
			colours = append(colours, l.Spec.Colour)
		}
	}
	switch n := len(others); {
	case n == 0:
		return
	case n > few:
		others = append(others[:few], fmt.Sprintf("and %d more", n-few))
	}
	c.Warnings = append(c.Warnings, warning.New(LineInDoubt, colours, "%s in the print, since the chart states no "+
		"line like %s: %s. Give each a size in the chart, or correct what is stated of its size",
		words.Plural(len(others), "a line that looks like that of one more size stays",
			"lines that look like those of more sizes stay"),
		words.Plural(len(others), "it", "them"), strings.Join(others, "; ")))
}

// strayWarnings warn of lines outside of the pieces.
func (c *Choice) strayWarnings(labels []string, lines [][]layers.LineStyle, goes func(int) bool) {
	strays := layers.FindStrays(lines)
	counts := make([]int, len(strays))
	for i, s := range strays {
		counts[i] = s.Outside
	}
	for i, label := range labels {
		if goes(i) && unlike(counts, i) {
			c.Warnings = append(c.Warnings, warning.New(LinesRemoved, []string{label},
				"with the line of size %s go %s outside of the pieces on %s, more than other sizes have there, "+
					"such as frames or a test square: look whether your print needs them, and state more of that "+
					"line in the chart, as its width",
				words.Printable(label), words.Count(counts[i], "line", "lines"), pagesWords(strays[i].Pages)))
		}
	}
}

// pagesWords names pages: "page 1", "pages 1, 3 and 4".
func pagesWords(pages []int) string {
	return words.Plural(len(pages), "page", "pages") + " " + words.Pages(pages)
}

// textWarnings warn of texts that name no size.
func (c *Choice) textWarnings(labels []string, lines [][]layers.LineStyle, goes func(int) bool, forced bool) error {
	counts, others := make([]int, len(labels)), make([][]layers.LineText, len(labels))
	for i := range labels {
		others[i] = c.otherTexts(lines[i])
		counts[i] = len(others[i])
	}
	for i, label := range labels {
		if !goes(i) || !unlike(counts, i) {
			continue
		}
		if err := c.allTexts(label, others[i]); err != nil && !forced {
			return err
		}
		var texts []string
		for _, t := range others[i] {
			if !slices.Contains(texts, t.Text) {
				texts = append(texts, t.Text)
			}
		}
		c.Warnings = append(c.Warnings, warning.New(TextsRemoved, append([]string{label}, texts...),
			"with the line of size %s go texts of its colour that name no size: %s. Take text: true from that size "+
				"in the chart if every print needs them", words.Printable(label), words.List(quotedTexts(texts), 6)))
	}
	return nil
}

// otherTexts are what is written in styles, but for the names of sizes.
func (c *Choice) otherTexts(styles []layers.LineStyle) (list []layers.LineText) {
	for i := range styles {
		for _, t := range styles[i].Texts() {
			if strings.TrimSpace(t.Text) != "" && c.Chart.Match([]string{t.Text}).Answers[0].Kind != sizes.KindSize {
				list = append(list, t)
			}
		}
	}
	return list
}

// allTexts gives an error for the first page on which all that is written goes, with
// texts that name no size.
func (c *Choice) allTexts(label string, texts []layers.LineText) error {
	all, going := map[int]int{}, map[int]int{}
	for i, a := range c.Lines.Answers {
		if c.Lines.Styles[i].Kind != layers.ShownText {
			continue
		}
		for _, u := range c.Lines.Styles[i].Uses {
			all[u.Page] += u.Marks
			if len(a.Sizes) > 0 && !slices.ContainsFunc(a.Sizes, c.Keeps) {
				going[u.Page] += u.Marks
			}
		}
	}
	var e *AllTextsError
	for _, t := range texts {
		if all[t.Page] == going[t.Page] && (e == nil || e.Page == t.Page) {
			if e == nil {
				e = &AllTextsError{Page: t.Page, Size: label}
			}
			e.Texts = append(e.Texts, t.Text)
		}
	}
	if e == nil {
		return nil
	}
	return e
}
