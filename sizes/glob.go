package sizes

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// A pattern is an entry of a list of layer names: a name, or a glob in which '*' stands for any
// text, '?' for one character, '[a-z]' for one of those and '[!a-z]' for one of the others; a
// backslash takes the meaning from the sign that follows it. A glob stands for whole names.
//
// A glob is held against a name twice: without the padding of numbers on
// either side, and with it, so that "Size 0?" and "Size ?" both find "Size 08".
// Digits that touch a wildcard are parts of a number and keep their zeros.
type pattern struct {
	text   string // as written
	exact  string // the fold of the name that the entry spells out
	glob   glob
	padded glob // before padding was taken away
}

// glob is the steps of a glob, none for a plain name, and the longest literal
// text in it, without which no name fits: that is found out faster.
type glob struct {
	items []globItem
	must  string
}

// globItem is one step of a glob.
type globItem struct {
	kind    globKind
	literal rune
	negated bool
	ranges  [][2]rune
}

type globKind int

const (
	globLiteral globKind = iota + 1
	globAny
	globStar
	globClass
)

// folded is a name in its two folds, as text and as runes.
type folded struct {
	text, paddedText string
	name, padded     []rune
}

func newFolded(name string) folded {
	padded := foldPadded(name)
	text := unpad(padded)
	return folded{text: text, paddedText: padded, name: []rune(text), padded: []rune(padded)}
}

// newPattern reads an entry. The error says what is wrong with a glob, which is then taken for a
// plain name.
func newPattern(text string) (pattern, error) {
	items, err := globItems([]rune(foldPadded(text)))
	if err != nil {
		return pattern{text: text, exact: fold(text)}, err
	}
	if !slices.ContainsFunc(items, globItem.wild) {
		return pattern{text: text, exact: unpad(literals(items))}, nil
	}
	return pattern{text: text, exact: fold(text), padded: newGlob(items), glob: newGlob(unpadGlob(items))}, nil
}

// matches reports whether the glob finds a name. A plain name is no glob and finds nothing here.
func (p pattern) matches(f folded) bool {
	return p.glob.items != nil && (p.glob.finds(f.text, f.name) || p.padded.finds(f.paddedText, f.padded))
}

func newGlob(items []globItem) glob {
	g := glob{items: items}
	for i := 0; i < len(items); i++ {
		start := i
		for i < len(items) && !items[i].wild() {
			i++
		}
		if run := literals(items[start:i]); len(run) > len(g.must) {
			g.must = run
		}
	}
	return g
}

// finds reports whether the glob stands for the whole of a text, given as its runes too. It returns
// to the last star only, which keeps the work within the product of both lengths.
func (g glob) finds(text string, name []rune) bool {
	if !strings.Contains(text, g.must) {
		return false
	}
	i, n := 0, 0
	star, mark := -1, 0
	for n < len(name) {
		switch {
		case i < len(g.items) && g.items[i].kind == globStar:
			star, mark = i, n
			i++
		case i < len(g.items) && g.items[i].takes(name[n]):
			i++
			n++
		case star >= 0:
			mark++
			i, n = star+1, mark
		default:
			return false
		}
	}
	return i == len(g.items) || i == len(g.items)-1 && g.items[i].kind == globStar
}

func (g globItem) wild() bool { return g.kind != globLiteral }

func literals(items []globItem) string {
	return string(each(items, func(item globItem) rune { return item.literal }))
}

func globItems(s []rune) ([]globItem, error) {
	var items []globItem
	for i := 0; i < len(s); i++ {
		switch s[i] {
		case '*':
			if n := len(items); n == 0 || items[n-1].kind != globStar {
				items = append(items, globItem{kind: globStar})
			}
		case '?':
			items = append(items, globItem{kind: globAny})
		case '[':
			class, end, err := globClassAt(s, i)
			if err != nil {
				return nil, err
			}
			items = append(items, class)
			i = end
		case '\\':
			if i++; i == len(s) {
				return nil, errors.New(`the backslash at the end has nothing to act on; write \\ for a backslash`)
			}
			items = append(items, globItem{kind: globLiteral, literal: s[i]})
		default:
			items = append(items, globItem{kind: globLiteral, literal: s[i]})
		}
	}
	return items, nil
}

// globClassAt reads the class whose '[' stands at i; end is where its ']' is.
func globClassAt(s []rune, i int) (class globItem, end int, err error) {
	class.kind = globClass
	j := i + 1
	if j < len(s) && (s[j] == '!' || s[j] == '^') {
		class.negated = true
		j++
	}
	for first := true; ; first = false {
		if j >= len(s) {
			return class, 0, errors.New(`"[" is never closed; write \[ for a bracket in a name`)
		}
		if s[j] == ']' && !first {
			return class, j, nil
		}
		low, next := classRune(s, j)
		high := low
		if next+1 < len(s) && s[next] == '-' && s[next+1] != ']' {
			high, next = classRune(s, next+1)
		}
		if high < low {
			return class, 0, fmt.Errorf(`the range %c-%c runs backwards; write \[ for a bracket in a name`, low, high)
		}
		class.ranges = append(class.ranges, [2]rune{low, high})
		j = next
	}
}

// classRune reads one rune of a class, which a backslash may precede.
func classRune(s []rune, j int) (r rune, next int) {
	if s[j] == '\\' && j+1 < len(s) {
		j++
	}
	return s[j], j + 1
}

// unpadGlob takes the padding from numbers that touch no wildcard.
func unpadGlob(items []globItem) []globItem {
	var out []globItem
	for i := 0; i < len(items); {
		end := i
		for end < len(items) && !items[end].wild() && '0' <= items[end].literal && items[end].literal <= '9' {
			end++
		}
		run := items[i:max(end, i+1)]
		touches := i > 0 && items[i-1].wild() || end < len(items) && items[end].wild()
		if end > i && !touches {
			run = run[len(run)-len(unpadded(literals(run), literals(items[max(0, i-2):i]))):]
		}
		out = append(out, run...)
		i = max(end, i+1)
	}
	return out
}

func (g globItem) takes(r rune) bool {
	switch g.kind {
	case globLiteral:
		return r == g.literal
	case globAny:
		return true
	}
	for _, span := range g.ranges {
		if span[0] <= r && r <= span[1] {
			return !g.negated
		}
	}
	return g.negated
}

// Literal is the pattern, as those of a size's layers, of Keep and of Drop, that fits one name alone,
// whatever signs are in it.
func Literal(name string) string {
	return strings.NewReplacer(`\`, `\\`, "*", `\*`, "?", `\?`, "[", `\[`).Replace(name)
}
