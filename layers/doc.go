// Package layers finds the layers of a PDF file and writes a copy that holds
// only the chosen ones. A layer is an optional content group of ISO 32000-1,
// 8.11. Start at [Open], then [Document.Layers] and [Document.Isolate];
// [Document.Inspect] tells what each layer holds and how large the test squares
// are drawn. Where sizes are told apart by line colour or dash instead,
// [Document.Lines] finds the styles, [MatchLines] holds them against what sizes
// look like, and a [Selection] removes some of them.
//
// # What Isolate promises
//
// Each page of the output looks as the original does with the chosen layers
// on and the others off. Nothing that only a removed layer shows is kept:
// no marks, no text, no group, no resource that only it used. Everything else
// is kept, byte for byte where it can be: a stream from which nothing is removed
// keeps its bytes, numbers in kept content keep their digits. Equal input and
// selection give equal output.
//
// State that removed content sets is removed too, unless a mark that is kept is
// drawn with it: colours, line styles, matrices, clipping paths, fonts. What has
// to be kept for that counts in [Report].Residue.
//
// # Rules
//
// Groups and their states:
//
//  1. Without OCProperties in the catalog nothing is optional content
//     (8.11.4.2).
//  2. A group is an indirect object that OCProperties lists, or an object of
//     the type OCG that it does not list. Its object number is its identity:
//     names repeat (8.11.2.1, 8.11.3.2). Where content is in a listed object
//     of another kind, or in a membership dictionary of another type, readers
//     differ, and the file is refused.
//  3. The state by default is BaseState for listed groups, on for others;
//     then ON, then OFF, which wins (8.11.4.3). Further configurations are
//     never used. For printing, usage application dictionaries of the event
//     Print are applied on top (8.11.4.4).
//  4. Intent, Locked, radio-button groups and the order decide nothing about
//     what is shown (8.11.2.3, 8.11.4.3): an explicit choice overrides them.
//
// Membership dictionaries (8.11.2.2):
//
//  5. A valid VE decides alone: And and Or over one or more operands, null
//     ones left out, Not over one. A malformed one counts as absent.
//  6. Else P over OCGs decides: AnyOn (also for unknown policies), AllOn,
//     AnyOff, AllOff. Entries that are no group are left out; without any,
//     the content is visible.
//  7. Removed groups are off. Content whose membership is then false is
//     removed; where it is true however the kept groups are switched, the content
//     is kept and its section removed; else the membership is reduced to the
//     groups that are kept.
//
// Content:
//
//  8. Only BDC with the tag OC and a property list by name begins optional
//     content; nested sections show what all of them show (8.11.3.2). Every
//     other BDC and BMC counts for the balance (14.6.1).
//  9. A section lives within one content stream; the streams of a Contents
//     array are one (14.6.1, 7.8.2).
//  10. Hidden operators still work on the graphics state and the text
//     position (8.11.3.1): what paints is removed, what sets state is kept where
//     a later mark needs it. A path that is painted and clips is ended with n
//     instead (8.5.4).
//  11. The painting operator decides for its whole path, wherever that began.
//  12. Hidden text is removed; where visible text follows before the position is
//     set anew, a number in a TJ array moves as far (9.4.4). Where widths are
//     unknown then, the file is refused. Hidden text that joins the clipping
//     path (9.3.6) is kept, without being painted.
//  13. A form or image whose OC entry is false is not drawn (8.11.3.3); one
//     that is drawn is filtered by the same rules, as are tiling patterns,
//     glyphs of Type 3 fonts, groups of soft masks and the appearances of
//     annotations.
//  14. Names resolve in the stream's own resources, then in those of the
//     streams that invoke it, outwards to the page (7.8.3). A form that
//     resolves them differently for two callers becomes two.
//  15. An annotation whose OC entry is false is removed with its pop-up window.
//
// Outside of content:
//
//  16. What may hold the whole drawing a second time is removed: private data of
//     programs (14.5), thumbnails (12.3.4), attached files (7.11.4), metadata
//     (14.3.2) but for title, creator, rights and the PDF/A claim. Where something
//     is removed, so is each entry of a dictionary that no reader needs to show
//     the pages and to lead through them; see What is kept.
//  17. Actions that set layer states (12.6.4.12) lose the removed groups; one
//     without groups is removed, what follows it taking its place. Scripts are
//     removed (12.6.4.16), and so are a form field all of whose widgets are removed,
//     with its value (12.7), and signatures (12.8).
//  18. The structure tree loses the marked content that is removed, elements that
//     held nothing else, and replacement text and descriptions of what lost
//     content (14.7.4, 14.9); so do property lists in content.
//
// Line styles:
//
//  19. A painter whose style is removed is like one that is hidden: rules 10 to 12
//     hold for it. Of a path that is filled and stroked, the half whose style
//     is kept is painted (8.5.3). Text is removed where all that it paints is.
//  20. A form is filtered once for each inherited state in which it loses
//     something else (8.10.1).
//  21. Tiling patterns, glyphs, soft masks and annotations lose nothing for
//     their style.
//
// # What is kept
//
// Outside of content the words that a reader shows or finds things by are kept,
// whatever they say: title and author, in the document information (14.3.3) and in
// the metadata, where the rights statement is kept too; the language (14.9.2);
// names of layers that are kept and the headings over them; names of pages, of
// destinations, of articles and the outline (12.3, 12.4); where links lead;
// annotations and form fields with their texts (12.5, 12.7); names of resources and
// fonts; measures (12.9); output intents (14.11.5); roles, classes, texts and
// identifiers of the structure that is kept (14.7, 14.9). Kept with every byte
// are streams from which nothing is removed, with their comments, property lists
// that stand in them, embedded fonts, images, colour profiles, functions and
// character maps; sound, video and three-dimensional artwork (clause 13); and the
// file's permanent identifier (14.4). Of Type 3 fonts the glyphs are kept that text
// shows, or all where that cannot be told.
//
// All else of a dictionary is removed, counted in [Report].Unneeded: further keys
// of the document information, dates, programs and identifiers, the names of
// configurations, document parts, legal attestations, developers' extensions,
// and whatever stands under a key that ISO 32000-2 does not have in such a
// dictionary. Comments go from streams that lose something.
//
// # Errors
//
// Each error matches one of these by [errors.Is], in this package and those that build
// on it, sizes included, so that one switch answers them all:
//
//	ErrBadFile      damaged, no PDF, or without what was asked for: another file is needed
//	ErrBadRequest   asked for wrongly, or not fitting file or chart: another call is needed
//	ErrForbidden    the password or the permissions of the file
//	ErrTooLarge     a limit
//	ErrInternal     a result that did not pass its check: please report it
//
// or is that of the context, which always matches [context.Canceled] or
// [context.DeadlineExceeded], of the reader, or of the writer. What the sentence of an
// error says stands in its fields too, for [errors.As].
//
// # Stability
//
// Versions are semantic (semver.org), from v0 on. Before v1 a minor version may rename,
// change or remove exported names, a patch version does not; the changelog tells of each.
// In any version the text of sentences may change: of errors, warnings and reasons, so
// that programs go by types and fields. Fields may be added to structs, also in JSON, and
// values to constants. Of this package and of those that build on it, before v1 too, this
// is promised:
//
//   - Equal input, selection, options and version give equal bytes, on every platform,
//     on any number of cores, with the modules that go.mod names. Another version may
//     write others, which hold to the same promises; [Document.Key] differs then.
//   - The five sentinels under Errors stay; a type of error goes on matching the one that
//     it matches.
//   - What a version writes as JSON of a [Selection], and of a pick or a chart of package
//     sizes, later ones read as the same. The JSON of the command carries a version.
//
// # Where it is decided
//
// This package is the door; the work is in rooms of one purpose under internal:
// package optional reads groups, states and memberships (rules 1 to 6); isolate
// turns a selection into decisions (7) and edits what stands outside of content
// (15 to 18); rewrite filters content by them (8 to 14, 19 to 21); survey finds
// what layers hold, test squares, pieces and line styles.
package layers
