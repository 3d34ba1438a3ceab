package sizes

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// testCharts are the charts of spellingCases: labels, without lists of layers.
func testCharts() map[string]*Chart {
	labels := map[string][]string{
		"numbers": {"6", "8", "10", "12", "14", "16", "18", "20", "22", "24"},
		"small":   {"000", "00", "0", "2", "4", "6", "8"}, // US misses' sizes begin so (check values: ASTM D5585-11e1, Table 1, has 00 and 0)
		"euro":    {"34", "36", "38", "40", "42", "44", "46"},
		"halves":  {"38", "38.5", "39", "8 1/2"},
		"comma":   {"38", "38,5", "39"},
		"padded":  {"06", "08", "10", "12"},
		"letters": {"XXS", "XS", "S", "M", "L", "XL", "XXL", "3XL", "4XL", "5XL", "6XL"},
		"plus":    {"L", "XL", "1X", "2X", "3X"},
		"twoplus": {"XL", "XXL", "1X", "2X"},
		"mixed":   {"S", "M", "L", "8", "10", "12"},
		"colours": {"red", "green", "dark blue", "blue", "grün"},
		"scripts": {"小", "中", "大", "малый", "الكبير"},
		"women":   {"14", "16", "18", "16W", "18W"},
		"ranges":  {"6-8", "10-12", "14-16"},
		"pairs":   {"XS/S", "M/L", "XL"},
		"systems": {"US 8", "US 10", "EU 38", "EU 40"},
		"both":    {"US 8", "UK 8", "IT 8", "US 10"},
		"beside":  {"38", "EU 38", "40"},
		"double":  {"US 8 / EU 38", "US 10 / EU 40", "US 12 / EU 42"},
		"bracket": {"8 (S)", "10 (M)", "12 (M)"},
		"views":   {"8 petite", "8", "8 tall", "10"},
		"words":   {"Size 8", "Size 10", "Size 12"},
		"odd":     {"8, 10", "10..12", "10", "12"},
		"baby":    {"Preemie", "Newborn", "0-3m", "3-6m", "6-9m", "12m", "18m"},
		"child":   {"0-3m", "12m", "18m", "2 years", "3 years", "4 years", "2", "3"},
		"years":   {"2 years", "3 years", "4 years", "4-5 years"},
		"toddler": {"2T", "3T", "4T", "5", "6"},
		"heights": {"50/56", "62/68", "74/80"}, // body heights in cm: EN 13402-3, from memory
		"threes":  {"3", "M"},
		"plain":   {"2", "3", "4", "5"},
		"ages":    {"Age 2", "Age 3", "Age 4"},
		"japan":   {"7", "9", "11", "13"}, // JIS L 4005 has odd numbers (check values 1.8)
	}
	charts := map[string]*Chart{}
	for name, list := range labels {
		c := &Chart{}
		for _, label := range list {
			c.Sizes = append(c.Sizes, Size{Label: label})
		}
		charts[name] = c
	}
	return charts
}

// A spellingCase is a layer name and what a chart makes of it: the labels
// joined by "|", "unknown", or "ambiguous" with the labels of the claims.
type spellingCase struct{ chart, name, want, why string }

