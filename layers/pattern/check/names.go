package check

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"github.com/sizeply/sizeply/sizes"
)

// alike finds names that differ from another one only in how they are written,
// and names with letters that only look like those they seem to be.
func (c *checker) alike(f *file) {
	for _, l := range f.layers {
		const taken = "Put what it holds on %s and delete it, or give it a name of its own."
		ref, in := c.reference(f, l)
		lacking, strange := c.lacksExpected(l), len(l.lookers) > 0
		switch {
		case l.key == "", !strange && (lacking || l.Name == ref):
		case l.Name == ref || lacking:
			text := fmt.Sprintf("%s has %s: the name is not the one it seems to be.", quote(l.Name),
				strangers(l.lookers))
			c.rename("name-alike", f, l, text, "Type the name anew: %s.", taken, cmp.Or(l.expected, l.plain))
		default:
			where := "in the same file"
			if in != f {
				where = "in " + in.Name
			}
			text := fmt.Sprintf("%s differs from %s %s only in %s.", quote(l.Name), quote(ref), where,
				difference(l, ref))
			c.rename("name-alike", f, l, text, "Rename it to %s.", taken, ref)
		}
	}
}

// lacksExpected reports whether no layer has the name that those of one key should
// have by the form; then none of them is named after another.
func (c *checker) lacksExpected(l *layer) bool {
	return l.expected != "" && keyOf(l.expected) == l.key &&
		!slices.ContainsFunc(c.byKey[l.key], func(o *layer) bool { return o.Name == l.expected })
}

// rename adds a finding about the name of a layer, with what to do: one for a new
// name that no other layer of the file has or gets, else another.
func (c *checker) rename(id string, f *file, l *layer, text, do, taken, name string) {
	l.renamed = true
	if f.taken[name] {
		c.add(id, f, l, text, fmt.Sprintf(taken, quote(name)))
		return
	}
	f.taken[name] = true
	c.add(id, f, l, text, fmt.Sprintf(do, quote(name))).Rename = name
}

// reference is the name that all layers of one key should have, with a file
// that has it: this one where it does. It is the name by the form or in the
// chart, else the most frequent, else the shortest, else the first.
func (c *checker) reference(f *file, l *layer) (ref string, in *file) {
	votes := map[string]int{}
	where := map[string]*file{}
	var names []string
	for _, o := range c.byKey[l.key] {
		if where[o.Name] == nil {
			where[o.Name] = o.in
			names = append(names, o.Name)
			votes[o.Name] = c.preference(o)
		}
		if o.in == f {
			where[o.Name] = f
		}
		votes[o.Name]++
	}
	ref = slices.MaxFunc(names, func(a, b string) int { // of equals the first
		return cmp.Or(cmp.Compare(votes[a], votes[b]), cmp.Compare(len(b), len(a)))
	})
	return ref, where[ref]
}

// preference outweighs any number of votes: the form wins and what the chart
// lists, letters of another script lose.
func (c *checker) preference(l *layer) int {
	const most = 1 << 20
	switch {
	case l.Name == l.expected, c.lists(l.Name):
		return most
	case len(l.lookers) > 0:
		return -most
	}
	return 0
}

// lists reports whether a name stands in the chart that was given, letter for
// letter.
func (c *checker) lists(name string) bool {
	of := func(s sizes.Size) bool { return slices.Contains(s.Layers, name) }
	return c.drafted == nil && (slices.Contains(c.chart.Keep, name) || slices.Contains(c.chart.Drop, name) ||
		slices.ContainsFunc(c.chart.Sizes, of))
}

// strangers names letters of another script.
func strangers(runes []rune) string {
	var list []string
	for _, r := range runes {
		script := "another script"
		for _, name := range []string{"Cyrillic", "Greek", "Armenian", "Cherokee", "Hebrew", "Arabic"} {
			if unicode.Is(unicode.Scripts[name], r) {
				script = name
			}
		}
		text := fmt.Sprintf("%q (%s, %U)", string(r), script, r)
		if !slices.Contains(list, text) {
			list = append(list, text)
		}
	}
	noun := "the letter "
	if len(list) > 1 {
		noun = "the letters "
	}
	return noun + and(list[:min(len(list), 4)])
}

