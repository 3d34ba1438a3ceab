package sizes

import (
	"cmp"
	_ "embed"
	"regexp"
	"slices"
	"strings"
	"sync"
)

// lexiconTable is every word by which a name speaks of sizes, a row for each of its meanings: the
// word as fold writes it, the languages it is taken from (ISO 639-1 codes with commas between,
// "mul" for a word of many, "sign" for a sign), and the meaning, by the names of meaningNames, with
// a value behind some. The words are common practice in the languages that sewing patterns are sold
// in, no source; one that means something else as well is left out, or is weak. Colours have
// a table of their own.
//
//go:embed lexicon.tsv
var lexiconTable string

// A meaning is a set of what a word may mean, a bit for each.
type meaning uint64

const (
	meansSize        meaning = 1 << iota // what follows is a size
	meansSystem                          // a sizing system, under one name for all its spellings
	meansWeakSystem                      // one that is a word as well ("it 8"): counts where the name has nothing else
	meansSpan                            // between two sizes: all from the one to the other
	meansOnward                          // after a size: larger ones too
	meansList                            // between two sizes: just the two
	meansIntro                           // opens a span or a list
	meansArticle                         // may stand between a word such as "from" and the size
	meansNumber                          // may stand between a size word and its number: "Size No. 8"
	meansNotJust                         // makes several sizes of the one that follows: "up to size 14", "not size 8"
	meansAndOthers                       // after a size: others too, "14 and up"
	meansThing                           // a thing that has sizes of its own
	meansCounted                         // a thing whose number, behind it, is no size: "size 8 cut 2"
	meansLength                          // at the end of a name: a longer or shorter size; elsewhere said of sleeves
	meansRange                           // another size of the one before it, wherever it stands
	meansRangeLetter                     // the same, a letter: women's "16W", petite "8P", tall or toddlers' "2T"
	meansToddler                         // the number behind it is a toddler's size
	meansCup                             // the letter beside it is a cup
	meansMeasure                         // the number before it is a length, a share or a count
	meansLetter                          // a letter size in one word
	meansMonth                           // the number before it is an age in months
	meansMonthLetter                     // the same, by a letter that may be a unit of length
	meansYear                            // the number before it is an age in years
	meansYearLetter                      // the same, by a letter
	meansBirth                           // a size before any months
	meansGroup                           // the people that a name says it is for
	meansUnit                            // a unit of body measurements
	meansCopy                            // what drawing programs put behind the name of a copied layer
	meansJoinedCopy                      // the same, with no space before it
	meansCalendar                        // a month of the year
	meansAllSizes                        // a name that is this alone is about all sizes
	meansShared                          // what every print needs
	meansColour                          // a colour that is told apart on paper
	meansNumbered                        // the number behind it counts such things: "page 12"
	meansHeight                          // marks a size that is the height of the body, where the chart has such
	meansHarmless                        // says nothing of the size beside it: a piece, a kind of line, a file
	meansLineKind                        // the same, a kind of line: it may stand behind a size that nothing marks
	meansVariant                         // makes another size of the one beside it
	meansSized                           // a thing whose own size may stand behind a size word: "text size 12"
	meansGauge                           // stands for the letter of a length: "42 Regular" is 42R
	meansVersion                         // the number behind it tells a new drawing of the same from an old one
)

// meaningNames are the meanings in the order of their bits, as the table has them.
var meaningNames = [...]string{
	"size", "system", "weak-system", "span", "onward", "list", "intro", "article", "number", "not-just",
	"and-others", "thing", "counted", "length", "range", "range-letter", "toddler", "cup", "measure", "letter",
	"month", "month-letter", "year", "year-letter", "birth", "group", "unit", "copy", "joined-copy", "calendar",
	"all-sizes", "shared", "colour", "numbered", "height", "harmless", "line-kind", "variant", "sized", "gauge",
	"version",
}

// A lexeme is what the lexicon says of a word. A nil one says nothing.
type lexeme struct {
	meanings meaning
	value    string // the name of a system, a letter size, a birth size, a group or a unit, or the letter of a gauge
	language string // of the meaning size
}

// is reports whether the word may mean one of these.
func (x *lexeme) is(m meaning) bool { return x != nil && x.meanings&m != 0 }

// lexicon reads the table when it is first asked for.
var lexicon = sync.OnceValue(func() map[string]*lexeme {
	words := make(map[string]*lexeme, strings.Count(lexiconTable, "\n")+strings.Count(coloursTable, "\n"))
	entry := func(word string) *lexeme {
		x := words[word]
		if x == nil {
			x = &lexeme{}
			words[word] = x
		}
		return x
	}
	for row := range tableRows(coloursTable) {
		entry(row[0]).meanings |= meansColour
	}
	for row := range tableRows(lexiconTable) {
		word, language := row[0], row[1]
		name, value, _ := strings.Cut(row[2], " ")
		x := entry(word)
		x.meanings |= 1 << slices.Index(meaningNames[:], name)
		if value != "" {
			x.value = value
		}
		if name == "size" {
			x.language = language
		}
	}
	return words
})

// lookUp returns what is known of a word in its folded form, nil for nothing.
func lookUp(word string) *lexeme { return lexicon()[word] }

// spanPhrases are the spans of several words and signs, sizePhrases the size words of several, such
// as the Russian "р-р"; the longest first.
var (
	spanPhrases = sync.OnceValue(func() [][]string { return phrasesFor(meansSpan) })
	sizePhrases = sync.OnceValue(func() [][]string { return phrasesFor(meansSize) })
)

func phrasesFor(m meaning) [][]string {
	var out [][]string
	for word, x := range lexicon() {
		if toks := tokens(word); x.is(m) && len(toks) > 1 {
			out = append(out, each(toks, func(t token) string { return t.text }))
		}
	}
	slices.SortFunc(out, func(a, b []string) int { return cmp.Or(len(b)-len(a), slices.Compare(a, b)) })
	return out
}

// longestKnown is the most tokens of a harmless phrase, a kind of line or a variant.
var longestKnown = sync.OnceValue(func() int {
	longest := 1
	for word, x := range lexicon() {
		if x.is(accounted) {
			longest = max(longest, len(tokens(word)))
		}
	}
	return longest
})

// alternatives is a pattern for any word with a meaning.
func alternatives(m meaning) string {
	var out []string
	for word, x := range lexicon() {
		if x.is(m) {
			out = append(out, regexp.QuoteMeta(word))
		}
	}
	slices.Sort(out)
	return strings.Join(out, "|")
}
