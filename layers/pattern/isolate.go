package pattern

import (
	"bytes"
	"context"
	"io"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// Options say how [Isolate] works. The zero value, and nil, are the normal case.
type Options struct {
	Open    *layers.OpenOptions    // password and limits
	Isolate *layers.IsolateOptions // what is written, and progress
}

// A Result is a file with the sizes that were wanted.
type Result struct {
	// Data is the file: what was written, and passed its check.
	Data []byte
	// Choice says what was taken, and why; [Choice.Sizes] which line is whose.
	Choice *Choice
	// Report says what was kept and removed. Its warnings, those of
	// [Choice.AllWarnings] and the notes of Choice.Pick are for whoever prints the file.
	Report *layers.Report
}

// Isolate is the whole way from the file of a pattern to one with the wanted sizes
// alone: [layers.Open], [Pattern.Choose], [layers.Document.Isolate] and
// [layers.Report.Check]. Without a chart, nil, the names of the layers have to tell
// the sizes. In is read from its start, wherever it stands, and may be closed
// afterwards.
//
// Nothing comes out before all of it is checked: the result is given whole, and held
// in memory beside the file: about twice the file in all, and what its largest pages
// unpack to on each core. The error is that of the step which failed; all of them
// can be sorted as the package comment of layers says.
func Isolate(ctx context.Context, in io.ReadSeeker, chart *sizes.Chart, want Want, opt *Options) (*Result, error) {
	if opt == nil {
		opt = &Options{}
	}
	doc, err := layers.Open(ctx, in, opt.Open)
	if err != nil {
		return nil, err
	}
	choice, err := New(doc, chart).Choose(ctx, want)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	var how layers.IsolateOptions
	if opt.Isolate != nil {
		how = *opt.Isolate
	}
	how.KeptLines = how.KeptLines || choice.Compares()
	report, err := doc.Isolate(ctx, &out, choice.Selection(), &how)
	if err != nil {
		return nil, err
	}
	if err := report.Check(ctx, layers.Bytes(out.Bytes())); err != nil {
		return nil, err
	}
	return &Result{Data: out.Bytes(), Choice: choice, Report: report}, nil
}