// unclear finds names that sound alike, and names with nothing to say.
func (c *checker) unclear(f *file) {
	settled := func(l *layer) bool { return l.renamed }
	rest := slices.DeleteFunc(slices.Clone(f.layers), settled)
	for _, same := range grouped(rest, func(l *layer) string { return spoken(l.plain) }) {
		l := same[0]
		var others []string
		for _, o := range same {
			if o.key != l.key {
				others = append(others, o.Name)
			}
		}
		switch {
		case len(others) > 0:
			c.add("name-unclear", f, l,
				fmt.Sprintf("%s and %s are the same to a screen reader, or in plain letters.", quote(l.Name),
					quoted(others)),
				"Give each a name that differs in plain letters or digits.")
		case strings.IndexFunc(l.Name, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsNumber(r) }) < 0:
			c.add("name-unclear", f, l,
				fmt.Sprintf("%s has neither letter nor digit: a screen reader says nothing.", quote(l.Name)),
				"Give it a name that says what it holds.")
		default:
			continue
		}
		for _, o := range same {
			o.renamed = true
		}
	}
}

// spoken reduces a name to plain lower-case letters, digits and the signs that
// part them. Letters of other scripts than Latin stay as they are, since a screen
// reader tells them apart.
func spoken(name string) string {
	s := strings.NewReplacer("ß", "ss", "æ", "ae", "Æ", "ae", "œ", "oe", "Œ", "oe", "ø", "o", "Ø", "o",
		"ł", "l", "Ł", "l", "đ", "d", "Đ", "d").Replace(name)
	var b strings.Builder
	other := false // the letter before is of another script, whose marks stay
	for _, r := range strings.ToLower(norm.NFKC.String(s)) {
		switch {
		case unicode.IsMark(r):
		case unicode.IsLetter(r):
			other = !unicode.Is(unicode.Latin, r)
		default:
			other = false
		}
		if other {
			b.WriteRune(r)
			continue
		}
		b.WriteString(strings.Map(plainSign, norm.NFKD.String(string(r))))
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// plainSign gives what is said of a sign, or of a Latin letter without its
// accent; -1 for nothing.
func plainSign(r rune) rune {
	switch {
	case r == '\u2044':
		return '/'
	case unicode.Is(unicode.Pd, r), r == '\u2212':
		return '-'
	case r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune(".,/-+&", r)):
		return r
	case unicode.IsSpace(r) || r == '_':
		return ' '
	}
	return -1
}

// ways are those in which two names of one key may differ, each with what makes
// it go.
var ways = []struct {
	word  string
	apply func(string) string
}{
	{"spaces", func(s string) string { return without(s, unicode.IsSpace) }},
	{"capitals", strings.ToLower},
	{"characters that do not show", func(s string) string { return without(s, isUnseen) }},
	{"characters that are written in two ways", norm.NFKC.String},
	{"noughts before a number", func(s string) string { return padding.ReplaceAllString(s, "$1$2") }},
	{"signs between the words", func(s string) string {
		return without(s, func(r rune) bool { return unicode.IsSpace(r) || r == '_' || unicode.IsPunct(r) })
	}},
}

var padding = regexp.MustCompile(`(^|[^0-9.])0+([0-9])`)

func without(s string, is func(rune) bool) string {
	return strings.Map(func(r rune) rune {
		if is(r) {
			return -1
		}
		return r
	}, s)
}

func isUnseen(r rune) bool {
	return unicode.In(r, unicode.Cf, unicode.Variation_Selector, unicode.Other_Default_Ignorable_Code_Point)
}

// difference says in what two names of one key differ.
func difference(l *layer, ref string) string {
	a, b := l.Name, ref
	if len(l.lookers) > 0 {
		return "letters that look alike: " + strangers(l.lookers)
	}
	for _, way := range ways {
		if way.apply(a) == way.apply(b) {
			return way.word
		}
	}
	for i, way := range ways {
		for _, other := range ways[i+1:] {
			if way.apply(other.apply(a)) == way.apply(other.apply(b)) {
				return way.word + " and " + other.word
			}
		}
	}
	lowA, lowB := strings.ToLower(a), strings.ToLower(b)
	switch {
	case sizes.Key(a) != sizes.Key(b):
		return "characters that look alike"
	case strings.HasPrefix(lowA, lowB), strings.HasPrefix(lowB, lowA):
		return "what a drawing program adds to a copy"
	}
	return "how it is written"
}
