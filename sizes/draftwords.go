package sizes

import "strings"

// The words by which Draft knows what every print needs, and colours, in their
// folded form and in the languages that sewing patterns are sold in. Common
// practice, no source.

// isShared says whether a name has a word for what every print needs.
func isShared(name string) bool {
	folded := fold(name)
	if forAll(folded) {
		return true
	}
	toks := tokens(folded)
	for i, t := range toks {
		if t.kind == tokenWord && (sharedWord(t.text) || i+1 < len(toks) && sharedWord(t.text+" "+toks[i+1].text)) {
			return true
		}
	}
	return false
}

// forAll says whether a name is that of all sizes and says nothing else: some
// programs write it without spaces.
func forAll(folded string) bool {
	switch folded {
	case "all", "allsizes", "every", "everysize", "everything", "alle", "alle grössen", "alle groessen", "toutes", "toutes tailles", "toutes les tailles",
		"todas", "todas las tallas", "todos", "todos os tamanhos", "tutte", "tutte le taglie", "alle maten", "alla storlekar", "alle størrelser", "kaikki koot",
		"wszystkie rozmiary", "všechny velikosti", "все", "все размеры", "усі розміри":
		return true
	}
	return false
}

func sharedWord(w string) bool {
	switch w {
	case "text", "texts", "label", "labels", "lettering", "title", "titles", "legend", "key", "logo", "note", "notes",
		"instruction", "instructions", "info", "information", "cover", "copyright", "watermark", "markings", "marking", "marks",
		"grain", "grainline", "grainlines", "notch", "notches", "foldline", "foldlines", "placement", "buttonholes",
		"square", "squares", "testsquare", "scale", "ruler", "border", "borders", "frame", "frames", "grid", "tiles", "tiling", "tile",
		"background", "symbols", "arrows", "common", "shared", "all sizes", "every size", "fold line", "grain line", "grain lines", "drill holes", "page numbers", "piece names",
		"beschriftung", "fadenlauf", "markierung", "markierungen", "passzeichen", "knipse", "testquadrat", "kontrollquadrat", "rahmen", "raster", "legende", "hintergrund", "bruch", "titel", // German
		"texte", "textes", "droit fil", "crans", "cran", "repères", "carré", "cadre", "fond", "légende", "titre", // French
		"texto", "textos", "hilo", "piquetes", "marcas", "cuadrado", "marco", "fondo", "leyenda", "título", "fio", "piques", "moldura", "fundo", // Spanish, Portuguese
		"testo", "testi", "drittofilo", "tacche", "riferimenti", "quadrato", "cornice", "sfondo", "legenda", // Italian
		"tekst", "draadrichting", "merktekens", "proefvierkant", "kader", "achtergrond", // Dutch
		"trådriktning", "trådretning", "jakmärken", "testruta", "bakgrund", "baggrund", // Swedish, Danish
		"надписи", "долевая", "надсечки", "рамка", "фон": // Russian
		return true
	}
	return false
}

// isColour says whether a folded text is a colour and nothing else: a colour
// word with or without words for its shade.
func isColour(text string) bool {
	found := false
	for _, t := range tokens(text) {
		switch {
		case t.kind == tokenSign && t.text == "-":
		case t.kind != tokenWord:
			return false
		case colourWord(t.text) || colourWord(withoutShade(t.text)):
			found = true
		case !shadeWord(t.text):
			return false
		}
	}
	return found
}

// withoutShade takes the shade from a colour written as one word: "darkblue",
// "hellblau".
func withoutShade(w string) string {
	for _, shade := range []string{"dark", "light", "deep", "hot", "dunkel", "hell", "mörk", "ljus", "mørke", "lyse", "donker", "licht"} {
		if rest, ok := strings.CutPrefix(w, shade); ok {
			return rest
		}
	}
	return w
}

func shadeWord(w string) bool {
	switch w {
	case "dark", "light", "deep", "bright", "pale", "hot", "sky", "navy", "royal", "lime", "forest", "olive",
		"dunkel", "hell", "foncé", "clair", "oscuro", "claro", "scuro", "chiaro", "donker", "licht":
		return true
	}
	return false
}

// colourWord knows colours that are told apart on paper. The English ones are
// among the names of CSS Color Module Level 4, "Named Colors".
func colourWord(w string) bool {
	switch w {
	case "black", "gray", "grey", "silver", "white", "maroon", "red", "purple", "fuchsia", "magenta", "green", "lime", "olive",
		"yellow", "navy", "blue", "teal", "aqua", "cyan", "orange", "brown", "pink", "gold", "crimson", "indigo", "violet",
		"orchid", "turquoise", "chocolate", "coral", "salmon", "tomato", "khaki", "tan", "beige", "lavender", "plum",
		"schwarz", "grau", "weiss", "rot", "lila", "grün", "gelb", "blau", "türkis", "braun", "rosa", "violett", // German
		"noir", "gris", "blanc", "rouge", "pourpre", "vert", "jaune", "bleu", "marron", "rose", "doré", // French
		"negro", "blanco", "rojo", "morado", "verde", "amarillo", "azul", "naranja", "celeste", "turquesa", // Spanish
		"preto", "cinza", "vermelho", "roxo", "amarelo", "laranja", "castanho", // Portuguese
		"nero", "grigio", "bianco", "rosso", "giallo", "azzurro", "arancione", "arancio", "marrone", "viola", // Italian
		"zwart", "grijs", "wit", "rood", "paars", "groen", "geel", "blauw", "oranje", "bruin", "roze", // Dutch
		"svart", "grå", "röd", "grön", "gul", "blå", "brun", "sort", "rød", "grøn", // Swedish, Danish
		"чёрный", "черный", "красный", "зелёный", "зеленый", "синий", "жёлтый", "желтый": // Russian
		return true
	}
	return false
}
