package sizes

import (
	_ "embed"
	"fmt"
	"iter"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// coloursTable is every word for a colour, a row each: the name as fold writes it, the languages it
// is taken from, and what it means: the values of an English name, "#rrggbb" each and the most
// usual first, else the English name for the same colour, else a shade. The English names are the
// basic colour terms of Berlin and Kay (Basic Color Terms, 1969), names of CSS Color Module Level
// 4, "Named Colors", and what sewing patterns use besides. The last column says where the first
// value comes from: css for that module, practice for common practice, no source. A name that means
// two colours in two languages, such as violet, has a row for each.
//
//go:embed colours.tsv
var coloursTable string

// A NamedColour is a colour by its English name.
type NamedColour struct {
	Name string
	// Values are the colours that the name is used for, "#rrggbb" each, the most usual first: green
	// is #008000 to some and #00ff00 to others.
	Values []string
}

// Colours returns the colours that have names, the basic ones first.
func Colours() []NamedColour {
	return each(palette().colours, func(c NamedColour) NamedColour { return c.clone() })
}

// Colour returns the colour that a name says, in any of the languages that names are read in and
// whatever its case: "Blau", "dark_green", "bleu clair", "mörkblå". There are several where the name
// means one thing in one language and another in the next, as "violet" does, and none where it is
// no colour. A shade that has no name of its own, such as "dark teal", is mixed with black or white.
func Colour(name string) []NamedColour {
	if len(name) > maxTextBytes {
		return nil
	}
	return each(palette().find(bare(fold(name))), NamedColour.clone)
}

func (c NamedColour) clone() NamedColour { return NamedColour{c.Name, slices.Clone(c.Values)} }

// colourTable is the table of colours, made ready.
type colourTable struct {
	colours []NamedColour
	named   map[string][]NamedColour // by their words with no space between
	shades  map[string]shade         // of words that stand alone
	joined  map[string]shade         // of those that stand before a colour in one word
}

// A shade is a change of any colour.
type shade string

const (
	shadeLight  shade = "light"
	shadeDark   shade = "dark"
	shadeBright shade = "bright"
)

// palette reads the table of colours when it is first asked for.
var palette = sync.OnceValue(func() *colourTable {
	t := &colourTable{named: map[string][]NamedColour{}, shades: map[string]shade{}, joined: map[string]shade{}}
	english := map[string]NamedColour{}
	for row := range tableRows(coloursTable) {
		name, means := row[0], row[2]
		word, value, _ := strings.Cut(means, " ")
		switch {
		case strings.HasPrefix(means, "#"):
			c := NamedColour{Name: name, Values: strings.Fields(means)}
			english[name] = c
			t.colours = append(t.colours, c)
			t.named[joinedName(name)] = append(t.named[joinedName(name)], c)
		case word == "shade":
			t.shades[name] = shade(value)
		case word == "joined-shade":
			t.joined[name] = shade(value)
		default:
			t.named[joinedName(name)] = append(t.named[joinedName(name)], english[means])
		}
	}
	return t
})

// tableRows gives the cells of each row of an embedded table but the first, which names the columns.
func tableRows(table string) iter.Seq[[]string] {
	return func(yield func([]string) bool) {
		_, rows, _ := strings.Cut(table, "\n")
		for row := range strings.Lines(rows) {
			if !yield(strings.Split(strings.TrimSuffix(row, "\n"), "\t")) {
				return
			}
		}
	}
}

// joinedName writes the words of a name without what stands between, so that "dark blue",
// "dark-blue" and "darkblue" are one.
func joinedName(folded string) string {
	return strings.NewReplacer(" ", "", "_", "", "-", "").Replace(folded)
}

// find returns the colours of a folded name: that of its row, else that of a colour with a shade
// before it, behind it or in one word with it.
func (t *colourTable) find(folded string) []NamedColour {
	const longest = 40 // bytes of a colour and its shade
	if len(folded) > longest {
		return nil
	}
	if found := t.named[joinedName(folded)]; len(found) > 0 {
		return found
	}
	words := strings.FieldsFunc(folded, func(r rune) bool { return r == ' ' || r == '_' || r == '-' })
	if len(words) > 1 {
		first, last := words[0], words[len(words)-1]
		if s, ok := t.shades[first]; ok {
			return t.shaded(s, strings.Join(words[1:], ""))
		}
		if s, ok := t.shades[last]; ok {
			return t.shaded(s, strings.Join(words[:len(words)-1], ""))
		}
	}
	for prefix, s := range t.joined {
		if rest, ok := strings.CutPrefix(folded, prefix); ok && len(t.named[rest]) > 0 {
			return t.shaded(s, rest)
		}
	}
	return nil
}

// shaded returns the shades of the colours of a name, each under a name of its own where it has one.
func (t *colourTable) shaded(s shade, joined string) []NamedColour {
	return each(t.named[joined], func(c NamedColour) NamedColour {
		name := string(s) + " " + c.Name
		if own := t.named[joinedName(name)]; len(own) > 0 {
			return own[0]
		}
		return NamedColour{Name: name, Values: each(c.Values, s.of)}
	})
}

// of mixes a colour with white or black, half and half; a bright one stays what it is.
func (s shade) of(hex string) string {
	n, _ := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	with := map[shade]uint64{shadeLight: 0xffffff, shadeDark: 0, shadeBright: n}[s]
	half := func(shift int) uint64 { return (n>>shift&0xff + with>>shift&0xff) / 2 }
	return fmt.Sprintf("#%02x%02x%02x", half(16), half(8), half(0))
}
