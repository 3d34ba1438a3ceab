// Package sizes is the garment side of an order for a print: a size chart, the layer names of a
// file matched to the sizes of the chart, and the sizes that are wanted with their neighbours. It
// takes names and gives positions of names; it knows nothing of the files the names come from.
//
// Start with [Read], which reads a chart, go on to [Chart.Match], which gives
// one answer for each name, and end with [Match.Pick]:
//
//	chart, err := sizes.Read(file, "chart.yaml")
//	match := chart.Match(names)
//	pick, err := match.Pick(sizes.Want{Labels: []string{"14"}, Below: 1, Above: 1})
//	stay := pick.Positions() // positions in names
//
// [Chart.Fit] says which sizes the measurements of a body fall in, how far it is from them and what
// to grade; a [Want] with a [Body] picks those. [Chart.Pick] does so without names, [Chart.Write]
// writes a chart that was filled by hand. chart.schema.json, beside this file, describes charts as
// JSON Schema for editors; a test holds it against Read.
//
// # Terms
//
// A size is one step of a graded pattern. Its label is what the designer calls it, in her own
// spelling: a number, a letter, a colour. A size chart lists the sizes of one pattern, smallest
// first; that order alone decides who is a neighbour, never the value of a number. A neighbour of a
// size is one that stands below or above it in the chart. To grade between sizes is to draw a line
// between those of two neighbours.
//
// # What is promised
//
// A name is never guessed at. What does not fit a rule is Unknown, what has a word in it that nothing
// accounts for is in doubt, with the word, what fits two sizes that have
// nothing to do with each other is Ambiguous, and each answer carries its reason. The same chart
// and names give the same answers. No input makes the package panic, and the limits in limits.go
// bound the memory and time a chart or a name may take. Charts, matches and picks may be used by
// several goroutines at once as long as nobody changes their fields.
//
// What may change from version to version, and what does not, stands under Stability in the
// comment of package layers. A later version may know more words, and with them names that are
// Unknown to this one.
//
// There are no charts built in: sizes differ from designer to designer.
package sizes
