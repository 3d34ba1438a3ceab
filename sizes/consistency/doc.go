// Package consistency holds the layers of all files of a pattern against its
// size chart and against each other, and says what a designer should open and
// rename before the files are sold. It knows nothing of PDF: a File is plain
// values, whoever fills them. Start at Check.
//
// # What is promised
//
// Each finding has an id that stays what it is from version to version (Rules
// lists them), the file and the layer it is about, a sentence, what to do, and
// where a rename settles it the new name. One fault gives one finding: a name
// that is found fault with by one rule is passed over by the rules after it.
// What is in doubt gives none: where nothing tells the order of the sizes,
// nothing is said about neighbours. The same input gives the same findings in
// the same order. Nothing is changed, and everything may be used by several
// goroutines at once.
package consistency
