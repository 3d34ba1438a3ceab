package sizes

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/internal/words"
)

// A reason is why a name got its answer. String words it so that it completes a
// sentence that begins with the name.
type reason struct {
	kind        reasonKind
	text, other string   // parts of the name or entries of the chart
	sizes       []string // labels
	parts       []reason // of reasonGlob and reasonDisagree
}

type reasonKind int

const (
	reasonTooLong     reasonKind = iota + 1
	reasonEmpty                  // nothing in it is seen
	reasonNamed                  // an entry of the layers of sizes spells it out
	reasonGlob                   // it fits globs in the layers of sizes
	reasonListed                 // it is named under keep or drop
	reasonListedGlob             // it fits a glob there
	reasonForm                   // it has the form of the chart's names
	reasonLabel                  // it is a label
	reasonSays                   // it says sizes of the chart
	reasonSpan                   // it says a span of them
	reasonLacks                  // it says a size that the chart lacks
	reasonFits                   // what it says may be several sizes
	reasonChain                  // what it says may be a span or a list
	reasonNothing                // nothing in it is about a size
	reasonDisagree               // two parts of it say different sizes
	reasonThing                  // it says the size of another thing
	reasonNotJust                // a word before makes several sizes of it
	reasonEndless                // a span begins that does not end
	reasonBeside                 // two sizes stand side by side
	reasonOpen                   // it is open to one side
	reasonPeople                 // other names say the same size for other people
	reasonDoubt                  // a word of it is not accounted for
	reasonUnknownWord            // a word between two sizes is not known
	reasonSlot                   // names like it have other sizes in that place
)

// sizesUnread are the reasons for no answer of names that speak of sizes.
var sizesUnread = []reasonKind{
	reasonLacks, reasonChain, reasonNotJust, reasonEndless, reasonBeside, reasonOpen, reasonUnknownWord,
}

// reasonForms are the sentences, in which %[1]q and %[2]q are the two texts, %[3]s
// the sizes with the word for them and %[4]s without.
var reasonForms = [...]string{
	reasonTooLong:     "is too long for a name",
	reasonEmpty:       "has nothing in it to read",
	reasonNamed:       "is named in the layers of %[3]s",
	reasonListed:      "is named under %[1]s",
	reasonListedGlob:  "fits %[1]q under %[2]s",
	reasonForm:        "has the form of names with the label %[4]s",
	reasonLabel:       "is the label %[4]s",
	reasonSays:        "says %[1]q: %[3]s",
	reasonLacks:       "says %[1]q, which is not in the chart",
	reasonFits:        "says %[1]q, which fits sizes %[4]s alike",
	reasonChain:       "says %[1]q, which may be a span or a list",
	reasonNothing:     "says no size of the chart and is not listed in it",
	reasonThing:       "says %[1]q, the size of another thing",
	reasonNotJust:     "has %[2]q before %[1]q, so it is not just that size",
	reasonEndless:     "has %[2]q before %[1]q, a span without an end",
	reasonBeside:      "says %[1]q and %[2]q side by side, neither a span nor a list",
	reasonOpen:        "says %[1]q and leaves it open to one side",
	reasonPeople:      "says %[3]s for %[1]s, and another layer says it for others.",
	reasonDoubt:       "says %[3]s, but what is %[2]s?",
	reasonUnknownWord: "says %[1]q and %[2]q with a word between that is not known",
	reasonSlot:        "has %[1]q where names like it have other sizes: %[3]s",
}

func (r reason) String() string {
	switch r.kind {
	case reasonGlob:
		return "fits " + andList(each(r.parts, func(part reason) string {
			return fmt.Sprintf("%q in the layers of %s", part.text, sizeWords(part.sizes))
		}))
	case reasonDisagree:
		return strings.Join(each(r.parts, reason.String), ", but also ")
	case reasonSpan:
		return fmt.Sprintf("says %q: sizes %q to %q", r.text, r.sizes[0], r.sizes[len(r.sizes)-1])
	}
	form := reasonForms[r.kind]
	if !strings.Contains(form, "%") {
		return form
	}
	return fmt.Sprintf(form, r.text, r.other, sizeWords(r.sizes), quoteAll(r.sizes))
}

// How lists and numbers are written in reasons, notes and errors.

// quote writes a name in quotes, harmless and of no more than maxQuote characters.
func quote(name string) string { return strconv.Quote(clip(words.Harmless(name))) }

// quoteAll lists names for a sentence: `"8", "10" and "12"`.
func quoteAll(names []string) string { return andList(each(names, quote)) }

// each returns what f makes of each item of a list, in its order.
func each[T, U any](list []T, f func(T) U) []U {
	out := make([]U, len(list))
	for i, item := range list {
		out[i] = f(item)
	}
	return out
}

func andList(words []string) string { return wordList(words, " and ") }

// wordList writes a list with a word before the last.
func wordList(words []string, before string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + before + words[last]
}

// quoteSome is quoteAll cut to a few names, for lists of unknown length.
func quoteSome(names []string) string {
	const few = 12
	if len(names) <= few {
		return quoteAll(names)
	}
	return quoteAll(names[:few]) + fmt.Sprintf(" and %d more", len(names)-few)
}

// sizeWords writes labels with the noun: `size "8"`, `sizes "8" and "10"`.
func sizeWords(labels []string) string {
	if len(labels) == 1 {
		return "size " + quoteAll(labels)
	}
	return "sizes " + quoteAll(labels)
}

// count writes a number with its noun: "no size", "1 size", "2 sizes".
func count(n int, noun string) string {
	switch n {
	case 0:
		return "no " + noun
	case 1:
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// clip cuts a text to what a reason quotes.
func clip(s string) string { return words.Cut(s, maxQuote) }

// word names the value n, counted from 1.
func word(n int, words []string) string {
	if n < 1 || n > len(words) {
		return fmt.Sprintf("invalid(%d)", n)
	}
	return words[n-1]
}

// wordText is word for JSON, where a value that is not valid is an error.
func wordText(n int, words []string) ([]byte, error) {
	if n < 1 || n > len(words) {
		return nil, fault.Errorf(fault.ErrBadRequest, "%s is not one of %s", word(n, words), quoteAll(words))
	}
	return []byte(words[n-1]), nil
}

// unword is the reverse of word.
func unword(n *int, text []byte, words []string) error {
	i := slices.Index(words, string(text))
	if i < 0 {
		return fault.Errorf(fault.ErrBadRequest, "%q is not one of %s", text, quoteAll(words))
	}
	*n = i + 1
	return nil
}
