// Package witness has a second reader look at a file: pdfcpu, which has no line
// in common with the reader beneath the package layers. What proves a result is
// then not the code that made it. Begin at [Compare].
package witness

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/validate"

	"github.com/sizeply/sizeply/internal/fault"
	"github.com/sizeply/sizeply/layers"
)

// Options says how to look at a file. The zero value, or nil, is the normal case.
type Options struct {
	// Password opens an encrypted file, be it the owner's or the user's.
	Password string
	// Time is how long pdfcpu may take: a minute by default.
	Time time.Duration
}

const defaultTime = time.Minute

// A Disagreement is something that the two readers do not see alike.
type Disagreement struct {
	// What is looked at: "the file", "the number of pages", "the media box of
	// page 2", "the name of layer "Text"", "validation".
	What string
	// Layers is what the package layers sees, PDFCPU what pdfcpu does. Layers is
	// "" where pdfcpu alone has something to say.
	Layers, PDFCPU string
}

// String says in one line what is looked at and what the two readers see.
func (d Disagreement) String() string {
	if d.Layers == "" {
		return fmt.Sprintf("pdfcpu on %s: %s", d.What, d.PDFCPU)
	}
	return fmt.Sprintf("pdfcpu on %s: %s, here it is %s", d.What, d.PDFCPU, d.Layers)
}

// ErrCipher says that a file is encrypted in a way that pdfcpu does not know, so
// that it cannot be asked.
var ErrCipher = fault.New(fault.ErrBadFile, "pdfcpu does not know how the file is encrypted")

// Compare has pdfcpu read a file and holds what it sees against doc, which is the
// same file opened by the package layers: the number of pages, their boxes,
// rotations and units, and the layers with their names and their states in the
// default configuration. Last it has pdfcpu validate the file, in its relaxed
// mode. What pdfcpu cannot read, panics on or does not finish in time is a
// disagreement too. Compare prints nothing and writes no file.
//
// It gives ErrCipher, or the error of ctx or of file. It returns when ctx ends, or
// the time is over; pdfcpu has loops that do not look at either, so that a
// goroutine may then run on behind over bytes that nothing else uses.
func Compare(ctx context.Context, file io.ReadSeeker, doc *layers.Document, opt *Options) ([]Disagreement, error) {
	if opt == nil {
		opt = &Options{}
	}
	most := opt.Time
	if most <= 0 {
		most = defaultTime
	}
	size, err := file.Seek(0, io.SeekEnd)
	if err != nil {
		return nil, err
	}
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	data := make([]byte, size) // pdfcpu may go on reading it when Compare has returned
	if _, err := io.ReadFull(file, data); err != nil {
		return nil, err
	}
	limited, cancel := context.WithTimeout(ctx, most)
	defer cancel()
	type answer struct {
		seen *sight
		err  error
	}
	done := make(chan answer, 1)
	go func() {
		var a answer
		defer func() {
			if r := recover(); r != nil {
				a = answer{nil, fmt.Errorf("it panics: %v", r)}
			}
			done <- a
		}()
		a.seen, a.err = look(limited, data, opt.Password)
	}()
	var a answer
	select {
	case a = <-done:
	case <-limited.Done():
	}
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case limited.Err() != nil:
		return []Disagreement{{What: "the file", PDFCPU: fmt.Sprintf("it is not read within %v", most)}}, nil
	case errors.Is(a.err, pdfcpu.ErrUnsupportedEncryptionFeature):
		return nil, ErrCipher
	case a.err != nil:
		return []Disagreement{{What: "the file", PDFCPU: a.err.Error()}}, nil
	}
	return a.seen.compare(doc), nil
}

// sight is what pdfcpu sees of a file.
type sight struct {
	count  int // of pages, as the root of their tree says
	pages  []layers.Boxes
	layers []layer
	valid  error
}

// layer is one that the file lists.
type layer struct {
	object int
	name   string
	on     bool
}

// look has pdfcpu read a file. Its configuration is built here, since the default
// one is read from, and written to, a folder of the user's.
func look(ctx context.Context, data []byte, password string) (*sight, error) {
	limits := model.DefaultResourceLimits()
	limits.MaxStreamBytes = int64(len(data)) + 1
	var file *model.Context
	var err error
	for _, pw := range slices.Compact([]string{"", password}) {
		conf := &model.Configuration{
			Reader15: true, ValidationMode: model.ValidationRelaxed, Limits: limits, UserPW: pw, OwnerPW: pw,
		}
		file, err = pdfcpu.ReadWithContext(ctx, bytes.NewReader(data), conf)
		if !errors.Is(err, pdfcpu.ErrWrongPassword) {
			break
		}
	}
	if err != nil {
		return nil, err
	}
	s := &sight{}
	r := reader{file: file.XRefTable, seen: map[int]bool{}}
	root, err := file.Catalog()
	if err != nil {
		return nil, err
	}
	if err := r.pages(root["Pages"], attributes{unit: 1}, 0); err != nil {
		return nil, fmt.Errorf("the page tree: %w", err)
	}
	s.pages = r.found
	if err := file.EnsurePageCount(); err != nil {
		return nil, err
	}
	s.count = file.PageCount
	if s.layers, err = r.layers(root["OCProperties"]); err != nil {
		return nil, fmt.Errorf("the layers: %w", err)
	}
	s.valid = validate.XRefTable(file) // it changes what it looks at
	return s, nil
}

// compare holds what pdfcpu sees against what the package layers does.
func (s *sight) compare(doc *layers.Document) (found []Disagreement) {
	differ := func(what string, here, there any) {
		if a, b := fmt.Sprint(here), fmt.Sprint(there); a != b {
			found = append(found, Disagreement{what, a, b})
		}
	}
	pages := doc.Boxes()
	differ("the number of pages", len(pages), s.count)
	if s.count == len(pages) {
		differ("the leaves of the page tree", len(pages), len(s.pages))
	}
	for i := range min(len(pages), len(s.pages)) {
		here, there := pages[i], s.pages[i]
		differ(fmt.Sprintf("the media box of page %d", i+1), here.Media, there.Media)
		differ(fmt.Sprintf("the crop box of page %d", i+1), here.Crop, there.Crop)
		differ(fmt.Sprintf("the rotation of page %d", i+1), here.Rotate, there.Rotate)
		differ(fmt.Sprintf("the unit of page %d", i+1), here.UserUnit, there.UserUnit)
	}
	listed := slices.DeleteFunc(doc.Layers(), func(l layers.Layer) bool { return !l.Listed })
	differ("the number of layers", len(listed), len(s.layers))
	for _, l := range listed {
		name := fmt.Sprintf("%q", l.Name)
		i := slices.IndexFunc(s.layers, func(x layer) bool { return x.object == l.Object })
		if i < 0 {
			differ("layer "+name, fmt.Sprintf("object %d", l.Object), "there is none")
			continue
		}
		differ("the name of layer "+name, name, fmt.Sprintf("%q", s.layers[i].name))
		differ("the state of layer "+name, state(l.On), state(s.layers[i].on))
	}
	if s.valid != nil {
		found = append(found, Disagreement{What: "validation", PDFCPU: s.valid.Error()})
	}
	return found
}

func state(on bool) string {
	if on {
		return "on"
	}
	return "off"
}
