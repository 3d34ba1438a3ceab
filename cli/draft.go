package cli

import (
	"io"

	urfave "github.com/urfave/cli/v2"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

func (p *program) draftCommand() *urfave.Command {
	return p.reader("draft FILE...", "write a first size chart from the layer names", p.draft,
		&urfave.StringFlag{Name: "output", Aliases: []string{"o"}, Value: stream,
			Usage: "write to `FILE`; - is standard output"},
		&urfave.BoolFlag{Name: "lines", Usage: "propose lines for the sizes, from the first file"},
		&urfave.BoolFlag{Name: "force", Usage: "replace the output if it exists"},
	)
}

func (p *program) draft(c *urfave.Context) error {
	files, err := p.someFiles(c)
	if err != nil {
		return err
	}
	t := p.target(outputOf(c), c.Bool("force"))
	for _, name := range files {
		if err := t.check(name); err != nil {
			return err
		}
	}
	if err := saysWritten(t.name, "a size chart in YAML", ".yaml", ".yml"); err != nil {
		return err
	}
	drafted, err := p.draftOf(c, files)
	if err != nil {
		return err
	}
	if len(drafted.Chart.Sizes) == 0 {
		p.draftNotes(drafted)
		if c.Bool("lines") {
			return &noSizesError{"no chart can be drafted: neither the layer names nor the lines tell sizes",
				drawnAlike + byHand}
		}
		return &noSizesError{"no chart can be drafted: the layer names tell no sizes", draftLines + "else " + byHand}
	}
	err = t.write(drafted.Write, func(written io.ReadSeeker) error {
		if _, err := written.Seek(0, io.SeekStart); err != nil {
			return err
		}
		_, err := sizes.Read(written, "the drafted chart")
		return err
	})
	if err == nil {
		p.draftNotes(drafted)
	}
	return err
}

// draftOf drafts from the names of all files, and from the lines of the first
// where that is asked for.
func (p *program) draftOf(c *urfave.Context, files []string) (*sizes.Drafted, error) {
	var found [][]layers.Layer
	var first *layers.Document
	for _, name := range files {
		doc, err := p.open(c.Context, name)
		if err != nil {
			return nil, err
		}
		if first == nil {
			first = doc
		}
		found = append(found, doc.Layers())
		pictures, err := doc.Pictures(c.Context)
		if err != nil {
			return nil, in(name, err)
		}
		for _, w := range pattern.PictureWarnings(pictures) {
			p.warning(w)
		}
	}
	drafted := pattern.Draft(found...)
	if err := pattern.KeepShared(c.Context, drafted, first); err != nil {
		return nil, in(files[0], err)
	}
	if c.Bool("lines") {
		lines, err := first.Lines(c.Context)
		if err != nil {
			return nil, in(files[0], err)
		}
		pattern.AddLines(drafted, lines.Styles)
	}
	return drafted, nil
}

// draftNotes say how sizes were found and what a person has to decide.
func (p *program) draftNotes(d *sizes.Drafted) {
	for _, r := range d.Reasons {
		p.say("%s", words.Printable(r))
	}
	for _, x := range d.Doubts {
		p.say("To decide: %s", pattern.DoubtWords(x))
	}
}

// A noSizesError says that nothing tells for certain which sizes there are, and
// what to do about it.
type noSizesError struct{ text, hint string }

func (e *noSizesError) Error() string { return e.text }

const (
	draftLines = "where sizes are told apart by colour or dash, draft with --lines; "
	drawnAlike = "sizeply inspect --lines FILE lists what is drawn: " +
		"sizes that are all drawn alike cannot be taken apart; else "
	byHand = `write the chart by hand: under sizes: a line for each, smallest first, such as ` +
		`- {label: "14", layers: ["NAME"]}; sizeply draft --help shows one`
)
