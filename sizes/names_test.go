package sizes

import (
	_ "embed"
	"errors"
	"slices"
	"strings"
	"testing"
)

// namesTable is names of layers as designers of many languages write them, each with the labels of a
// chart, the form of the chart's names or its title, and what is expected: the labels of the sizes,
// "doubt: word" for a name that may be a size but for that word, or "none". All are our own, after
// common practice, no source; what is expected was written before any of them was read.
//
//go:embed testdata/names.tsv
var namesTable string

// A nameCase is a row of namesTable.
type nameCase struct{ labels, form, name, want, why string }

func nameCases() (cases []nameCase) {
	for row := range tableRows(namesTable) {
		cases = append(cases, nameCase{row[0], row[1], row[2], row[3], row[4]})
	}
	return cases
}

// isTrap reports whether the name is to be no size.
func (c nameCase) isTrap() bool { return c.want == "none" || strings.HasPrefix(c.want, "doubt: ") }

func (c nameCase) chart() *Chart {
	chart := &Chart{}
	for _, label := range strings.Split(c.labels, "|") {
		chart.Sizes = append(chart.Sizes, Size{Label: label})
	}
	title, isTitle := strings.CutPrefix(c.form, "title:")
	if isTitle {
		chart.Name = title
	} else {
		chart.Names = c.form
	}
	return chart
}

// notFound are the names of the table that mean a size and are not read as it, each with why.
var notFound = map[string]string{}

// No trap is read as a size, and nineteen in twenty of the names that mean one are.
func TestNames(t *testing.T) {
	traps, meant, found := 0, 0, 0
	for _, c := range nameCases() {
		a := c.chart().Match([]string{c.name}).Answers[0]
		if c.isTrap() {
			traps++
			word, inDoubt := strings.CutPrefix(c.want, "doubt: ")
			named := func(words string) bool { return strings.Contains(fold(words), fold(word)) }
			if a.Kind == KindSize || inDoubt && (len(a.May) == 0 || !slices.ContainsFunc(a.Words, named)) {
				t.Errorf("%q in a chart of %s %s, want %s: %s", c.name, c.labels, a.Reason, c.want, c.why)
			}
			continue
		}
		meant++
		if got := outcome(a); got == c.want {
			found++
		} else if _, ok := notFound[c.name]; !ok {
			t.Errorf("%q in a chart of %s %s, want %s: %s", c.name, c.labels, a.Reason, c.want, c.why)
		}
	}
	t.Logf("%d traps, none a size; %d of %d names found", traps, found, meant)
	if traps+meant < 300 || 3*traps < traps+meant || 20*found < 19*meant {
		t.Errorf("%d traps, %d of %d names found; want 300 names, a third of them traps, and 95 in 100 found", traps, found, meant)
	}
}

// inContext are the names of a file and what they are together: "size", "doubt" or "other" for each,
// in a chart of 8, 10 and 12.
var inContext = []struct{ why, names, want string }{
	{"a word that some names have", "Size 8|Size 10|Size 10 old", "size|size|doubt"},
	{"a word that all names have is that of the pattern", "Brindle sz8|Brindle sz10 front|Text", "size|size|other"},
	{"a word of one size alone tells nothing", "Brindle size 8|Brindle front size 8", "doubt|doubt"},
	{"two patterns in a file", "Brindle size 8|Quillan size 8|Brindle size 10", "doubt|doubt|doubt"},
	{"two layers for one size by words of no piece", "Size 8 A/B|Size 8 C/D|Size 10 A/B", "doubt|doubt|doubt"},
	{"one kind of people", "Women's 8|Women's 10|Size 12", "size|size|size"},
	{"two kinds of people", "Women's 8|Men's 8|Women's 10", "doubt|doubt|size"},
	{"a size for some people beside that for anybody", "Size 8|Women's 8", "size|doubt"},
	{"sizes that nothing marks, with a word that others lack", "8|10|12|8 curvy|10 curvy|12 curvy", "size|size|size|other|other|other"},
	{"the same with a word that is not known", "8|10|12|8 draped|10 draped|12 draped", "size|size|size|doubt|doubt|doubt"},
	{"a word that all have", "8 draped|10 draped|12 draped", "size|size|size"},
	{"pieces, and sizes that nothing marks", "Front 8|Front 10|Front 12|Back 8|Back 10|Back 12", "size|size|size|size|size|size"},
	{"pieces of a size", "Front size 8|Back size 8|Sleeve size 10", "size|size|size"},
}

func TestNamesInContext(t *testing.T) {
	chart := &Chart{Sizes: []Size{{Label: "8"}, {Label: "10"}, {Label: "12"}}}
	for _, c := range inContext {
		got := each(chart.Match(strings.Split(c.names, "|")).Answers, func(a Answer) string {
			switch {
			case len(a.Words) > 0 && len(a.May) > 0:
				return "doubt"
			case a.Kind == KindSize:
				return "size"
			}
			return "other"
		})
		if strings.Join(got, "|") != c.want {
			t.Errorf("%s: %s is %q, want %s", c.why, c.names, got, c.want)
		}
	}
}

// A name in doubt is asked about where it may be a size of the print or a neighbour, and left out with
// a note elsewhere: it is neither printed with every size nor missing without a word.
func TestPickInDoubt(t *testing.T) {
	chart := &Chart{Sizes: []Size{{Label: "8"}, {Label: "10"}, {Label: "12"}, {Label: "14"}}}
	match := chart.Match([]string{"Size 8", "Size 10", "Size 12", "Size 14", "Size 14 draped"})
	for _, want := range []Want{{Labels: []string{"14"}}, {Labels: []string{"12"}, Above: 1}} {
		var e *DoubtError
		if _, err := match.Pick(want); !errors.As(err, &e) || len(e.Answers) != 1 || e.Answers[0].Position != 4 {
			t.Errorf("%+v gives %v, want a DoubtError about the last name", want, err)
		}
	}
	pick, err := match.Pick(Want{Labels: []string{"8"}, Above: 1})
	if err != nil {
		t.Fatal(err)
	}
	noted := func(n Note) bool { return n.Kind == NoteDoubt && strings.Contains(n.Text, "draped") }
	if !slices.Contains(pick.Dropped(), 4) || !slices.ContainsFunc(pick.Notes, noted) {
		t.Errorf("dropped %v with notes %v, want the last name dropped and noted", pick.Dropped(), pick.Notes)
	}
}
