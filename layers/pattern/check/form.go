package check

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/sizes"
)

// setForm finds the form that names of sizes have: the chart's, else that of
// most names, else the one that most short names have.
func (c *checker) setForm() {
	c.form = c.chart
	if c.form.Names == "" {
		var names []string
		for _, f := range c.files {
			for _, l := range f.layers {
				if l.answer.Kind == sizes.KindSize && l.answer.Rule == sizes.RuleLabel {
					names = append(names, tidy(l.plain))
				}
			}
		}
		c.form = sizes.Draft(names).Chart
		if c.form.Names == "" {
			c.form.Names = shortForm(names, c.form)
		}
	}
	for _, f := range c.files {
		for _, l := range f.layers {
			l.expected = c.expect(l)
		}
	}
}

// tidy is a name without what does not show, one space between words.
func tidy(name string) string {
	return strings.Join(strings.Fields(norm.NFKC.String(without(name, isUnseen))), " ")
}

// shortForm is the form of most names that are a label with one word at most,
// where most names are: such a word says no more than that it is a size. Of equals
// it is "Size {label}", else the first.
func shortForm(names []string, chart *sizes.Chart) string {
	const usual = "Size {label}"
	var forms []string
	for _, a := range chart.Match(names).Answers {
		if len(a.Sizes) == 1 {
			if form := shortOf(a.Name, a.Sizes[0]); form != "" {
				forms = append(forms, form)
			}
		}
	}
	if 2*len(forms) <= len(names) {
		return ""
	}
	votes := func(same []string) int {
		if same[0] == usual {
			return 2*len(same) + 1
		}
		return 2 * len(same)
	}
	most := slices.MaxFunc(grouped(forms, func(form string) string { return form }),
		func(a, b []string) int { return votes(a) - votes(b) }) // of equals the first
	return most[0]
}

// shortOf is a name with {label} in the place of the label, "" where the label
// does not stand there once, or with more than one word.
func shortOf(name, label string) string {
	form := ""
	for at := range name {
		if !strings.HasPrefix(name[at:], label) || goesOn(name, at) || goesOn(name, at+len(label)) {
			continue
		}
		if form != "" {
			return ""
		}
		form = name[:at] + "{label}" + name[at+len(label):]
	}
	rest := strings.FieldsFunc(strings.Replace(form, "{label}", " ", 1),
		func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	if len(rest) > 1 {
		return ""
	}
	return form
}

// goesOn reports whether a number or a word goes on at a place of a text.
func goesOn(text string, at int) bool {
	before, _ := utf8.DecodeLastRuneInString(text[:at])
	after, _ := utf8.DecodeRuneInString(text[at:])
	return unicode.IsLetter(before) && unicode.IsLetter(after) || unicode.IsDigit(before) && unicode.IsDigit(after)
}

// expect is the name of a layer by the form, "" where that says nothing.
func (c *checker) expect(l *layer) string {
	if c.form.Names == "" || l.answer.Kind != sizes.KindSize || l.answer.Rule != sizes.RuleLabel {
		return ""
	}
	labels := l.answer.Sizes
	if c.form != c.chart {
		labels = c.form.Match([]string{l.plain}).Answers[0].Sizes
	}
	switch {
	case len(labels) == 0:
		return ""
	case len(labels) == 1:
		return c.named(labels[0])
	}
	before, after, _ := strings.Cut(c.form.Names, "{label}")
	if strings.HasPrefix(l.plain, before) && strings.HasSuffix(l.plain, after) {
		return l.plain // a span or a list, in whatever way it is written
	}
	if len(labels) == 2 {
		return c.named(strings.Join(labels, "/"))
	}
	return c.named(labels[0] + "-" + labels[len(labels)-1])
}

// named is the name of a size by the form.
func (c *checker) named(label string) string {
	return strings.ReplaceAll(c.form.Names, "{label}", label)
}

// names finds fault with the names of a file.
func (c *checker) names(f *file) {
	c.alike(f)
	seen := map[string]bool{}
	for _, l := range f.layers {
		id := strings.Join(append(slices.Clone(l.Parents), l.Name), "\x00")
		if seen[id] { // in one place of the list
			c.add("name-repeated", f, l, fmt.Sprintf("There is another layer %s in this file.", quote(l.Name)),
				"Put what both hold on one layer, or rename one of the two.")
		}
		seen[id] = true
	}
	c.unclear(f)
	for _, l := range f.layers {
		if l.expected == "" || l.plain == l.expected || l.renamed || f.second(l) && within(l.expected, l.plain) {
			continue
		}
		text := fmt.Sprintf("%s is not written like %s.", quote(l.Name), c.example(l))
		if keyOf(l.expected) == l.key {
			text = fmt.Sprintf("%s differs from the form of %s only in %s.", quote(l.Name), c.example(l),
				difference(l, l.expected))
		}
		c.rename("name-form", f, l, text, "Rename it to %s.", "Put what it holds on %s, or begin its name with that.",
			l.expected)
	}
}

// second reports whether another layer of the file serves the same size.
func (f *file) second(l *layer) bool {
	return slices.ContainsFunc(f.layers, func(o *layer) bool { return o != l && o.expected == l.expected })
}

// within reports whether a name stands in a longer one, as words of it: then that
// is a further layer of the size, such as "Size 8 pocket".
func within(name, longer string) bool {
	for from := 0; ; {
		at := strings.Index(longer[from:], name)
		if at < 0 {
			return false
		}
		at += from
		before, _ := utf8.DecodeLastRuneInString(longer[:at])
		after, _ := utf8.DecodeRuneInString(longer[at+len(name):])
		if !isWord(before) && !isWord(after) {
			return true
		}
		from = at + 1
	}
}

// isWord reports whether a letter or digit goes on; the end of a text, which is no
// such rune, does not.
func isWord(r rune) bool { return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r)) }

// example shows the form by another layer that has it.
func (c *checker) example(l *layer) string {
	for _, f := range c.files {
		for _, o := range f.layers {
			if o.plain == o.expected && o.expected != l.expected && o.Name == o.plain {
				return "the other sizes, such as " + quote(o.Name)
			}
		}
	}
	return "the form in the chart, " + quote(c.form.Names)
}

// quote writes a name for a sentence.
func quote(name string) string {
	if name == "" {
		return "A layer without a name"
	}
	return `"` + words.Printable(name) + `"`
}

// quoted writes the first names of a list.
func quoted(names []string) string {
	const few = 4
	var list []string
	for i, n := range names {
		if i == few && len(names) > few+1 {
			list = append(list, fmt.Sprintf("%d more", len(names)-few))
			break
		}
		list = append(list, quote(n))
	}
	return and(list)
}

// and lists words for a sentence.
func and(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}
