package isolate

import (
	_ "embed"
	"strings"
	"sync"

	"github.com/sizeply/sizeply/internal/pdf"
)

// entriesTable says what is kept of each kind of dictionary where something is
// removed; its head tells of its columns. What it leaves out is what no reader
// needs to show the pages and to lead through them: modification dates and names
// of programs, identifiers, conditions and legal statements about the file,
// document parts with their metadata, data of programs under keys that the
// standard does not have. Those may tell of removed layers in any words.
//
//go:embed entries.tsv
var entriesTable string

// kinds is a set of kinds of dictionaries, a bit for each. An object that several
// keys lead to may be of several.
type kinds [2]uint64

// with gives the union of two sets.
func (k kinds) with(other kinds) kinds { return kinds{k[0] | other[0], k[1] | other[1]} }

// has reports whether two sets have a kind in common.
func (k kinds) has(other kinds) bool { return k[0]&other[0]|k[1]&other[1] != 0 }

// A row tells of one key of one kind.
type row struct {
	below kinds // what stands under it
	apart bool  // another step writes it
}

// kindTable is entriesTable as it is used.
type kindTable struct {
	number  map[string]int
	rows    []map[pdf.Name]row // by the number of the kind
	streams map[int]kinds      // what a stream is that stands for a dictionary
	// strings are the kinds in whose place a string may stand, attached those of
	// attached files, whole those that are kept with all that they hold.
	strings, attached, whole kinds
}

// anyName is the key that stands for names that somebody chose.
const anyName = pdf.Name("*")

// kindsOfDictionaries reads the table once.
var kindsOfDictionaries = sync.OnceValue(func() *kindTable {
	t := &kindTable{number: map[string]int{}, streams: map[int]kinds{}}
	t.strings, t.attached, t.whole = t.named("text"), t.named("attached"), t.named("whole")
	t.streams[t.number["whole"]] = t.whole
	for line := range strings.Lines(entriesTable) {
		if !strings.HasPrefix(line, "#") {
			t.add(strings.Split(strings.TrimSpace(line), "\t"))
		}
	}
	return t
})

// add takes one line of the table.
func (t *kindTable) add(cells []string) {
	kind := t.named(cells[0])
	number := t.number[cells[0]]
	below := t.named(strings.Split(cells[1], "+")...)
	for _, key := range strings.Fields(cells[3]) {
		switch {
		case key == "string":
			t.strings = t.strings.with(kind)
		case key == "stream" && cells[1] == "plain":
			t.streams[number] = kind
		case key == "stream":
			t.streams[number] = below
		default:
			had := t.rows[number][pdf.Name(key)].below
			t.rows[number][pdf.Name(key)] = row{had.with(below), cells[1] == "apart"}
		}
	}
}

// named is the set of some kinds, numbered as they are met.
func (t *kindTable) named(names ...string) (set kinds) {
	for _, name := range names {
		n, ok := t.number[name]
		if !ok {
			n = len(t.rows)
			t.number[name] = n
			t.rows = append(t.rows, map[pdf.Name]row{})
		}
		set[n/64] |= 1 << (n % 64)
	}
	return set
}

// all goes through the numbers of a set.
func (k kinds) all(yield func(int) bool) {
	for n := range 128 {
		if k[n/64]&(1<<(n%64)) != 0 && !yield(n) {
			return
		}
	}
}

// stream is what a stream is that is used as one of some kinds: none where the
// standard has no stream there.
func (t *kindTable) stream(as kinds) (is kinds) {
	for n := range as.all {
		is = is.with(t.streams[n])
	}
	if is != (kinds{}) {
		is = is.with(t.named("stream"))
	}
	return is
}

// below tells of a key in a dictionary of some kinds; kept is false where none of
// them has it. In a stream no names are chosen.
func (t *kindTable) below(as kinds, key pdf.Name, inStream bool) (r row, kept bool) {
	if as.has(t.whole) {
		return row{below: t.whole}, true
	}
	for n := range as.all {
		found, ok := t.rows[n][key]
		if !ok && !inStream {
			found, ok = t.rows[n][anyName]
		}
		if ok {
			r, kept = row{r.below.with(found.below), r.apart || found.apart}, true
		}
	}
	return r, kept
}
