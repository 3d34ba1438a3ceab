package sizes

import (
	"slices"
	"strings"
	"testing"
)

// languages are those that the lexicon may name: ISO 639-1, "mul" for a word of
// many and "sign" for a sign.
var languages = strings.Fields("ar bg ca cs da de el en es et eu fa fi fr he hi hr hu id is it ja ko lt lv mul nl no pl pt ro ru sign sk sl sr sv th tr uk vi zh")

// valued are the meanings that have a value, with all that it may be.
var valued = map[string]string{
	"system": "eu us uk au jp", "weak-system": "de fr it es", "letter": "s m l", "birth": "newborn preemie",
	"gauge": "r s l t", "group": "women misses men girls boys children adults dolls", "unit": "cm mm in",
}

func TestLexicon(t *testing.T) {
	rows := strings.Split(strings.TrimSuffix(lexiconTable, "\n"), "\n")
	if rows[0] != "word\tlanguage\tmeaning" {
		t.Errorf("the first row is %q", rows[0])
	}
	seen, values := map[string]bool{}, map[string]string{}
	for _, row := range rows[1:] {
		cells := strings.Split(row, "\t")
		if len(cells) != 3 {
			t.Fatalf("%q has %d cells, want 3", row, len(cells))
		}
		word := cells[0]
		meaning, value, _ := strings.Cut(cells[2], " ")
		if word == "" || fold(word) != word {
			t.Errorf("%q: the word folds to %q", row, fold(word))
		}
		for _, language := range strings.Split(cells[1], ",") {
			if !slices.Contains(languages, language) {
				t.Errorf("%q: no language is called %q", row, language)
			}
		}
		if !slices.Contains(meaningNames[:], meaning) {
			t.Errorf("%q: no meaning is called %q", row, meaning)
		}
		if (valued[meaning] == "") != (value == "") || value != "" && !slices.Contains(strings.Fields(valued[meaning]), value) {
			t.Errorf("%q: the value is %q, want one of %q", row, value, valued[meaning])
		}
		if seen[word+"\t"+meaning] {
			t.Errorf("%q: the word stands there with this meaning already", row)
		}
		seen[word+"\t"+meaning] = true
		if values[word] != "" && value != "" {
			t.Errorf("%q: the word has the value %q already", row, values[word])
		}
		values[word] += value
		if !lookUp(word).is(1 << slices.Index(meaningNames[:], meaning)) {
			t.Errorf("%q is not looked up", row)
		}
	}
	for row := range tableRows(coloursTable) {
		values[row[0]] += ""
	}
	if len(lexicon()) != len(values) {
		t.Errorf("%d words are looked up, want %d", len(lexicon()), len(values))
	}
}

// The last meaning is that of the last name.
func TestMeaningNames(t *testing.T) {
	if meansVersion != 1<<(len(meaningNames)-1) || meaningNames[len(meaningNames)-1] != "version" {
		t.Errorf("meansVersion is %b of %d names", meansVersion, len(meaningNames))
	}
}
