package consistency

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/sizeply/sizeply/sizes"
)

// setForm finds the form that names of sizes have: the chart's, else that of
// most names.
func (c *checker) setForm() {
	c.form = c.chart
	if c.form.Names == "" {
		var names []string
		for _, f := range c.files {
			for _, l := range f.layers {
				if l.answer.Kind == sizes.KindSize && l.answer.Rule == sizes.RuleLabel {
					names = append(names, l.plain)
				}
			}
		}
		c.form = sizes.Draft(names).Chart
	}
	for _, f := range c.files {
		for _, l := range f.layers {
			l.expected = c.expect(l)
		}
	}
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
	return c.named(joined(labels))
}

// named is the name of a size by the form.
func (c *checker) named(label string) string {
	return strings.ReplaceAll(c.form.Names, "{label}", label)
}

// joined writes the labels of a layer of several sizes.
func joined(labels []string) string {
	if len(labels) == 2 {
		return strings.Join(labels, "/")
	}
	return labels[0] + "-" + labels[len(labels)-1]
}

// names finds fault with the names of a file.
func (c *checker) names(f *file) {
	c.alike(f)
	c.repeated(f)
	c.unclear(f)
	taken := map[string]bool{}
	for _, l := range f.layers {
		taken[l.plain] = true
	}
	for _, l := range f.layers {
		if l.expected == "" || l.plain == l.expected || l.renamed || f.second(l) && within(l.expected, l.plain) {
			continue
		}
		l.renamed = true
		text := fmt.Sprintf("%s is not written like %s.", quote(l.Name), c.example(l))
		if taken[l.expected] {
			c.add("name-form", f, l, text, fmt.Sprintf("Put what it holds on %s, or begin its name with that.", quote(l.expected)))
			continue
		}
		taken[l.expected] = true
		c.add("name-form", f, l, text, fmt.Sprintf("Rename it to %s.", quote(l.expected))).Rename = l.expected
	}
}

// second says whether another layer of the file serves the same size.
func (f *file) second(l *layer) bool {
	return slices.ContainsFunc(f.layers, func(o *layer) bool { return o != l && o.expected == l.expected })
}

// within says whether a name stands in a longer one, as words of it: then that
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

// isWord says whether a letter or digit goes on; the end of a text, which is no
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

// repeated finds one name on two layers that stand in one place of the list.
func (c *checker) repeated(f *file) {
	seen := map[string]bool{}
	for _, l := range f.layers {
		id := strings.Join(append(slices.Clone(l.Above), l.Name), "\x00")
		if seen[id] {
			c.add("name-repeated", f, l,
				fmt.Sprintf("There is another layer %s in this file.", quote(l.Name)),
				"Put what both hold on one layer, or rename one of the two.")
		}
		seen[id] = true
	}
}

// quote writes a name for a sentence.
func quote(name string) string {
	if name == "" {
		return "A layer without a name"
	}
	return `"` + name + `"`
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
