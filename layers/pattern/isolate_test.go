package pattern_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// demo reads a file of the demo pattern.
func demo(t *testing.T, name string) *bytes.Reader {
	t.Helper()
	data, err := os.ReadFile("../../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	return bytes.NewReader(data)
}

// TestIsolate: the one call gives what its steps give, by layer, by line, and without
// a chart.
func TestIsolate(t *testing.T) {
	ctx := context.Background()
	for _, c := range []struct {
		file, chart, size string
		by                pattern.By
	}{
		{"tollmere-skirt.pdf", "tollmere.yaml", "14", pattern.ByLayers},
		{"tollmere-skirt-dash.pdf", "tollmere-dash.yaml", "14", pattern.ByLines},
		{"tollmere-skirt.pdf", "", "14", pattern.ByLayers},
	} {
		var chart *sizes.Chart
		if c.chart != "" {
			_, chart = open(c.file, c.chart)
		}
		want := pattern.Want{Sizes: sizes.Want{Labels: []string{c.size}, Below: 1, Above: 1}}
		options := &pattern.Options{Isolate: &layers.IsolateOptions{Flatten: true}}
		in := demo(t, c.file)
		if _, err := in.Seek(99, io.SeekStart); err != nil {
			t.Fatal(err)
		}
		got, err := pattern.Isolate(ctx, in, chart, want, options)
		if err != nil {
			t.Errorf("%s: %v", c.file, err)
			continue
		}
		doc, err := layers.Open(ctx, demo(t, c.file), nil)
		if err != nil {
			t.Fatal(err)
		}
		choice, err := pattern.New(doc, chart).Choose(ctx, want)
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if _, err := doc.Isolate(ctx, &out, choice.Selection(), options.Isolate); err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got.Data, out.Bytes()) || got.Choice.By != c.by || len(got.Report.Pages) == 0 {
			t.Errorf("%s: %d bytes by %s; want the %d bytes of the steps by %s", c.file, len(got.Data), got.Choice.By,
				out.Len(), c.by)
		}
	}
}

// TestIsolateRefuses: each step that fails ends the call with its own error.
func TestIsolateRefuses(t *testing.T) {
	_, chart := open("tollmere-skirt.pdf", "tollmere.yaml")
	cancelled, cancel := context.WithCancel(context.Background())
	cancel()
	for name, c := range map[string]struct {
		ctx  context.Context
		in   io.ReadSeeker
		size string
		open layers.OpenOptions
		want error
	}{
		"no PDF":    {context.Background(), strings.NewReader("a letter"), "14", layers.OpenOptions{}, layers.ErrBadFile},
		"no size":   {context.Background(), demo(t, "tollmere-skirt.pdf"), "15", layers.OpenOptions{}, layers.ErrBadRequest},
		"too large": {context.Background(), demo(t, "tollmere-skirt.pdf"), "14", layers.OpenOptions{MaxFileBytes: 99}, layers.ErrTooLarge},
		"cancelled": {cancelled, demo(t, "tollmere-skirt.pdf"), "14", layers.OpenOptions{}, context.Canceled},
	} {
		want := pattern.Want{Sizes: sizes.Want{Labels: []string{c.size}}}
		got, err := pattern.Isolate(c.ctx, c.in, chart, want, &pattern.Options{Open: &c.open})
		if !errors.Is(err, c.want) || (got == nil) != (err != nil) {
			t.Errorf("%s: %v, %v; want %v", name, got, err, c.want)
		}
	}
}
