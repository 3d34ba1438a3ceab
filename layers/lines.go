package layers

import (
	"context"

	"github.com/sizeply/sizeply/internal/survey"
)

// What [Document.Lines] tells.
type (
	// Lines are the line styles of a file.
	Lines = survey.Lines
	// A LineStyle is a way in which marks of a file are painted, with the marks that
	// are.
	LineStyle = survey.LineStyle
	// LineKind says what kind of mark a LineStyle is for.
	LineKind = survey.LineKind
	// LineUse is what one page has of a line style.
	LineUse = survey.LineUse
	// DashPieces are rows of short straight pieces.
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
	return survey.FindLines(ctx, d.file)
}

// What styles are held against.
type (
	// A LineSpec says what the lines of one size look like.
	LineSpec = survey.LineSpec
	// A LineMatch says for each style which specs it fits.
	LineMatch = survey.LineMatch
	// A LineAnswer is what a style is to a list of specs.
	LineAnswer = survey.LineAnswer
	// A ProposedLine is what looks like the line of one size.
	ProposedLine = survey.ProposedLine
	// AlikeLines are the lines of two sizes that are hard to tell apart in print.
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
// that is none.
func MatchLines(styles []LineStyle, specs []LineSpec) (*LineMatch, error) {
	return survey.MatchLines(styles, specs)
}

// ProposeLines finds the lines that look like those of sizes, smallest size first:
// the largest family of lines, by colour and dash, that are drawn about as often
// and about as long as each other. It is a guess from what is drawn, nil where there
// is no such family: names of sizes are not in it, and somebody has to look at it.
func ProposeLines(styles []LineStyle) []ProposedLine { return survey.ProposeLines(styles) }

// HardToTell finds the pairs of lines that are hard to tell apart in print: those
// whose dashes do not differ, or are not stated, and whose colours differ by less
// than PrintDifference, in colour or in grey. It gives an error for a colour that
// is none.
func HardToTell(specs []LineSpec) ([]AlikeLines, error) { return survey.HardToTell(specs) }
