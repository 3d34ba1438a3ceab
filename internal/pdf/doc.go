// Package pdf opens a PDF file as numbered objects and writes them again.
//
// Start with [Open], which reads a whole file into a [Document]: an immutable map
// from object numbers to objects, with the catalog, the pages and what they
// inherit. [Decode], [PageContent] and [Text] give the data of a stream, the content
// of a page and the characters of a text string. To change a file, take an
// [Edit] of it, Set or Add objects, and Write.
//
// What is promised:
//   - A Document never changes after Open, so it may be used from several
//     goroutines; any number of Edits of it may be written, one after another
//     or at the same time.
//   - What is not changed is written as it was read: streams with their very
//     bytes, strings and names with theirs, numbers with their values, or their
//     digits where they have too many for a type.
//   - Only what can be reached from the catalog and the information dictionary
//     is written. Equal edits of equal files give equal bytes.
//   - No input makes the package panic or take memory without bounds; see
//     Limits. What is broken is repaired where that is possible without
//     guessing at content, and each repair is a warning of the Document.
//
// How a file is opened: open.go says in which order, xref.go reads the
// cross-reference table, parse.go and lex.go the objects that it lists. The number
// and generation that stand at an offset, and the numbers in the header of an
// object stream, have to be those that the table gives. Where it is wrong or broken,
// or leaves out objects that something refers to, search.go finds everything that
// looks like an object in one pass over the bytes. Where that finds two of one
// number that differ, and no update of the file tells which is meant, the file is
// refused.
//
// An encrypted file is decrypted on opening and encrypted on writing, as its
// encryption dictionary says (7.6): encryption.go reads that and says what is
// encrypted, cipher.go finds the key and uses it.
//
// Clause and table numbers in this package are those of ISO 32000-1:2008.
package pdf