// spellingCases are layer names as designers write them, invented after habits
// seen in common practice; there is no source for any of them.
var spellingCases = []spellingCase{
	// The label in full.
	{"numbers", "8", "8", "the label itself"},
	{"numbers", " 8 ", "8", "white space around"},
	{"numbers", "08", "8", "padded with a zero"},
	{"numbers", "008", "8", "padded twice"},
	{"numbers", "８", "8", "full-width digit"},
	{"numbers", "٨", "8", "Arabic-Indic digit"},
	{"numbers", "⑧", "8", "circled digit"},
	{"numbers", "\ufeff8", "8", "byte-order mark before"},
	{"numbers", "1\u200b0", "10", "zero-width space within"},
	{"numbers", "1\u00ad0", "10", "soft hyphen within"},
	{"numbers", "1\u20280", "unknown", "a line separator parts two numbers"},
	{"numbers", "7", "unknown", "not in the chart"},
	{"numbers", "80", "unknown", "8 is only its first digit"},
	{"numbers", "88", "unknown", "8 twice is not 8"},
	{"numbers", "8.5", "unknown", "a half size is another size"},
	{"numbers", "8½", "unknown", "as a fraction too"},
	{"numbers", "8²", "unknown", "a raised 2 does not make 82, nor 8"},
	{"numbers", "18", "18", "8 within is not looked for"},
	{"numbers", "#8", "8", "number sign"},
	{"numbers", "No. 8", "8", "number word"},
	{"numbers", "Nr. 12", "12", "number word, German"},
	{"numbers", "(8)", "8", "brackets around it all"},
	{"numbers", "[12]", "12", "square brackets around it all"},
	{"numbers", "“8”", "8", "quotes"},
	{"numbers", "8.", "8", "full stop"},
	{"numbers", "8:", "8", "colon"},
	{"numbers", "<8", "unknown", "below 8"},
	{"numbers", "8+", "unknown", "8 and up"},
	{"numbers", "-8", "unknown", "up to 8, or below zero"},
	{"numbers", "8-", "unknown", "a span without an end"},
	{"numbers", "10..", "unknown", "a span without an end"},
	{"small", "0", "0", "zero is a size"},
	{"small", "00", "00", "double zero is another"},
	{"small", "000", "000", "triple zero is a third"},
	{"small", "Size 00", "00", "double zero with a size word"},
	{"small", "02", "2", "a padding zero still goes"},
	{"small", "0-4", "0|2|4", "a span from zero"},
	{"padded", "8", "08", "the chart pads, the file does not"},
	{"padded", "Size 6", "06", "the same with a size word"},
	{"padded", "06-10", "06|08|10", "a span of padded labels"},
	{"halves", "38.5", "38.5", "decimal point"},
	{"halves", "38,5", "38.5", "decimal comma"},
	{"halves", "Gr. 38,5", "38.5", "decimal comma after a size word"},
	{"halves", "38.05", "unknown", "a zero after the point is no padding"},
	{"halves", "38, 39", "38|39", "a comma with a space is a list"},
	{"halves", "38-39", "38|38.5|39", "a span takes the half size in"},
	{"halves", "8½", "8 1/2", "fraction in one character"},
	{"halves", "Size 8 1/2", "8 1/2", "fraction in three"},
	{"halves", "8", "unknown", "8 is not 8 1/2"},
	{"comma", "38.5", "38,5", "the chart writes the comma"},
	{"comma", "38,5", "38,5", "both write the comma"},

	// Size words.
	{"numbers", "Size 8", "8", "size word"},
	{"numbers", "SIZE 8", "8", "upper case"},
	{"numbers", "size 8", "8", "lower case"},
	{"numbers", "Ｓｉｚｅ　８", "8", "full-width letters, digit and space"},
	{"numbers", "Size  8", "8", "two spaces"},
	{"numbers", "Size\t8", "8", "a tab"},
	{"numbers", "Size\u00a08", "8", "a no-break space"},
	{"numbers", "Size08", "8", "attached and padded"},
	{"numbers", "size_08", "8", "underscore"},
	{"numbers", "Size-8", "8", "hyphen"},
	{"numbers", "Size: 8", "8", "colon"},
	{"numbers", "Size #8", "8", "number sign"},
	{"numbers", "Size No. 8", "8", "number word"},
	{"numbers", "Size=8", "8", "equals sign"},
	{"numbers", "sz8", "8", "short, attached"},
	{"numbers", "Sz. 8", "8", "short, with a full stop"},
	{"numbers", "SZ 08", "8", "short, upper case, padded"},
	{"numbers", "8 size", "8", "size word behind"},
	{"numbers", "Sizes 8", "8", "plural"},
	{"numbers", "Size: #08.", "8", "signs on all sides"},
	{"euro", "Gr. 38", "38", "German, short"},
	{"euro", "Gr 38", "38", "German, without the full stop"},
	{"euro", "gr38", "38", "German, attached"},
	{"euro", "Größe 38", "38", "German"},
	{"euro", "Gro\u0308ße 38", "38", "German, with a combining mark"},
	{"euro", "GRÖSSE 38", "38", "German, upper case"},
	{"euro", "Groesse 38", "38", "German, without umlaut"},
	{"euro", "T38", "38", "French, short, attached"},
	{"euro", "T.38", "38", "French, short, with a full stop"},
	{"euro", "T 38", "38", "French, short, apart"},
	{"euro", "Taille 38", "38", "French"},
	{"euro", "Talla 38", "38", "Spanish"},
	{"euro", "Taglia 42", "42", "Italian"},
	{"euro", "tg. 42", "42", "Italian, short"},
	{"euro", "Maat 40", "40", "Dutch"},
	{"euro", "mt. 40", "40", "Dutch, short"},
	{"euro", "Storlek 40", "40", "Swedish"},
	{"euro", "Str. 40", "40", "Danish, short"},
	{"euro", "STØRRELSE 40", "40", "Danish, upper case"},
	{"euro", "Koko 40", "40", "Finnish"},
	{"euro", "Rozmiar 40", "40", "Polish"},
	{"euro", "Tam. 40", "40", "Portuguese, short"},
	{"euro", "Размер 44", "44", "Russian"},
	{"japan", "9号", "9", "Japanese, behind the number"},
	{"japan", "サイズ9", "9", "Japanese, before the number"},
	{"japan", "サイズ　１１", "11", "Japanese, full width"},
	{"japan", "7〜11", "7|9|11", "Japanese span sign"},
	{"numbers", "S8", "8", "S before a number where the chart has no letter S"},
	{"mixed", "S8", "unknown", "S may be the letter size here"},
	{"numbers", "S8 cut", "unknown", "S alone marks nothing in a longer name: step 8, sheet 8"},
	{"numbers", "Size", "unknown", "a size word without a size"},
	{"numbers", "Size chart", "unknown", "a size word without a size"},
	{"numbers", "Resize 8", "unknown", "not the size word"},
	{"numbers", "size 9", "unknown", "not in the chart"},
	{"numbers", "Size 16W", "unknown", "a women's size, which the chart does not have"},
	{"numbers", "8cm", "unknown", "a length"},
	{"women", "16W", "16W", "the chart has both: women's"},
	{"women", "16 W", "16W", "spaced"},
	{"women", "16", "16", "the chart has both: misses'"},
	{"women", "Size 16W front", "16W", "the longest label wins"},
	{"women", "14-18", "14|16|18", "the span ends at 18, not at 18W"},

	// Sizing systems.
	{"euro", "EU 38", "38", "a system before"},
	{"euro", "38 EU", "38", "a system behind"},
	{"euro", "EU38", "38", "attached"},
	{"euro", "38EU", "38", "attached behind"},
	{"euro", "EUR 38", "38", "another spelling"},
	{"euro", "EU size 38", "38", "system and size word"},
	{"euro", "Size EU 38", "38", "size word and system"},
	{"euro", "Size 38 (EU)", "38", "a system in brackets"},
	{"euro", "38 (EU)", "38", "a system in brackets, in full"},
	{"numbers", "8-12 (US)", "8|10|12", "a system in brackets behind a span"},
	{"euro", "FR 38", "38", "France, in full"},
	{"euro", "D 38", "unknown", "a letter alone is no system"},
	{"numbers", "US 8", "8", "US"},
	{"numbers", "UK 12", "12", "UK"},
	{"numbers", "Tollmere skirt US 8 front", "8", "a system marks a number within"},
	{"numbers", "Fit it 8 times", "unknown", "a word of the language is no system within"},
	{"numbers", "US Letter", "unknown", "a system without a number"},
	{"numbers", "US 8 x 11 sheet", "unknown", "a sheet"},
	{"systems", "US 8", "US 8", "in full"},
	{"systems", "us 08", "US 8", "padded"},
	{"systems", "8", "US 8", "only one system has an 8"},
	{"systems", "EU 8", "unknown", "that system has none"},
	{"systems", "UK 10", "unknown", "a third system"},
	{"systems", "Size 38", "EU 38", "only one system has a 38"},
	{"systems", "US 8-10", "US 8|US 10", "the system holds for both ends"},
	{"both", "Front size 8 UK cut", "UK 8", "a system behind, within"},
	{"both", "Front size 8 it fits", "ambiguous US 8|UK 8|IT 8", "a word of the language is no system within"},
	{"both", "Front size 8", "ambiguous US 8|UK 8|IT 8", "no system, of three"},
	{"both", "8 IT", "IT 8", "a weak system behind, in full"},
	{"beside", "EU size 38", "EU 38", "the system decides between two labels"},
	{"beside", "38 (EU)", "EU 38", "and behind, in brackets"},
	{"beside", "size 38", "38", "without a system, the label in full"},
	{"systems", "38-40 EU", "EU 38|EU 40", "and when it stands behind"},

	// Letters.
	{"letters", "M", "M", "letter"},
	{"letters", "m", "M", "lower case"},
	{"letters", "Medium", "M", "word"},
	{"letters", "MED", "M", "short word"},
	{"letters", "Small", "S", "word"},
	{"letters", "Large", "L", "word"},
	{"letters", "Size M", "M", "size word"},
	{"letters", "Size: Large", "L", "size word and word"},
	{"letters", "Sz_XL", "XL", "underscore"},
	{"letters", "X-Large", "XL", "hyphen"},
	{"letters", "X Large", "XL", "space"},
	{"letters", "XLarge", "XL", "attached"},
	{"letters", "Extra Large", "XL", "word"},
	{"letters", "extra-small", "XS", "word with a hyphen"},
	{"letters", "XX-Large", "XXL", "hyphen"},
	{"letters", "Extra Extra Large", "XXL", "words"},
	{"letters", "2XL", "XXL", "number"},
	{"letters", "2X", "XXL", "number without L"},
	{"letters", "2 XL", "XXL", "number apart"},
	{"letters", "02XL", "XXL", "number padded"},
	{"letters", "XXXL", "3XL", "the chart has the number"},
	{"letters", "3X", "3XL", "number without L"},
	{"letters", "XXXXXXL", "6XL", "six"},
	{"letters", "7XL", "unknown", "beyond the table"},
	{"letters", "2XS", "XXS", "small"},
	{"letters", "XX-Small", "XXS", "small, hyphen"},
	{"letters", "1XL", "XL", "one X"},
	{"letters", "1X", "unknown", "1X is a plus size, not XL"},
	{"letters", "X", "unknown", "X alone is no size"},
	{"letters", "ML", "unknown", "two letters run together"},
	{"letters", "S M L", "unknown", "no list without separators"},
	{"letters", "XS-L", "XS|S|M|L", "span"},
	{"letters", "S to XL", "S|M|L|XL", "span with a word"},
	{"letters", "S/M", "S|M", "list"},
	{"letters", "Small/Medium", "S|M", "list of words"},
	{"letters", "Front piece size M", "M", "marked within"},
	{"letters", "Cut line M", "unknown", "a letter that nothing marks"},
	{"letters", "Large notches", "unknown", "a word that nothing marks"},
	{"letters", "L sleeve", "unknown", "left, perhaps"},
	{"plus", "1X", "1X", "the chart has it"},
	{"plus", "2X", "2X", "the label itself"},
	{"plus", "XXL", "2X", "the chart has no other"},
	{"plus", "XL", "XL", "beside 1X"},
	{"twoplus", "2X", "2X", "the label before its like"},
	{"twoplus", "XXL", "XXL", "the label before its like"},
	{"twoplus", "XX-Large", "ambiguous XXL|2X", "the chart has two that it may be"},
	{"pairs", "XS/S", "XS/S", "the label is a pair"},
	{"pairs", "xs / s", "XS/S", "spaced"},
	{"pairs", "XS", "unknown", "half of a label is not the label"},
	{"pairs", "XS/S-XL", "XS/S|M/L|XL", "a span of pairs"},

	// Labels that are words.
	{"colours", "green", "green", "the label"},
	{"colours", "Green", "green", "case"},
	{"colours", "GREEN copy", "green", "a copied layer"},
	{"colours", "Size green", "green", "size word"},
	{"colours", "dark green", "unknown", "another colour"},
	{"colours", "green line", "unknown", "no label in full"},
	{"colours", "green2", "unknown", "no label in full"},
	{"colours", "greenish", "unknown", "no label in full"},
	{"colours", "dark blue", "dark blue", "two words"},
	{"colours", "dark_blue", "dark blue", "underscore"},
	{"colours", "Dark  Blue", "dark blue", "two spaces"},
	{"colours", "blue", "blue", "beside dark blue"},
	{"colours", "red/green", "red|green", "list"},
	{"colours", "red to blue", "red|green|dark blue|blue", "span in chart order"},
	{"colours", "red and purple", "unknown", "purple is not in the chart"},
	{"colours", "GRÜN", "grün", "umlaut"},
	{"colours", "gru\u0308n", "grün", "combining mark"},
	{"colours", "grun", "unknown", "another word"},
	{"scripts", "中", "中", "Chinese"},
	{"scripts", "中号", "unknown", "no word break that could be found"},
	{"scripts", "Малый", "малый", "Cyrillic, upper case"},
	{"scripts", "الكبير", "الكبير", "Arabic"},
	{"scripts", "小/大", "小|大", "list"},
	{"words", "8", "Size 8", "the chart has the size word"},
	{"words", "size 08", "Size 8", "both have it"},
	{"words", "Gr. 10", "Size 10", "another size word"},
	{"words", "8-12", "Size 8|Size 10|Size 12", "span"},
	{"words", "Size 8-12", "Size 8|Size 10|Size 12", "span after the label"},

	// Copies and other things that programs append.
	{"numbers", "8 copy", "8", "copied"},
	{"numbers", "Size 8 copy 2", "8", "copied again"},
	{"numbers", "Size 8 copy copy", "8", "copy of a copy"},
	{"numbers", "8 [Converted]", "8", "converted"},
	{"numbers", "Size 8 (copy)", "8", "in brackets"},
	{"numbers", "Size 8 - Kopie", "8", "German"},
	{"numbers", "8_copy", "8", "underscore"},
	{"numbers", "8 copy 12", "8", "the twelfth copy of 8"},
	{"numbers", "copy 8", "unknown", "a copy of nothing"},
	{"numbers", "copy", "unknown", "nothing else"},

	// Spans and lists.
	{"numbers", "10-14", "10|12|14", "hyphen"},
	{"numbers", "10–14", "10|12|14", "en dash"},
	{"numbers", "10—14", "10|12|14", "em dash"},
	{"numbers", "10−14", "10|12|14", "minus sign"},
	{"numbers", "10 - 14", "10|12|14", "spaced"},
	{"numbers", "10 to 14", "10|12|14", "word"},
	{"numbers", "10to14", "10|12|14", "attached word"},
	{"numbers", "10..14", "10|12|14", "dots"},
	{"numbers", "10…14", "10|12|14", "ellipsis"},
	{"numbers", "10 thru 14", "10|12|14", "word"},
	{"numbers", "10 bis 14", "10|12|14", "German"},
	{"numbers", "von 10 bis 14", "10|12|14", "German, with its first word"},
	{"numbers", "from 10 to 14", "10|12|14", "with its first word"},
	{"numbers", "from 10", "unknown", "without an end"},
	{"numbers", "10 à 14", "10|12|14", "French"},
	{"numbers", "Size 10-14", "10|12|14", "size word"},
	{"numbers", "Sizes 06-10", "6|8|10", "padded"},
	{"numbers", "Size 10 to size 14", "10|12|14", "two size words"},
	{"numbers", "sz10-sz14", "10|12|14", "two size words attached"},
	{"numbers", "14-10", "10|12|14", "from the larger"},
	{"numbers", "8-8", "8", "from itself"},
	{"numbers", "10-15", "unknown", "15 is not in the chart"},
	{"numbers", "9-14", "unknown", "9 is not in the chart"},
	{"numbers", "10/12", "10|12", "slash"},
	{"numbers", "10 / 14", "10|14", "slash: just those named"},
	{"numbers", "10+14", "10|14", "plus: just those named"},
	{"numbers", "10 & 14", "10|14", "ampersand"},
	{"numbers", "10 and 14", "10|14", "word"},
	{"numbers", "10, 12", "10|12", "comma"},
	{"numbers", "10,12", "10|12", "comma without a space"},
	{"numbers", "10, 12, 16", "10|12|16", "three"},
	{"numbers", "10, 12 and 16", "10|12|16", "comma and word"},
	{"numbers", "10, 12, and 16", "10|12|16", "comma before the word"},
	{"numbers", "10 und 12", "10|12", "German"},
	{"numbers", "10 or 12", "10|12", "either serves both"},
	{"numbers", "6, 10-14 & 24", "6|10|12|14|24", "list with a span"},
	{"numbers", "10/13", "unknown", "13 is not in the chart"},
	{"numbers", "10 12", "unknown", "neither span nor list"},
	{"numbers", "8-10-12", "8|10|12", "a chain that is the same as a span and as a list"},
	{"numbers", "8-12-16", "unknown", "a chain may be either"},
	{"numbers", "1/4", "unknown", "a quarter"},
	{"numbers", "10/", "unknown", "a list without an end"},
	{"ranges", "6-8", "6-8", "the label is a range"},
	{"ranges", "Size 10–12", "10-12", "en dash"},
	{"ranges", "6-8 to 14-16", "6-8|10-12|14-16", "a span of ranges"},
	{"ranges", "6-16", "unknown", "6 alone is no label"},
	{"ranges", "8", "unknown", "half of a label is not the label"},
	{"odd", "8, 10", "8, 10", "the label has a comma"},
	{"odd", "10..12", "10..12", "the label has dots"},
	{"odd", "10, 12", "10|12", "no label, so a list"},

	// Double labels.
	{"numbers", "8 (M)", "8", "the letter is not in the chart"},
	{"letters", "8 (M)", "M", "the number is not in the chart"},
	{"letters", "M (8-10)", "M", "a span that is not in the chart"},
	{"letters", "S-M (8-10)", "S|M", "spans on both sides"},
	{"mixed", "8 (M)", "ambiguous 8|M", "both are in the chart and differ"},
	{"mixed", "8 = M", "ambiguous 8|M", "with an equals sign"},
	{"mixed", "8/M", "ambiguous 8|M", "with a slash"},
	{"mixed", "M - 8", "ambiguous M|8", "a hyphen between two kinds is no span"},
	{"numbers", "US 8 / EU 38", "8", "EU 38 is not in the chart"},
	{"euro", "US 8 / EU 38", "38", "US 8 is not in the chart"},
	{"euro", "US 8 = EU 38", "38", "equals sign"},
	{"euro", "US 8-10 / EU 38-40", "38|40", "two spans"},
	{"euro", "US 8 EU 38", "38", "side by side"},
	{"systems", "US 8 / EU 40", "ambiguous US 8|EU 40", "both are in the chart"},
	{"double", "US 8 / EU 38", "US 8 / EU 38", "the label itself"},
	{"double", "US8/EU38", "US 8 / EU 38", "the label, closer"},
	{"double", "EU 38", "US 8 / EU 38", "its second part"},
	{"double", "8", "US 8 / EU 38", "its first part without the system"},
	{"double", "EU 38-42", "US 8 / EU 38|US 10 / EU 40|US 12 / EU 42", "a span of second parts"},
	{"double", "US 8 (EU 38)", "US 8 / EU 38", "both parts lead to one size"},
	{"double", "US 8 / EU 40", "ambiguous US 8 / EU 38|US 10 / EU 40", "the parts lead to two"},
	{"bracket", "8", "8 (S)", "its number"},
	{"bracket", "S", "8 (S)", "its letter"},
	{"bracket", "M", "ambiguous 10 (M)|12 (M)", "a letter of two sizes"},
	{"bracket", "8-12", "8 (S)|10 (M)|12 (M)", "a span of their numbers"},

	// Longer names.
	{"numbers", "Tollmere_front_sz08_cut", "8", "size word and number between underscores"},
	{"numbers", "Tollmere-skirt-size-14-front", "14", "between hyphens"},
	{"numbers", "Front Size 8", "8", "behind"},
	{"numbers", "Size 8 Front", "8", "before"},
	{"numbers", "01 Size 12 lines", "12", "a layer number before it"},
	{"numbers", "Layer 3 - Size 12", "12", "a layer number before it"},
	{"numbers", "View A, size 10-14, back", "10|12|14", "a span within"},
	{"numbers", "Sizes 10/12 dart", "10|12", "a list within"},
	{"numbers", "Size 8/front", "8", "a slash before a word"},
	{"numbers", "Size 8 & notches", "8", "an ampersand before a word"},
	{"numbers", "Size 8 + seam allowance", "8", "a plus before a word"},
	{"numbers", "Size 8 - 2 cm hem", "8", "a length behind is no end of a span"},
	{"numbers", "Size 8, 2 pieces", "8", "a count behind is no second size"},
	{"numbers", "Size 8 (front)", "8", "a word in brackets"},
	{"numbers", "sz12.pdf", "12", "a file name"},
	{"numbers", "Tollmere.pdf|Size 8", "8", "a file name before it"},
	{"numbers", "skirt gr 12 vorne", "12", "German within"},
	{"euro", "jupe_T38_devant", "38", "T attached, within"},
	{"euro", "Plan T 38 x", "unknown", "T apart marks nothing within"},
	{"numbers", "front_08_cut", "unknown", "a number that nothing marks"},
	{"numbers", "Front 8", "unknown", "a number that nothing marks"},
	{"numbers", "Page 12", "unknown", "a page"},
	{"numbers", "Layer 8", "unknown", "a number that programs give"},
	{"numbers", "Tile 8 of 24", "unknown", "a tile"},
	{"numbers", "Step 10", "unknown", "a step"},
	{"numbers", "12 pages", "unknown", "a count"},
	{"numbers", "8 cm", "unknown", "a length"},
	{"small", "2 in test square", "unknown", "a length"},
	{"small", "1/4 in seam", "unknown", "a length"},
	{"small", "Test square size 2 in", "unknown", "a length behind a size word"},
	{"small", "Size 2\" square", "unknown", "a length with a sign"},
	{"numbers", "Test square size 10 cm", "unknown", "a length behind a size word"},
	{"numbers", "Size 10 x 12", "unknown", "two lengths"},
	{"numbers", "Needle size 12", "unknown", "the size of a needle"},
	{"numbers", "Font size 10", "unknown", "the size of type"},
	{"numbers", "Button size 24", "unknown", "the size of a button"},
	{"numbers", "Paper size A4", "unknown", "the size of paper"},
	{"numbers", "up to size 14", "unknown", "open below"},
	{"numbers", "Size 14 and up", "unknown", "open above"},
	{"numbers", "Size 14+", "unknown", "open above"},
	{"numbers", "Cut here from size 14", "unknown", "open above"},
	{"numbers", "Cut from size 14 to 18 here", "14|16|18", "the span has its end"},
	{"numbers", "Pocket for all except size 6", "unknown", "all but that"},
	{"numbers", "Not size 8", "unknown", "all but that"},
	{"numbers", "Grade between size 8 and 10", "unknown", "neither of the two"},
	{"numbers", "Size 8 10 front", "unknown", "neither span nor list"},
	{"numbers", "Size 8 front, size 8 back", "8", "the same twice"},
	{"numbers", "Size 8 front, size 10 back", "ambiguous 8|10", "two sizes of which it may be either"},
	{"numbers", "Size 9 front", "unknown", "not in the chart"},
	{"numbers", "All sizes", "unknown", "no size named"},
	{"numbers", "Size 8W front", "unknown", "a women's size"},
	{"views", "Size 8 petite front", "8 petite", "the longest label wins"},
	{"views", "8 Petite", "8 petite", "in full"},
	{"views", "Size 8 front", "8", "the plain one"},
	{"views", "8 petite - 8 tall", "8 petite|8|8 tall", "a span of views"},

	// Ages of babies and children.
	{"baby", "0-3m", "0-3m", "the label"},
	{"baby", "0-3 months", "0-3m", "the unit in full"},
	{"baby", "0-3M", "0-3m", "upper case"},
	{"baby", "0 to 3 months", "0-3m", "a word for the hyphen"},
	{"baby", "0m-3m", "0-3m", "the unit twice"},
	{"baby", "3/6 mths", "3-6m", "a slash, and a short word"},
	{"baby", "Size 0-3 months", "0-3m", "size word"},
	{"baby", "Tollmere_romper_size_3-6m_front", "3-6m", "within a longer name"},
	{"baby", "12 months", "12m", "one age"},
	{"baby", "12 mo", "12m", "short"},
	{"baby", "12 M", "12m", "a letter apart"},
	{"baby", "18-months", "18m", "a hyphen before the unit"},
	{"baby", "0-3m to 6-9m", "0-3m|3-6m|6-9m", "a span of ranges"},
	{"baby", "12m, 18m", "12m|18m", "a list"},
	{"baby", "12 and 18 months", "12m|18m", "a list with one unit"},
	{"baby", "12-18 months", "12m|18m", "a span, since both ends are sizes"},
	{"baby", "NB", "Newborn", "short"},
	{"baby", "newborn", "Newborn", "lower case"},
	{"baby", "Prem", "Preemie", "short"},
	{"baby", "12", "unknown", "a number is no age in months"},
	{"baby", "Size 12", "unknown", "a number is no age in months"},
	{"baby", "3m", "unknown", "half of a label is not the label"},
	{"baby", "6-12m", "unknown", "another range"},
	{"baby", "0-3 years", "unknown", "another unit"},
	{"baby", "12 Monate", "12m", "German"},
	{"baby", "12 mois", "12m", "French"},
	{"baby", "0-3 meses", "0-3m", "Spanish"},
	{"baby", "3-6 mesi", "3-6m", "Italian"},
	{"baby", "maat 3-6 maanden", "3-6m", "Dutch"},
	{"baby", "12 månader", "12m", "Swedish"},
	{"child", "Size 2 years", "2 years", "size word"},
	{"child", "2yrs", "2 years", "short, attached"},
	{"child", "2y", "2 years", "a letter"},
	{"child", "Age 2", "2 years", "a word for the years"},
	{"child", "size 2", "2", "the chart has both: the number"},
	{"child", "2", "2", "the chart has both: the number"},
	{"child", "front size 3 years cut", "3 years", "the chart has both: the years, within"},
	{"child", "4", "unknown", "a number is no age"},
	{"child", "12", "unknown", "the chart has 12m, and a number is no age"},
	{"child", "3m", "unknown", "not in the chart, and neither 3 nor 3 years"},
	{"years", "2 Jahre", "2 years", "German"},
	{"years", "2 ans", "2 years", "French"},
	{"years", "T. 2 ans", "unknown", "a short word with a full stop before an age"},
	{"years", "T 2 ans", "2 years", "French, with its short word"},
	{"years", "3 años", "3 years", "Spanish"},
	{"years", "taglia 3 anni", "3 years", "Italian"},
	{"years", "maat 4 jaar", "4 years", "Dutch"},
	{"years", "4 år", "4 years", "Swedish"},
	{"years", "2-4 years", "2 years|3 years|4 years", "a span"},
	{"years", "2/4 years", "2 years|4 years", "a list"},
	{"years", "4-5 years", "4-5 years", "a size of its own"},
	{"years", "2, 3 and 4 years", "2 years|3 years|4 years", "a list with one unit"},
	{"years", "2", "unknown", "a number is no age"},
	{"years", "2 months", "unknown", "another unit"},
	{"toddler", "2T", "2T", "the label"},
	{"toddler", "size 2t front", "2T", "within a longer name"},
	{"toddler", "2", "unknown", "2 is not 2T"},
	{"toddler", "5 months", "unknown", "an age in months is no number"},
	{"toddler", "size 5 months", "unknown", "an age in months is no number, marked"},
	{"heights", "Gr. 62/68", "62/68", "size word"},
	{"heights", "62", "unknown", "half of a label is not the label"},
	{"heights", "Größe 62/68 (3-6 Monate)", "62/68", "an age that is not in the chart, in brackets"},
	{"threes", "3m", "unknown", "months, neither 3 nor M"},
	{"threes", "3 M", "unknown", "months, neither 3 nor M"},
	{"threes", "0-3m", "unknown", "months, neither 3 nor M"},
	{"threes", "size 3 m", "unknown", "months, or a length"},
	{"letters", "0-3 M", "unknown", "months, not M"},
	{"letters", "12M", "unknown", "months, not M"},
	{"letters", "Size 3-6M front", "unknown", "months, not M"},
	{"plain", "Size 3 years", "3", "the chart has the number alone"},
	{"plain", "Sizes 4-5 years", "4|5", "a span of numbers"},
	{"plain", "Age 4", "4", "the chart has the number alone"},
	{"plain", "3 years", "unknown", "nothing says that the sizes of the chart are years"},
	{"plain", "size 3 months", "unknown", "an age in months is no number"},
	{"plain", "size 3m front", "unknown", "an age in months is no number"},
	{"ages", "Age 4", "Age 4", "the label"},
	{"ages", "4 years", "Age 4", "its years"},
	{"ages", "size 4", "Age 4", "its number"},
	{"numbers", "Size 8, 2 m elastic", "8", "a length behind a comma"},
	{"numbers", "Size 8 - 2m hem", "8", "a length behind a hyphen"},
	{"euro", "Tallas 8 y 10", "unknown", "the word is and in Spanish, and no years"},

	{"views", "10 tall", "unknown", "the chart has 10 alone"},
	{"views", "Size 10 petite front", "unknown", "the chart has 10 alone"},
	{"views", "Size 8 tall front", "8 tall", "the longest label wins"},
	{"numbers", "8 tall", "unknown", "the chart has 8 alone"},
	{"numbers", "8 petite", "unknown", "the chart has 8 alone"},
	{"numbers", "8 tall front", "unknown", "the chart has 8 alone"},
	{"numbers", "8 petite front", "unknown", "the chart has 8 alone"},
	{"numbers", "Size 8 tall", "unknown", "the chart has 8 alone"},
	{"numbers", "Size 8 petite", "unknown", "the chart has 8 alone"},
	{"numbers", "Size 8 tall front", "unknown", "the chart has 8 alone"},
	{"numbers", "Size 8-petite front", "unknown", "the chart has 8 alone"},
	{"numbers", "Size 8 (tall)", "unknown", "the chart has 8 alone"},
	{"numbers", "Sizes 8-12 tall", "unknown", "the chart has the plain ones alone"},
	{"letters", "Size M petite", "unknown", "the chart has M alone"},
	{"numbers", "Size 8 long sleeve", "8", "long is said of the sleeve"},

	// Nothing to do with sizes.
	{"numbers", "", "unknown", "no name"},
	{"numbers", "   ", "unknown", "white space alone"},
	{"numbers", "\u200b", "unknown", "an invisible character alone"},
	{"numbers", "Text", "unknown", "no size"},
	{"numbers", "Grainline", "unknown", "no size"},
	{"numbers", "---", "unknown", "signs alone"},
	{"numbers", "()", "unknown", "signs alone"},
	{"numbers", "\xff8", "unknown", "not UTF-8"},
}

