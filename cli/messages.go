package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"

	"github.com/sizeply/sizeply/layers"
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
	fmt.Fprintf(p.err, "sizeply: %s\n", err)
	if hint := hintFor(err); hint != "" {
		fmt.Fprintf(p.err, "  %s\n", hint)
	}
}

// hintFor says what to do about an error.
func hintFor(err error) string {
	var (
		usage     *usageError
		unknown   *sizes.UnknownSizeError
		noMatch   *sizes.NoMatchError
		missing   *sizes.MissingLayerError
		ambiguous *sizes.AmbiguousError
		measure   *sizes.UnknownMeasurementError
		residue   *layers.ResidueError
		none      *noSizesError
		look      *unlikeError
		lost      *layers.LostLayersError
	)
	switch {
	case errors.As(err, &none):
		return none.hint
	case errors.As(err, &look):
		return "the renderer may be mistaken, as with layers within patterns: write the copy without --compare, and look at both files"
	case errors.As(err, &usage):
		return "sizeply COMMAND --help shows how it is called"
	case errors.As(err, &unknown):
		return "give --size one of the labels of the chart"
	case errors.As(err, &measure):
		return "give --body the names of measurements as the chart has them"
	case errors.As(err, &noMatch):
		return "sizeply inspect FILE lists the layers; give the sizes their layer names in the chart (layers: [...]), or choose with --layer"
	case errors.As(err, &missing):
		return "choose a size that the file has; many patterns come in several files for ranges of sizes"
	case errors.As(err, &ambiguous):
		return "say in the chart which size the layer serves (layers: [...]), or list it under keep or drop"
	case errors.As(err, &residue):
		return "it would stay unseen; leave --no-residue out to accept that"
	case errors.Is(err, layers.ErrNotPDF):
		return "name the PDF file of the pattern; a download that ends in .zip is unpacked first"
	case errors.As(err, &lost):
		return "joining, splitting or tiling a file may do that: take it as it came from its designer; or tell sizes apart by line, see sizeply inspect --lines"
	case errors.Is(err, layers.ErrNoLayers):
		return "where sizes are told apart by colour or dash, give them a line in the chart: sizeply draft --lines FILE -o chart.yaml proposes one, sizeply inspect --lines FILE lists all that the file has"
	}
	return passwordHint(err) + limitHint(err) // one of them at most
}

// note prints a line of the report.
func note(w io.Writer, format string, args ...any) { fmt.Fprintf(w, format+"\n", args...) }

// maxPrintable is how many bytes of a name people are shown: more than names have.
const maxPrintable = 500

// printable writes a name so that it cannot do anything to a terminal and
// shows what is in it: characters that are not seen are written out. One that
// has no end is cut.
func printable(name string) string {
	if name == "" {
		return "(no name)"
	}
	var b strings.Builder
	for _, r := range name {
		if b.Len() >= maxPrintable {
			b.WriteRune('…')
			break
		}
		if unicode.IsPrint(r) || r == '\u3000' {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, "<U+%04X>", r)
		}
	}
	return b.String()
}

// printables writes names with commas between, the first most of them.
func printables(names []string, most int) string {
	return strings.Join(withoutRepeats(names, most, printable), ", ")
}

// quoted writes names in quotes, the first twelve of them.
func quoted(names []string) string {
	return strings.Join(withoutRepeats(names, 12, func(n string) string { return `"` + printable(n) + `"` }), ", ")
}

// withoutRepeats are the first most names, in writing, and how many more there
// are. Of layers with one name, as programs make for each page anew, the name is
// listed once.
func withoutRepeats(names []string, most int, write func(string) string) []string {
	count := map[string]int{}
	var different, list []string
	for _, n := range names {
		if count[n]++; count[n] == 1 {
			different = append(different, n)
		}
	}
	for i, n := range different {
		if i == most {
			return append(list, fmt.Sprintf("and %d more", len(different)-most))
		}
		word := write(n)
		if count[n] > 1 {
			word += fmt.Sprintf(" (%d layers)", count[n])
		}
		list = append(list, word)
	}
	return list
}
