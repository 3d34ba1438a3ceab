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
		"velikost", "velikosti", "vel", "veľkosť", "veličina", // Czech, Slovene, Slovak, Croatian
		"méret", "beden", "μέγεθοσ", "mărime", "mărimea", // Hungarian, Turkish, Greek (as it folds), Romanian
		"suurus", "izmērs", "dydis", // Estonian, Latvian, Lithuanian
		"размер", "размеры", "розмір", // Russian, Bulgarian, Ukrainian
		"مقاس", "מידה", // Arabic, Hebrew
		"サイズ", "号", "號", "尺码", "尺碼", "码", "碼", "사이즈", "호": // Japanese, Chinese, Korean
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
	case "fr": // "fra" is a Norwegian word for from
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
	case "-", "~", "..", "\u301c", "to", "upto", "thru", "through", "till", "until",
		"bis", "à", "a", "al", "alla", "ao", "até", "hasta", "tot", "til", "do", "až", "līdz", "iki", "kuni",
		"до", "по", "έωσ", "至", "到":
		return true
	}
	return false
}

// listWord says whether a word or sign between two sizes means just the two.
func listWord(w string) bool {
	switch w {
	case "/", "|", "+", "&", ",", ";", "、", "・", "·", "and", "or",
		"und", "oder", "et", "ou", "y", "o", "e", "en", "og", "och", "i", "и",
		"ja", "és", "ve", "și", "şi", "un", "ir", "και", "和", "及", "と":
		return true
	}
	return false
}

// introWord may open a span or a list.
func introWord(w string) bool {
	switch w {
	case "from", "von", "de", "du", "da", "dal", "dalla", "del", "desde", "van", "vanaf", "fra", "från", "od", "от", "partir", "partire":
		return true
	}
	return false
}

// spanPhrases are several words and signs that mean the same as a span word.
func spanPhrases() [][]string {
	return [][]string{
		{"t", "/", "m"}, {"t", ".", "e", ".", "m", "."}, {"t", ".", "e", ".", "m"}, {"tot", "en", "met"},
		{"up", "to"}, {"à", "la"}, {"a", "la"}, {"hasta", "la"}, {"fino", "a"}, {"fino", "al"}, {"fino", "alla"},
		{"până", "la"}, {"pana", "la"}, {"až", "do"},
		{"jusqu", "'", "à"}, {"jusqu", "’", "à"}, {"jusqu", "'", "au"}, {"jusqu", "’", "au"},
	}
}

// article may stand between a word such as "from" and the size.
func article(w string) bool {
	switch w {
	case "la", "le", "el", "de", "der", "die", "den", "het":
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
		"ab", "bis", "ohne", "nicht", "ausser", "zwischen", "unter", "über",
		"sans", "sauf", "entre", "sin", "salvo", "hasta", "senza", "alla", "tra", "sem", "até",
		"excepté", "tranne", "eccetto", "excepto", "exceto", "menos", "meno", "fuorché",
		"tot", "zonder", "behalve", "till", "til", "utan", "uden", "utom", "undtagen", "unntatt", "uten", "paitsi",
		"bez", "kromě", "mimo", "oprócz", "poza", "kivéve", "hariç", "до", "без", "кроме", "крім":
		return true
	}
	return false
}

// openWord after a size means others too: "14 and up", "14 plus".
func openWord(w string) bool {
	switch w {
	case "up", "upwards", "onwards", "over", "above", "larger", "bigger", "plus",
		"under", "below", "smaller", "down", "aufwärts", "grösser", "kleiner", "mehr",
		"moins", "más", "mayores", "menos", "oltre", "superiori", "mais", "maiores",
		"groter", "hoger", "större", "uppåt", "større", "opad", "oppover", "isommat", "suuremmat", "ylöspäin",
		"większe", "wyżej", "větší", "больше", "выше":
		return true
	}
	return false
}

// otherThing says whether a word names a thing that has sizes of its own.
func otherThing(w string) bool {
	switch w {
	case "font", "paper", "page", "sheet", "tile", "screen", "needle", "thread",
		"button", "snap", "zip", "zipper", "hook", "eyelet", "grommet", "bead", "elastic",
		"nadel", "knopf", "papier", "schrift", "aiguille", "bouton", "aguja", "botón", "ago", "bottone", "naald", "knoop":
		return true
	}
	return false
}

// countWord says whether a number behind a word is that of a thing which is
// counted or numbered, and so no second size: "size 8 cut 2".
func countWord(w string) bool {
	switch w {
	case "cut", "page", "part", "piece", "view", "version", "layer", "line", "path", "group", "sheet", "tile", "step", "copy", "fold", "of", "x", "no", "nr", "mirror",
		"teil", "blatt", "seite", "ansicht", "ebene", "zuschnitt", "stoff", "kopie",
		"pièce", "partie", "vue", "planche", "feuille", "calque", "couper", "copie",
		"pieza", "parte", "vista", "hoja", "página", "capa", "cortar", "copia", "pezzo", "foglio", "pagina", "livello", "tagliare",
		"deel", "blad", "laag", "knip", "del", "side", "sida", "ark", "osa", "sivu", "część", "strona", "díl", "деталь", "лист":
		return true
	}
	return false
}

// isLength says whether a word that ends a name makes a longer or shorter size of
// the one before it; elsewhere it may be said of sleeves.
func isLength(w string) bool {
	switch w {
	case "long", "short", "regular", "lang", "kurz", "court", "courte", "longue", "largo", "corto", "lungo":
		return true
	}
	return false
}

// cupWord says whether a word marks the letter beside it as a cup.
func cupWord(w string) bool {
	switch w {
	case "cup", "cups", "körbchen", "bonnet", "copa", "coppa", "kupa":
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
// are left to letterNumbered.
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
