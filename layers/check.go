package layers

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"

	"github.com/sizeply/sizeply/internal/optional"
	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/resources"
	"github.com/sizeply/sizeply/internal/rewrite"
)

// made is what Isolate noted of the file that it wrote.
type made struct {
	original *optional.Document
	layers   []string // see choice.wanted
	chosen   []bool   // of layers: on, whatever is switched
	filtered bool     // a layer went, so that pages were read
	missing  map[resources.Name]bool
	sum      [sha256.Size]byte // of all bytes
}

// made notes what was done.
func (c *choice) made(res *rewrite.Result, sum [sha256.Size]byte) *made {
	m := &made{original: c.doc, layers: c.wanted(), filtered: !c.all(), missing: res.Missing, sum: sum}
	for _, g := range c.doc.Groups {
		if !c.flatten && !c.gone(g.Ref) {
			m.chosen = append(m.chosen, c.state[g.Ref] == optional.True)
		}
	}
	return m
}

var (
	errNotMade = errors.New("the report is not one that Isolate gave")
	errWritten = errors.New("the bytes of the result are not those that were written")
)

// Check opens the file that Isolate wrote afresh and checks it without
// isolating a second time: every byte is the one written; the layers that stay
// are there in their states and no others; every page is there with its boxes;
// every object is reachable; all content can be decoded and none of it is
// hidden while the chosen layers are on; every resource that it names is there,
// unless it was missing in the original. It gives the first thing that does
// not hold, and is for the program that isolates; Verify needs no report, and
// holds a file of unknown origin against the original.
func (r *Report) Check(ctx context.Context, result io.ReadSeeker) error {
	m := r.made
	if m == nil {
		return errNotMade
	}
	data, err := pdf.ReadAll(ctx, result, m.original.Limits)
	if err != nil {
		return fmt.Errorf("reading the result: %w", err)
	}
	sum := make(chan bool, 1)
	go func() { sum <- sha256.Sum256(data) == m.sum }()
	err = m.parts(ctx, data)
	if !<-sum {
		return errWritten // whatever else is wrong
	}
	return err
}

// parts checks all but that the bytes are those that were written.
func (m *made) parts(ctx context.Context, data []byte) error {
	got, err := optional.Open(ctx, data, m.original.Password, m.original.Limits)
	if err != nil {
		return fmt.Errorf("opening the result: %w", err)
	}
	if err := verifyLayers(m.layers, got); err != nil {
		return err
	}
	if err := verifyGeometry(m.original, got); err != nil {
		return err
	}
	if err := verifyReachable(ctx, got); err != nil {
		return err
	}
	if !m.filtered {
		return nil
	}
	return m.content(ctx, got)
}

// content checks all content streams of the result.
func (m *made) content(ctx context.Context, got *optional.Document) error {
	var sel Selection
	for i, on := range m.chosen {
		if on {
			sel.Layers = append(sel.Layers, i)
		} else {
			sel.Unchanged = append(sel.Unchanged, i)
		}
	}
	states, err := newChoice(got, sel, IsolateOptions{})
	if err != nil {
		return err
	}
	c := &checker{made: m, doc: got, states: states, needs: map[pdf.Ref]needs{}, active: map[pdf.Ref]bool{}}
	if c.read, err = readContents(ctx, got); err != nil {
		return err
	}
	return c.document()
}
