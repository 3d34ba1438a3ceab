package sizes

// Limits on what is read, so that no chart and no name takes more memory or
// time than it can be worth.
const (
	maxChartBytes = 1 << 20 // of a chart; thirty sizes with all their measurements have about 5 kB
	maxTokens     = 1 << 16 // words and signs of a chart: the time for the keys of a mapping grows with their square
	maxDepth      = 32      // nesting of lists and mappings; a chart needs five
	maxSizes      = 1000    // of a chart; the longest known to the authors have about thirty
	maxPatterns   = 10_000  // entries of all lists of layer names: each name of a file is held against each of them
	maxTextBytes  = 4096    // of a label, a layer name and a pattern; longer names are Unknown
	maxPhrase     = 16      // words of a label that is looked for at each place of a name
	maxQuote      = 80      // characters that a reason quotes from a name
	maxMessage    = 600     // bytes of what is said of a chart, which quotes what stands there
	maxDash       = 32      // lengths in a dash pattern
	maxColumns    = 200     // of a chart in CSV
	maxNumber     = 400     // characters of a number: no float64 needs more
	maxSlotTokens = 40      // words and signs of a name that is held against others for what varies
	maxRowPairs   = 64      // sizes of one piece that are held against those of another
)

// The bounds of a body measurement, in millimetres. Less than 1 cm is a slip, a
// wrong unit, or a thousand written with a point or comma: 1.016 mm for 1016. More
// than 5 m is a slip or a wrong unit.
const minMeasure, maxMeasure = 10, 5000
