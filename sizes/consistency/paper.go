package consistency

import (
	"strings"
	"unicode"
)

// ofPaper says whether a name has a word for what goes with the paper rather than
// with the pattern: a background that a large sheet has, frames that only pages
// to be joined have. One file may have it and another not. Common practice, no
// source; the languages are those of sizes.Draft.
func ofPaper(name string) bool {
	for _, w := range strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) }) {
		switch w {
		case "background", "frame", "frames", "border", "borders", "grid", "tile", "tiles", "tiling", "page", "pages", "cover", "watermark",
			"hintergrund", "rahmen", "raster", "seite", "seiten", "fond", "cadre", "fondo", "marco", "fundo", "moldura",
			"sfondo", "cornice", "achtergrond", "kader", "bakgrund", "baggrund", "фон", "рамка":
			return true
		}
	}
	return false
}
