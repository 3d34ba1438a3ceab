// Package rewrite passes each content stream of a document once through a
// decision on optional content and takes out what is to go: the marks of
// dropped sections and XObjects, and what only they used. It knows content
// streams and resources; which content goes is the Decider's.
//
// Start at Run. What stays in a stream stays byte for byte; a stream that
// loses nothing is not touched at all. Everything that hidden content does to
// the graphics state stays in place (ISO 32000-1, 8.11.3.1): colours,
// matrices, clips, text state. Hidden text is replaced by its displacement
// where visible text follows it on the same line.
//
// Marks may also be removed for how they are painted, which takes the whole
// graphics state to be followed; see Decider.RemovedStyles.
package rewrite
