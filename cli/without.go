package cli

import (
	"context"
	"errors"
	"io"
	"slices"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
)

// What becomes of files without layers, as instructions are.
const (
	skipWithout   = "skip"
	copyWithout   = "copy"
	refuseWithout = "refuse"
)

// rulesWithout are what --without-layers takes.
var rulesWithout = []string{skipWithout, copyWithout, refuseWithout}

// isWithout reports whether an error says that a file of several has no layers and is
// no reason to fail.
func (b *batch) isWithout(err error) bool {
	line, byLine := errors.AsType[*pattern.MissingLineError](err)
	isWithout := errors.Is(err, layers.ErrNoLayers) && !is[*layers.LostLayersError](err) ||
		byLine && line.None && line.Why == pattern.NoLayers
	return isWithout && len(b.inputs) > 1 && b.without != refuseWithout
}

// passOver skips a file without layers, or copies it as it is.
func (b *batch) passOver(ctx context.Context, o outcome) outcome {
	o.without, o.err = o.err, nil
	if b.without != copyWithout {
		return o
	}
	if o.output, o.err = b.place(o.input, b.stems[o.input]+".pdf"); o.err != nil || b.dryRun {
		return o
	}
	data, err := b.readAll(ctx, o.input)
	if err != nil {
		o.err = err
		return o
	}
	t := b.target(o.output, b.force)
	if o.err = t.check(o.input); o.err != nil {
		return o
	}
	o.err = t.write(func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}, func(io.ReadSeeker) error { return nil })
	return o
}

// passedOver says what became of a file without layers, and what is at risk where it
// is a pattern all the same.
func (b *batch) passedOver(o outcome) {
	if b.otherPaper(o) {
		return
	}
	name := words.Printable(o.input)
	if o.output == "" {
		b.say("%s: skipped, since it has no layers, as instructions have none (--without-layers copy copies it).", name)
	} else {
		b.say("%s: no layers, as instructions have none; copied as it is -> %s", name, words.Printable(o.output))
	}
	if pictures, found := errors.AsType[*pattern.PicturesError](o.without); found {
		b.say("  In it %v.", pictures)
		return
	}
	b.say("  Where it holds pattern pieces, it holds all sizes: sizeply inspect --lines shows how they are drawn.")
}

// withoutAlone reports whether no file has anything to choose from.
func (b *batch) withoutAlone() bool {
	return !slices.ContainsFunc(b.done, func(o outcome) bool { return o.without == nil })
}
