// Package pattern joins the two sides of a sewing pattern: the layers and lines
// of its files (package layers) and the sizes of its chart (package sizes). It
// decides what tells the sizes of a file apart, finds the layers and lines of
// the sizes that are wanted, and says what to take of the file.
// [Isolate] is the whole way, from the bytes of a file to a checked result; in
// steps, start at [New]:
//
//	choice, err := pattern.New(doc, chart).Choose(ctx, pattern.Want{
//		Sizes: sizes.Want{Labels: []string{"14"}, Below: 1, Above: 1},
//	})
//	report, err := doc.Isolate(ctx, out, choice.Selection(), nil)
//
// A pattern of several files has a Pattern for each, with one chart. [Draft]
// makes a first chart from the files; package check says what a designer should
// mend in them.
//
// Nothing is changed by a choice, and everything may be used by several
// goroutines at once. What may change from version to version, and what does not,
// stands under Stability in the comment of package layers.
package pattern

import (
	"context"
	"errors"
	"slices"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// A Pattern is one file of a pattern with the chart of its sizes.
type Pattern struct {
	doc   *layers.Document
	chart *sizes.Chart
}

// New joins a file and a chart. Without a chart, nil, Choose takes that which
// the names of the layers tell; they have to leave no size in doubt. Where they name no
// size, sizes may be wanted by the colours of their lines, "blue" or "#0b5fa5".
func New(doc *layers.Document, chart *sizes.Chart) *Pattern { return &Pattern{doc: doc, chart: chart} }

// By is what tells the sizes of a file apart.
type By string

// What may tell sizes apart. The zero By leaves it to the file: layers where the
// chart finds a size among them, or states no lines; else lines.
const (
	ByLayers By = "layers"
	ByLines  By = "lines"
	ByBoth   By = "both"
)

// A Reason says why sizes are told apart by what they are.
type Reason string

// The reasons.
const (
	Asked        Reason = "it was asked for"
	ByNames      Reason = "no chart was given, and the layer names leave no size in doubt"
	ByColours    Reason = "no chart was given, and sizes are wanted by the colours of their lines"
	SizesInNames Reason = "the chart finds its sizes among the layers"
	NoLines      Reason = "the chart states no lines"
	NoLayers     Reason = "the file has no layers"
	NoneInNames  Reason = "the chart finds no size among the layers"
)

// Want says what to take of a file: sizes, or layers by name and number.
type Want struct {
	Sizes sizes.Want
	By    By
	// Strict refuses layers that the chart does not know.
	Strict bool
	// ForceTexts lets everything go that is written on a page where it has the colour of
	// a size that is not kept.
	ForceTexts bool
	// Layers are names of layers to take, Objects their object numbers. They
	// count where there is no chart and no size is wanted.
	Layers  []string
	Objects []int
}

// Choose finds the layers and lines that are wanted.
//
// Errors: those of [sizes.Match.Pick] and [sizes.Chart.Pick]; what
// [layers.Document.NoLayers] says of a file without any, which is a *PicturesError
// where the file is one of scans; a *NoSizesError where a chart is to be drafted and
// cannot; a *NoSuchLayerError for a layer by name or number, ErrNothingWanted for
// none; an *UnknownLayersError in strict mode; by lines ErrNoLines, an
// *IncompleteError, an *AmbiguousLineError, a *MissingLineError where the file has no
// line of a wanted size, and an *AllTextsError unless ForceTexts is set; a
// *ColourError for a colour that no line has, or several; an *UnknownByError for a By
// that is none of the constants.
func (p *Pattern) Choose(ctx context.Context, want Want) (*Choice, error) {
	if !slices.Contains([]By{"", ByLayers, ByLines, ByBoth}, want.By) {
		return nil, &UnknownByError{want.By}
	}
	c := &Choice{Chart: p.chart, found: p.doc.Layers(), pages: p.doc.Pages()}
	var err error
	if c.Chart == nil && len(want.Sizes.Labels) > 0 {
		if c.Chart, want.Sizes, err = p.told(ctx, want.Sizes); err != nil {
			return nil, p.explained(ctx, err)
		}
	}
	switch {
	case c.Chart != nil:
		c.Match = Match(c.Chart, c.found)
		if c.By, c.Why = p.by(c, want.By); c.By != ByLayers {
			err = c.byLines(ctx, p.doc, want.Sizes)
		} else if len(c.found) == 0 {
			err = p.doc.NoLayers()
		} else if c.Pick, err = c.Match.Pick(want.Sizes); err != nil {
			return nil, err
		}
		if names := c.namesOf(sizes.KindUnknown); want.Strict && len(names) > 0 {
			err = errors.Join(err, &UnknownLayersError{names})
		}
	case len(c.found) == 0:
		err = p.doc.NoLayers()
	default:
		err = c.byName(want.Layers, want.Objects)
	}
	if err != nil {
		return nil, p.explained(ctx, err)
	}
	c.warnOfDoubt()
	c.warnOfOrder()
	c.warnOfSkips()
	c.warnOfNames()
	if c.Lines != nil {
		c.warnOfOtherLines()
		if err := c.losses(want.ForceTexts); err != nil {
			return nil, err
		}
	}
	if err := c.warnOfPictures(ctx, p.doc); err != nil {
		return nil, err
	}
	return c, nil
}

// told is the chart that the file tells: that of its layer names or, where these name no
// size and sizes are wanted by colour, of its lines. It gives what is wanted by the
// labels of the chart.
func (p *Pattern) told(ctx context.Context, want sizes.Want) (*sizes.Chart, sizes.Want, error) {
	chart, err := p.drafted(ctx, want)
	none, unnamed := errors.AsType[*NoSizesError](err)
	if colours, ok := wantsColours(want.Labels); ok && unnamed && none.Found == 0 {
		chart, coloured, err := p.byColours(ctx, want, colours)
		if chart != nil || err != nil {
			return chart, coloured, err
		}
	}
	if len(p.doc.Layers()) == 0 {
		err = p.doc.NoLayers()
	}
	return chart, want, err
}

// drafted is the chart that the layer names tell, where they leave nothing in doubt
// that matters to what is wanted.
func (p *Pattern) drafted(ctx context.Context, want sizes.Want) (*sizes.Chart, error) {
	found := p.doc.Layers()
	drafted := draftNames(found) // a choice asks about headings by itself
	if err := KeepShared(ctx, drafted, p.doc); err != nil {
		return nil, err
	}
	if doubts := drafted.Open(want); len(doubts) > 0 || len(drafted.Chart.Sizes) == 0 {
		return nil, &NoSizesError{Names: layers.Names(found), Doubts: doubts, Found: len(drafted.Chart.Sizes)}
	}
	return drafted.Chart, nil
}

// by says what tells the sizes apart, and why.
func (p *Pattern) by(c *Choice, asked By) (By, Reason) {
	inNames := slices.ContainsFunc(c.Match.Answers, func(a sizes.Answer) bool {
		return a.Kind == sizes.KindSize || a.Kind == sizes.KindAmbiguous || len(a.Words) > 0
	})
	switch {
	case asked != "":
		return asked, Asked
	case p.chart == nil && StatesLines(c.Chart):
		return ByLines, ByColours
	case p.chart == nil:
		return ByLayers, ByNames
	case inNames:
		return ByLayers, SizesInNames
	case !StatesLines(p.chart):
		return ByLayers, NoLines
	case len(c.found) == 0:
		return ByLines, NoLayers
	}
	return ByLines, NoneInNames
}

// Sizes returns the labels of the wanted sizes, without neighbours, to make a
// copy of each. Where w has neither labels nor a body these are all sizes that
// the layers of the file serve; where they serve none, those that the chart
// states lines for. Without a chart they are those that the layer names tell,
// which must leave no size in doubt. It gives ErrNoSizes where there are none, the
// errors of [sizes.Chart.Pick], a *NoSizesError where a chart is to be drafted and
// cannot, and what [layers.Document.NoLayers] says of a file without any.
func (p *Pattern) Sizes(ctx context.Context, w sizes.Want) ([]string, error) {
	chart := p.chart
	if chart == nil {
		if len(p.doc.Layers()) == 0 {
			return nil, p.doc.NoLayers()
		}
		var err error
		if chart, err = p.drafted(ctx, w); err != nil {
			return nil, err
		}
	}
	if len(w.Labels) > 0 || len(w.Body) > 0 {
		w.Below, w.Above = 0, 0
		pick, err := chart.Pick(w)
		if err != nil {
			return nil, err
		}
		return Wanted(pick), nil
	}
	c := &Choice{Chart: chart, Match: Match(chart, p.doc.Layers())}
	absent := c.Absent()
	labels := slices.DeleteFunc(chart.Labels(), func(l string) bool { return slices.Contains(absent, l) })
	if len(labels) == 0 {
		_, labels = LineSpecs(chart)
	}
	if len(labels) == 0 {
		return nil, ErrNoSizes
	}
	return labels, nil
}

// Wanted returns the labels of the wanted sizes of a pick, without neighbours, in the
// order of the chart; none for no pick, nil, as of layers by name.
func Wanted(pick *sizes.Pick) []string {
	if pick == nil {
		return nil
	}
	var labels []string
	for _, z := range pick.Sizes {
		if z.Role == sizes.RoleWanted {
			labels = append(labels, z.Label)
		}
	}
	return labels
}
