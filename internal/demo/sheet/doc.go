// Package sheet writes drawings as a PDF file, with a small writer of its
// own: it shares no code with the project's reader, so that the demo files
// test the reader rather than agree with it.
//
// Start with [Write]. Clauses and tables are those of ISO 32000-1:2008.
// The same drawing gives the same bytes: no dates, no random identifiers, and
// a compressor whose version the module pins.
package sheet