func TestSpellings(t *testing.T) {
	charts := testCharts()
	for _, c := range spellingCases {
		t.Run(c.chart+"/"+c.name, func(t *testing.T) {
			answer := charts[c.chart].Match([]string{c.name}).Answers[0]
			if diff := cmp.Diff(c.want, outcome(answer)); diff != "" {
				t.Errorf("%q in the chart %q (%s; reason given: %s):\n%s", c.name, c.chart, c.why, answer.Reason, diff)
			}
		})
	}
}

// outcome writes an answer as the cases do.
func outcome(a Answer) string {
	switch a.Kind {
	case KindSize:
		return strings.Join(a.Sizes, "|")
	case KindAmbiguous:
		var claims []string
		for _, claim := range a.Claims {
			claims = append(claims, claim.Sizes...)
		}
		return "ambiguous " + strings.Join(claims, "|")
	}
	return a.Kind.String()
}

func TestSpellingCasesAreMany(t *testing.T) {
	seen, none := map[string]bool{}, 0
	for _, c := range allSpellings() {
		if c.why == "" {
			t.Errorf("%q has no reason", c.name)
		}
		key := c.chart + "\x00" + c.name
		if seen[key] {
			t.Errorf("%q stands twice for the chart %q", c.name, c.chart)
		}
		seen[key] = true
		if c.want == "unknown" || strings.HasPrefix(c.want, "ambiguous") {
			none++
		}
	}
	if len(seen) < 300 || none < 60 {
		t.Errorf("%d cases, %d of them no size or two; want 300 and 60 at least", len(seen), none)
	}
	many := 0
	for _, cases := range languageCases {
		if len(cases) >= 6 {
			many++
		}
	}
	if many < 8 {
		t.Errorf("%d languages have six cases or more, want 8 at least", many)
	}
}

// allSpellings are the cases of spellingCases and languageCases.
func allSpellings() []spellingCase {
	all := slices.Clone(spellingCases)
	for _, language := range slices.Sorted(maps.Keys(languageCases)) {
		all = append(all, languageCases[language]...)
	}
	return all
}
