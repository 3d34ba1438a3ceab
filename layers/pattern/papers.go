package pattern

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/warning"
)

// PaperPages are the pages of a file that are on one paper.
type PaperPages struct {
	// Paper is its name as the trade has it, such as "A4"; of pages that are no sheet's
	// size, that size in centimetres, such as "84.1 x 150.0 cm".
	Paper string `json:"paper"`
	Pages []int  `json:"pages"` // from 1, ascending
}

// String says which pages are on which paper: "pages 1-20: A4".
func (p PaperPages) String() string {
	return words.Plural(len(p.Pages), "page ", "pages ") + words.Pages(p.Pages) + ": " + p.Paper
}

// Papers sorts the pages of a file by their paper, that of the first page first. A
// sheet is the same upright and across.
func Papers(pages []layers.Page) []PaperPages {
	var list []PaperPages
	for _, page := range pages {
		name := paperOf(page)
		i := slices.IndexFunc(list, func(p PaperPages) bool { return p.Paper == name })
		if i < 0 {
			i = len(list)
			list = append(list, PaperPages{Paper: name})
		}
		list[i].Pages = append(list[i].Pages, page.Number)
	}
	return list
}

func paperOf(page layers.Page) string {
	if sheet, ok := page.Paper(); ok {
		return sheet.Name
	}
	w, h := page.Size()
	return fmt.Sprintf("%.1f x %.1f cm", min(w, h)/10, max(w, h)/10)
}

// PagesOn returns the pages on a paper by its name, such as "a4", "US Letter" or "36 in
// roll": those of just that size, and those of no sheet's size that it is the smallest
// for. It gives a *NoPaperError where there are none.
func PagesOn(paper string, pages []layers.Page) ([]int, error) {
	want := paperKey(paper)
	for _, name := range []string{want, want + " roll"} {
		var list []int
		for _, page := range pages {
			sheets := page.Fits()
			if sheet, ok := page.Paper(); ok {
				sheets = []layers.Paper{sheet}
			}
			if slices.ContainsFunc(sheets, func(s layers.Paper) bool { return slices.Contains(paperKeys(s), name) }) {
				list = append(list, page.Number)
			}
		}
		if len(list) > 0 && want != "" {
			return list, nil
		}
	}
	return nil, &NoPaperError{Paper: paper, Papers: Papers(pages)}
}

// paperKeys are the names of a paper as they are compared: "Letter (ANSI A)" has two.
func paperKeys(p layers.Paper) []string {
	first, second, _ := strings.Cut(strings.TrimSuffix(p.Name, ")"), " (")
	return []string{paperKey(first), paperKey(second)}
}

// paperKey is a name of a paper without what people write about it.
func paperKey(name string) string {
	fields := strings.Fields(strings.ToLower(strings.NewReplacer(`"`, " in", "-", " ", "_", " ").Replace(name)))
	fields = slices.DeleteFunc(fields, func(f string) bool {
		return slices.Contains([]string{"us", "din", "iso", "paper", "sheet", "size"}, f)
	})
	for i, f := range fields { // 36in, 36inch, 36 inches
		number := strings.TrimRight(f, "inches")
		if isNumber := number != "" && strings.Trim(number, "0123456789") == ""; isNumber && number != f {
			fields[i] = number + " in"
		} else if f == "inch" || f == "inches" {
			fields[i] = "in"
		}
	}
	return strings.Join(fields, " ")
}

// A NoPaperError says that a file has no page on a paper.
type NoPaperError struct {
	Paper  string       // as it was asked for
	Papers []PaperPages // those of the file
}

func (e *NoPaperError) Error() string {
	const maxListed = 8
	var list []string
	for i, p := range e.Papers {
		if i == maxListed {
			list = append(list, fmt.Sprintf("and %d more sizes", len(e.Papers)-i))
			break
		}
		list = append(list, p.String())
	}
	return fmt.Sprintf("no page is on the paper %q; the file has %s", e.Paper, strings.Join(list, "; "))
}

// Is reports whether target is [layers.ErrBadRequest].
func (*NoPaperError) Is(target error) bool { return target == layers.ErrBadRequest }

// ReadPages reads page numbers as people write them, such as "3" or "2,4-6", of a file
// of so many pages: in the order of the list, and again where it has them again. It
// gives a *PageListError for what is no such list, or names a page that is not there.
func ReadPages(list string, pages int) (numbers []int, err error) {
	for _, part := range strings.Split(list, ",") {
		first, last, span := strings.Cut(strings.TrimSpace(part), "-")
		if !span {
			last = first
		}
		from, err := strconv.Atoi(strings.TrimSpace(first))
		to, err2 := strconv.Atoi(strings.TrimSpace(last))
		if err != nil || err2 != nil || from < 1 || to < from || to > pages || len(numbers) > maxPageList {
			return nil, &PageListError{List: list, Pages: pages}
		}
		for n := from; n <= to; n++ {
			numbers = append(numbers, n)
		}
	}
	return numbers, nil
}

// maxPageList bounds the numbers of a list but for its last part.
const maxPageList = 1_000_000

// A PageListError says that a text lists no pages of a file.
type PageListError struct {
	List  string
	Pages int // how many the file has
}

func (e *PageListError) Error() string {
	return fmt.Sprintf("%s: the file has pages 1 to %d; give such as 1 or 2,4-6", words.Printable(e.List), e.Pages)
}

// Is reports whether target is [layers.ErrBadRequest].
func (*PageListError) Is(target error) bool { return target == layers.ErrBadRequest }

// SizePapers sorts those pages of a copy by their paper that hold sizes, as far as
// isolating tells: that lost something.
func (c *Choice) SizePapers(report *layers.Report) []PaperPages {
	var sized []layers.Page
	for _, p := range report.Pages {
		if p.Removed > 0 && p.Page <= len(c.pages) {
			sized = append(sized, c.pages[p.Page-1])
		}
	}
	return Papers(sized)
}

// severalPapers warns of a copy whose sizes are on several papers, as of a file with
// tiles for home and the sheet for a copy shop: printed as a whole, everything comes
// out twice.
func (c *Choice) severalPapers(report *layers.Report) []layers.Warning {
	sheets, other := 0, 0
	papers := c.SizePapers(report)
	for _, p := range papers {
		if _, isSheet := c.pages[p.Pages[0]-1].Paper(); isSheet {
			sheets++
		} else {
			other = 1 // pieces may each have a page of their own size
		}
	}
	if sheets+other < 2 {
		return nil
	}
	var list, names []string
	for _, p := range papers {
		list, names = append(list, p.String()), append(names, p.Paper)
	}
	return []layers.Warning{warning.New(SeveralPapers, names, "the sizes are on pages for different paper (%s): where "+
		"that is the same pattern for different printers, print those for one paper only, "+
		"or everything comes out twice", strings.Join(list, "; "))}
}
