package main

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/sizeply/sizeply/layers"
)

const (
	skirt = "../../testdata/tollmere-skirt.pdf"
	chart = "../../testdata/charts/tollmere.yaml"
)

func TestOneSize(t *testing.T) {
	out := filepath.Join(t.TempDir(), "mine.pdf")
	if err := onesize(context.Background(), skirt, chart, "14", out); err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(out)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	doc, err := layers.Open(context.Background(), f, nil)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"Size 14", "Text", "Grainline", "Notches", "Test squares"}
	if got := layers.Names(doc.Layers()); !slices.Equal(got, want) {
		t.Errorf("layers %q, want %q", got, want)
	}
}

func TestOneSizeUnknown(t *testing.T) {
	out := filepath.Join(t.TempDir(), "mine.pdf")
	if err := onesize(context.Background(), skirt, chart, "15", out); err == nil {
		t.Error("size 15 is not in the chart, and there is no error")
	}
	if _, err := os.Stat(out); err == nil {
		t.Error("there is an output all the same")
	}
}
