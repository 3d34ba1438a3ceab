package layers

import (
	"context"

	"github.com/sizeply/sizeply/internal/steps"
	"github.com/sizeply/sizeply/internal/survey"
)

// What [Document.Lines] tells.
type (
	// Lines are the line Styles of a file, by kind in the order in which pages show
	// them. Incomplete is true where a page could not be read to its end, so that there
	// may be more; Warnings tell why.
	Lines = survey.Lines
	// A LineStyle is a way in which marks of a file are painted, with the marks that
	// are. All lengths are those on the page, in mm, but for Length, in metres.
	//
	// Of the way: its Kind; Colour, "#rrggbb" in sRGB or "" where it cannot be told, with
	// the nearest Name of CSS and as it was Written; Opacity from 0 to 1; Width, 0 for
	// the thinnest line of the device; Cap, "butt", "round" or "square"; Dash, dashes and
	// gaps in turn, empty for a solid line, from Phase on; Pieces where rows of short
	// pieces stand for dashes, else nil.
	//
	// Of the marks: how many Marks there are, the Length that is drawn, Uses for each
	// page, Layers by object number, 0 for none, with the LayerLengths in each.
	LineStyle = survey.LineStyle
	// LineKind says what kind of mark a LineStyle is for.
	LineKind = survey.LineKind
	// LineUse is what one Page, from 1, has of a line style: so many Marks, within
	// Bounds, in points.
	LineUse = survey.LineUse
	// DashPieces are rows of short straight pieces: Count of them, with the usual
	// lengths of a piece, Dash, and of the Gap behind it, in mm.
	DashPieces = survey.DashPieces
)

// The kinds of line styles.
const (
	StrokedLine = survey.StrokedLine // stroked paths
	ThinShape   = survey.ThinShape   // filled paths as narrow as a line and at least 15 mm long
	FilledShape = survey.FilledShape // all other filled paths
	ShownText   = survey.ShownText   // text
)

// Lines reads every page and tells in which styles its lines, fills and texts
// are painted. What is drawn in a tiling pattern, a soft mask, a glyph or an
// annotation does not count. Pages are read on all cores, or OpenOptions.Cores; the
// result is the same on any number of them. The error is the context's.
func (d *Document) Lines(ctx context.Context) (*Lines, error) {
	if err := d.opened(); err != nil {
		return nil, err
	}
	end := steps.Begin(ctx, "lines", 0)
	found, err := survey.FindLines(ctx, d.file)
	end(0, err)
	return found, err
}

// What styles are held against.
type (
	// A LineSpec says what the lines of one size look like: Colour, "#rrggbb" or "" where
	// it is not stated; Dash in mm, nil where it is not stated and empty for a solid
	// line; Width in mm, 0 where it is not stated; Text, true where text and fills of
	// the colour belong to the size too.
	LineSpec = survey.LineSpec
	// A LineMatch says for each style which specs it fits, in Answers in the order of
	// the styles. Serves gives the positions of the styles of a spec; Without the styles
	// that are removed where some specs, by position, are kept, for Selection.Lines;
	// Ambiguous the positions of styles that fit several specs about equally well.
	LineMatch = survey.LineMatch
	// A LineAnswer is what a style is to a list of specs: the positions of the Specs that
	// it serves, or of those Between which nothing tells.
	LineAnswer = survey.LineAnswer
	// A ProposedLine is what looks like the line of one size: a Spec, the positions of
	// the Styles that it is made of, and of those that fit the spec Also though they do
	// not look like a size's; Nested, true where outlines tell the order of all lines.
	ProposedLine = survey.ProposedLine
	// Outlines are the closed lines that one size draws, as OutlinesOf finds them.
	Outlines = survey.Outlines
	// A LineText is one line of Text that is written in a style on a Page, from 1, within
	// Bounds, in points. LineStyle.Texts lists them.
	LineText = survey.LineText
	// Strays count the lines of a size that are no outlines of pieces: those Outside of all
	// pieces, on Pages, such as frames, and those Inside, such as grainlines.
	Strays = survey.Strays
	// A Nesting says by Inside whether one size, by position, lies within another.
	Nesting = survey.Nesting
	// AlikeLines are the lines of two sizes, the specs at A and B, that are hard to tell
	// apart in print: by Colour, or by Grey, the CIEDE2000 differences in colour and
	// without. OnlyGrey is true where a printer with colour tells them apart.
	AlikeLines = survey.AlikeLines
)

// PrintDifference is the CIEDE2000 difference below which two lines of one dash
// are hard to tell apart on paper (common practice, no source).
const PrintDifference = survey.PrintDifference

// MatchLines holds styles against specs. Lines and thin fills fit a spec by all
// that it states, fills and text by its colour where the spec has Text:
//
//   - colours by a CIEDE2000 difference of 10 or less;
//   - dashes by their shares of the period, 0.06 each, and by its length, 15 % or
//     0.3 mm, wherever in the pattern it begins; rows of separate pieces count as
//     the dashes that they stand for, thin fills as solid;
//   - widths by 25 % or 0.1 mm.
//
// The closest spec wins where it is clearly closer than the next; else the one
// that states more; else the style is ambiguous. It gives an error for a colour
// that is none. Styles and specs may be made by hand; a Selection takes only styles that
// Document.Lines found.
func MatchLines(styles []LineStyle, specs []LineSpec) (*LineMatch, error) {
	return survey.MatchLines(styles, specs)
}

// ProposeLines finds the lines that look like those of sizes, smallest size first:
// by colour and dash, the most lines whose outlines lie one within the next, else those
// that are drawn about as often and about as long as each other. It is a guess from
// what is drawn, nil where there is no such family: names of sizes are not in it, and
// somebody has to look at it.
func ProposeLines(styles []LineStyle) []ProposedLine { return survey.ProposeLines(styles) }

// OutlinesOf gives the closed lines, such as the edges of pattern pieces, that are
// drawn in some styles: those in layers, by object number, or all where that is nil.
// What lies within another outline as an allowance does, or a facing, is left out.
// Styles that were made by hand, or read from JSON, have none.
func OutlinesOf(styles []LineStyle, layers []int) Outlines { return survey.OutlinesOf(styles, layers) }

// Nest holds the outlines of sizes against each other. One size lies within another
// where outlines of both lie on each other on a page and the one is the smaller, or
// where it lies within a third that does. Nothing is said where outlines lie apart, or
// some one way and some the other.
func Nest(sizes []Outlines) *Nesting { return survey.Nest(sizes) }

// NestBeside is the most closed lines, each of another size, that lie on one another in
// none of some layers, by object number: three or more are those of sizes, drawn outside
// of the layers of sizes.
func NestBeside(styles []LineStyle, layers []int) int { return survey.NestBeside(styles, layers) }

// FindStrays counts the lines of each size, given by its styles, that are no outline
// of a piece: all that have no partner among the other sizes. Where no two sizes lie
// on each other, all lines are outside.
func FindStrays(sizes [][]LineStyle) []Strays { return survey.FindStrays(sizes) }

// HardToTell finds the pairs of lines that are hard to tell apart in print: those
// whose dashes do not differ, or are not stated, and whose colours differ by less
// than PrintDifference, in colour or in grey. It gives an error for a colour that
// is none.
func HardToTell(specs []LineSpec) ([]AlikeLines, error) { return survey.HardToTell(specs) }
