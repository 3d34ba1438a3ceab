package sizes

// Limits on what is read, so that no chart and no name takes more memory or
// time than it can be worth.
const (
	// maxChartBytes is the longest chart that Read takes. A chart of thirty
	// sizes with all its measurements has about 5 kB.
	maxChartBytes = 1 << 20

	// maxTokens bounds the words and signs of a chart: the time to read the
	// keys of one mapping grows with the square of their number.
	maxTokens = 1 << 16

	// maxDepth bounds the nesting of lists and mappings. A chart needs five.
	maxDepth = 32

	// maxSizes bounds the sizes of a chart; the longest known to the authors
	// have about thirty.
	maxSizes = 1000

	// maxPatterns bounds the entries of all lists of layer names together,
	// since each name of a file is held against each of them.
	maxPatterns = 10_000

	// maxTextBytes bounds a label, a layer name and a pattern. Longer names
	// are Unknown.
	maxTextBytes = 4096

	// maxPhrase bounds the words of a label that is looked for within a name,
	// since each place of the name is held against that many words.
	maxPhrase = 16

	// maxQuote bounds, in characters, what a reason quotes from a name.
	maxQuote = 80

	// maxDash bounds the lengths in a dash pattern.
	maxDash = 32

	// maxColumns bounds the columns of a chart in CSV.
	maxColumns = 200

	// minMeasure is the smallest body measurement in millimetres that is taken
	// for one: 1 cm. Less is a slip, a wrong unit, or a thousand written with a
	// point or comma: 1.016 mm for 1016.
	minMeasure = 10

	// maxMeasure is the largest body measurement in millimetres that is taken
	// for one: 5 m. More is a slip or a wrong unit.
	maxMeasure = 5000
)
