package sizes

import (
	"strings"
	"unicode"
)

// The words by which people mark a size, in their folded form ("ß" is "ss").
// Common practice in the languages that sewing patterns are sold in, no
// source. A word that also means something else is left out or marked weak.

// sizeWord says whether a word marks what follows it as a size.
func sizeWord(w string) bool {
	switch w {
	case "size", "sizes", "sz", "szs", "sizing", "age", "ages",
		"gr", "grösse", "grössen", "groesse", "groessen", "grosse", // German
		"taille", "tailles", // French
		"talla", "tallas", "talle", "talles", // Spanish
		"taglia", "taglie", "tg", // Italian
		"tamanho", "tamanhos", "tam", // Portuguese
		"maat", "maten", "mt", // Dutch
		"storlek", "storlekar", "strl", "stl", // Swedish
		"størrelse", "størrelser", "str", // Danish, Norwegian
		"koko", "koot", // Finnish
		"rozmiar", "rozmiary", "rozm", // Polish
		"velikost", "vel", "veľkosť", // Czech, Slovak, Slovene
		"méret", "beden", "μέγεθος", // Hungarian, Turkish, Greek
		"размер", "размеры", "розмір", // Russian, Ukrainian
		"サイズ", "号", "尺码", "尺碼", "码", "碼", "사이즈", "호":
		return true
	}
	return false
}

// system returns the sizing system that a word names, under one name for all
// its spellings. Weak ones are words of a language too ("it 8"): they count
// only where nothing else stands in the name.
func system(w string) (name string, weak, ok bool) {
	switch w {
	case "eu", "eur", "euro":
		return "eu", false, true
	case "us", "usa":
		return "us", false, true
	case "uk", "gb":
		return "uk", false, true
	case "au", "aus", "nz":
		return "au", false, true
	case "jp", "jpn":
		return "jp", false, true
	case "de", "ger":
		return "de", true, true
	case "fr", "fra":
		return "fr", true, true
	case "it", "ita":
		return "it", true, true
	case "es", "esp":
		return "es", true, true
	}
	return "", false, false
}

// spanWord says whether a word or sign between two sizes means all from the
// one to the other.
func spanWord(w string) bool {
	switch w {
	case "-", "~", "..", "\u301c", "to", "thru", "through", "till", "until",
		"bis", "à", "a", "al", "tot", "til", "do", "до":
		return true
	}
	return false
}

// listWord says whether a word or sign between two sizes means just the two.
func listWord(w string) bool {
	switch w {
	case "/", "|", "+", "&", ",", ";", "、", "and", "or",
		"und", "oder", "et", "ou", "y", "o", "e", "en", "og", "och", "i", "и":
		return true
	}
	return false
}

// introWord may open a span or a list.
func introWord(w string) bool {
	switch w {
	case "from", "von", "de", "du", "da", "del", "van", "fra", "od", "от":
		return true
	}
	return false
}

// numberWord may stand between a size word and its number: "Size No. 8".
func numberWord(w string) bool {
	switch w {
	case "no", "nr", "num", "number", "nummer", "numero", "n":
		return true
	}
	return false
}

// vetoWord turns the meaning of the size that follows it: "up to size 14",
// "not size 8". Such a name draws nobody knows what.
func vetoWord(w string) bool {
	switch w {
	case "to", "upto", "until", "under", "over", "above", "below", "between",
		"except", "excluding", "excl", "without", "not", "no", "non", "than", "minus", "but",
		"ab", "ohne", "nicht", "ausser", "zwischen", "sans", "sauf", "sin", "senza":
		return true
	}
	return false
}

// openWord after a size means others too: "14 and up", "14 plus".
func openWord(w string) bool {
	switch w {
	case "up", "upwards", "onwards", "over", "above", "larger", "bigger", "plus",
		"under", "below", "smaller", "down":
		return true
	}
	return false
}

// otherThing says whether a word names a thing that has sizes of its own.
func otherThing(w string) bool {
	switch w {
	case "font", "paper", "page", "sheet", "tile", "screen", "needle", "thread",
		"button", "snap", "zip", "zipper", "hook", "eyelet", "grommet", "bead", "elastic":
		return true
	}
	return false
}

// measureWord after a number makes a length, a share or a count of it.
func measureWord(w string) bool {
	switch w {
	case "mm", "cm", "m", "in", "inch", "inches", "ft", "foot", "feet", "yd", "yard", "yards",
		"pt", "px", "dpi", "of", "page", "pages", "piece", "pieces", "pcs",
		"sheet", "sheets", "copies", "layers", "x", "×", `"`, "'", "′", "″", "%", "°":
		return true
	}
	return false
}

// letterSize reads one word as a letter size in its one spelling: "s", "m",
// "l", "xs" to "6xs", "xl" to "6xl", where "xxl" is "2xl". "1x" and its like
// are left to letterAt.
func letterSize(w string) (string, bool) {
	switch w {
	case "s", "sm", "small":
		return "s", true
	case "m", "med", "medium":
		return "m", true
	case "l", "lg", "lge", "large":
		return "l", true
	}
	rest := strings.TrimLeft(w, "x")
	n := len(w) - len(rest)
	switch rest {
	case "s", "small":
		return extra(n, "s")
	case "l", "large":
		return extra(n, "l")
	}
	return "", false
}

// extra spells a letter size with n times "extra" before it.
func extra(n int, letter string) (string, bool) {
	switch {
	case n < 1 || n > 6:
		return "", false
	case n == 1:
		return "x" + letter, true
	}
	return string(rune('0'+n)) + "x" + letter, true
}

// isWordRune says whether a rune is part of a word.
func isWordRune(r rune) bool { return unicode.IsLetter(r) || unicode.IsMark(r) }
