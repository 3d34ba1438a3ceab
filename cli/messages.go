package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// A usageError says that the command was called wrongly.
type usageError struct{ text string }

func (e *usageError) Error() string { return e.text }

func usagef(format string, args ...any) error {
	return &usageError{text: fmt.Sprintf(format, args...)}
}

// fail prints an error: one sentence and, where there is something to do
// about it, a second line that says what.
func (p *program) fail(err error) {
	for line := range strings.Lines("sizeply: " + err.Error()) { // of several errors, or with the line of a chart
		p.say("%s", strings.TrimSuffix(line, "\n"))
	}
	if hint := hintFor(err); hint != "" {
		p.say("  %s", hint)
	}
}

// hintFor says what to do about an error.
func hintFor(err error) string {
	if none, ok := errors.AsType[*noSizesError](err); ok {
		return none.hint
	}
	switch {
	case is[*unlikeError](err):
		return "the renderer may be mistaken, as with layers within patterns: write the copy without --compare, " +
			"and look at both files"
	case is[*usageError](err):
		return "sizeply COMMAND --help shows how it is called"
	case is[*sizes.UnknownSizeError](err):
		return "give --size one of the labels of the chart"
	case is[*sizes.UnknownMeasurementError](err):
		return "give --body the names of measurements as the chart has them"
	case is[*sizes.NoMatchError](err):
		return "sizeply inspect FILE lists the layers; give the sizes their layer names in the chart (layers: " +
			"[...]), or choose with --layer"
	case is[*sizes.MissingLayerError](err):
		return "choose a size that the file has; many patterns come in several files for ranges of sizes"
	case is[*sizes.AmbiguousError](err):
		return "say in the chart which size the layer serves (layers: [...]), or list it under keep or drop"
	case is[*sizes.DoubtError](err):
		return "look at the layer with sizeply preview --layer NAME; " +
			"without a chart, sizeply draft writes one to put it in; where several layers have one name, " +
			"choose with --layer-id N, by the ids that sizeply inspect FILE lists"
	case is[*layers.ResidueError](err):
		return "it would stay unseen; leave --no-residue out to accept that"
	case is[*pattern.AllTextsError](err):
		return "--force-texts lets them go"
	case is[*layers.UnreadableError](err):
		return "where that is not possible, --accept-damage goes on without what cannot be read, " +
			"and says on which pages: compare them with the pattern before you cut"
	case errors.Is(err, layers.ErrNotPDF):
		return "name the PDF file of the pattern, or the ZIP that it came in"
	case is[*pattern.PicturesError](err):
		return "print it whole and follow your size by hand, or ask who made the pattern for a file with drawn lines"
	case is[*layers.LostLayersError](err):
		return "joining, splitting or tiling a file may do that: take it as it came from its designer; " +
			"or tell sizes apart by line, see sizeply inspect --lines"
	case errors.Is(err, layers.ErrNoLayers):
		return "where sizes are told apart by colour or dash, give them a line in the chart: " +
			"sizeply draft --lines FILE -o chart.yaml proposes one, " +
			"sizeply inspect --lines FILE lists all that the file has"
	}
	return passwordHint(err) + limitHint(err) // one of them at most
}

// is reports whether an error is one of a type, or has one in it.
func is[E error](err error) bool {
	_, found := errors.AsType[E](err)
	return found
}

// note prints a line of a result.
func note(w io.Writer, format string, args ...any) {
	fmt.Fprintln(w, words.Line(fmt.Sprintf(format, args...)))
}

// say prints a line of a report for people.
func (p *program) say(format string, args ...any) { note(p.err, format, args...) }

// sayAll prints lines of a report for people.
func (p *program) sayAll(lines []string) {
	for _, line := range lines {
		p.say("%s", line)
	}
}

// warning prints what the libraries warn of.
func (p *program) warning(w layers.Warning) {
	if w.Page > 0 {
		p.say("Warning, page %d: %s", w.Page, w.Text)
		return
	}
	p.say("Warning: %s", w.Text)
}
