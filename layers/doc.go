// Package layers finds the layers of a PDF file and writes a copy that holds
// only the chosen ones. A layer is an optional content group of ISO 32000-1,
// 8.11. Start at Open, then Document.Layers and Document.Isolate; Inspect
// tells what each layer holds and how large the test squares are drawn. Where
// sizes are told apart by line colour or dash instead, Document.Lines finds the
// styles, MatchLines holds them against what sizes look like, and a Selection
// takes out those that go.
//
// # What Isolate promises
//
// Each page of the output looks as the original does with the chosen layers
// on and the others off. Nothing that only a removed layer shows stays:
// no marks, no text, no group, no resource that only it used. Everything else
// stays, byte for byte where it can: a stream from which nothing is removed
// keeps its bytes, numbers in kept content keep their digits. Equal input and
// selection give equal output.
//
// State that removed content sets goes too, unless a mark that stays is drawn
// with it: colours, line styles, matrices, clipping paths, fonts. What has to
// stay for that counts in Report.Residue.
//
// # Rules
//
// Groups and their states:
//
//  1. Without OCProperties in the catalog nothing is optional content
//     (8.11.4.2).
//  2. A group is an indirect object that OCProperties lists, or an object of
//     the type OCG that it does not list. Its object number is its identity:
//     names repeat (8.11.2.1, 8.11.3.2).
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
//  7. Removed groups are off. Content whose membership is then false goes;
//     where it is true whatever stays is switched, the content stays and its
//     section goes; else the membership is reduced to the groups that stay.
//
// Content:
//
//  8. Only BDC with the tag OC and a property list by name begins optional
//     content; nested sections show what all of them show (8.11.3.2). Every
//     other BDC and BMC counts for the balance (14.6.1).
//  9. A section lives within one content stream; the streams of a Contents
//     array are one (14.6.1, 7.8.2).
//  10. Hidden operators still work on the graphics state and the text
//     position (8.11.3.1): what paints goes, what sets state stays where a
//     later mark needs it. A path that is painted and clips is ended with n
//     instead (8.5.4).
//  11. The painting operator decides for its whole path, wherever that began.
//  12. Hidden text goes; where visible text follows before the position is
//     set anew, a number in a TJ array moves as far (9.4.4). Where widths are
//     unknown then, the file is refused. Hidden text that joins the clipping
//     path (9.3.6) stays, without being painted.
//  13. A form or image whose OC entry is false is not drawn (8.11.3.3); one
//     that is drawn is filtered by the same rules, as are tiling patterns,
//     glyphs of Type 3 fonts, groups of soft masks and the appearances of
//     annotations.
//  14. Names resolve in the stream's own resources, then in those of the
//     streams that invoke it, outwards to the page (7.8.3). A form that
//     resolves them differently for two callers becomes two.
//  15. An annotation whose OC entry is false goes with its pop-up window.
//
// Besides:
//
//  16. What may hold the whole drawing a second time goes: private data of
//     programs (14.5), thumbnails (12.3.4), attached files (7.11.4), metadata
//     (14.3.2) but for title, creator, rights and the PDF/A claim.
//  17. Actions that set layer states (12.6.4.12) lose the groups that go; one
//     without groups goes, what follows it taking its place. A form field
//     whose widgets all went goes with its value (12.7); signatures go
//     (12.8).
//  18. The structure tree loses the marked content that went, elements that
//     held nothing else, and replacement text and descriptions of what lost
//     content (14.7.4, 14.9); so do property lists in content.
//
// Line styles:
//
//  19. A painter whose style goes is like one that is hidden: rules 10 to 12
//     hold for it. Of a path that is filled and stroked, the half whose style
//     stays is painted (8.5.3). Text goes where all that it paints does.
//  20. A form is filtered once for each inherited state in which it loses
//     something else (8.10.1).
//  21. Tiling patterns, glyphs, soft masks and annotations lose nothing for
//     their style.
package layers
