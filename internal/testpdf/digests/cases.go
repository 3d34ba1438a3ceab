package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
)

// maxLayers is how many layers of a file are isolated one by one.
const maxLayers = 12

// look runs each build on a file in the ways that fit it: in all of them where
// it is a demo file or SIZEPLY_LONG=1 is set, else in a few.
func look(f file, desk string, builds []string) []outcome {
	var list []outcome
	// of runs one case and returns what the first build wrote to standard output.
	of := func(words string, args ...string) []byte {
		o := outcome{name: f.name + ": " + words}
		args = append(args, f.options...)
		for _, b := range builds {
			o.by = append(o.by, start(b, desk, args))
		}
		list = append(list, o)
		return o.by[0].stdout
	}
	if len(f.set) > 0 {
		var paths []string
		for _, name := range f.set {
			paths = append(paths, "../in/"+name)
		}
		of("check --json", append([]string{"check", "--json"}, paths...)...)
		of("check --chart --json", append([]string{"check", "--json", "--chart", "../in/" + f.chart}, paths...)...)
		of("draft", append([]string{"draft"}, paths...)...)
		return list
	}
	path := "../in/" + f.path
	isolate := func(options ...string) {
		words := "isolate"
		for _, o := range options {
			words += " " + filepath.Base(o)
		}
		args := append([]string{"isolate", path, "-o", "out.pdf", "--json"}, options...)
		of(words, args...)
	}

	all := f.chart != "" || os.Getenv("SIZEPLY_LONG") == "1"
	ids := layerIDs(of("inspect --lines --json", "inspect", "--lines", "--json", path))
	if all {
		of("inspect --json", "inspect", "--json", path)
		of("draft", "draft", path)
	}
	if f.inspectOnly {
		return list
	}
	of("check --json", "check", "--json", path)
	drafted := of("draft --lines", "draft", "--lines", path)
	most := 2
	if all {
		most = maxLayers
	}
	for _, id := range ids[:min(most, len(ids))] {
		isolate("--layer-id", id)
	}
	if len(ids) > 0 {
		isolate("--layer-id", ids[len(ids)/2], "--layer-id", ids[len(ids)-1], "--flatten")
	}
	if all && len(ids) > 1 {
		isolate("--layer-id", ids[0], "--layer-id", ids[len(ids)-1])
	}
	if f.decrypt && len(ids) > 0 {
		isolate("--layer-id", ids[0], "--decrypt")
	}

	if f.chart != "" {
		chart := "../in/" + f.chart
		of("inspect --chart --json", "inspect", "--json", path, "--chart", chart)
		of("inspect --lines --chart --json", "inspect", "--lines", "--json", path, "--chart", chart)
		of("check --chart --json", "check", "--json", path, "--chart", chart)
		of("isolate --chart, in words", "isolate", path, "--chart", chart, "--size", "14", "-o", "out.pdf")
		for _, options := range [][]string{
			{"--neighbours", "1"}, {"--neighbours", "1", "--flatten"}, {"--by", "lines"}, {"--by", "both"},
			{"--by", "lines", "--above", "2", "--flatten"}, {"--no-residue"}, {"--strict"}, {"--keep-attachments"},
		} {
			isolate(append([]string{"--chart", chart, "--size", "14"}, options...)...)
		}
		return list
	}
	labels := draftedLabel.FindAllSubmatch(drafted, -1)
	if len(labels) == 0 {
		return list
	}
	chart := filepath.Join(desk, "chart.yaml")
	if err := os.WriteFile(chart, drafted, 0o644); err != nil {
		return list
	}
	label := string(labels[len(labels)/2][1])
	isolate("--chart", "chart.yaml", "--size", label, "--by", "lines")
	if all {
		isolate("--chart", "chart.yaml", "--size", label, "--by", "both")
	}
	return list
}

// draftedLabel is the label of a size in a chart as the command writes it.
var draftedLabel = regexp.MustCompile(`- label: "([^"\\]+)"`)

// layerIDs are the object numbers of the layers in what inspect prints.
func layerIDs(printed []byte) []string {
	var shown struct {
		Layers []struct {
			Object int `json:"object"`
		} `json:"layers"`
	}
	if json.Unmarshal(printed, &shown) != nil {
		return nil
	}
	var ids []string
	for _, l := range shown.Layers {
		if id := strconv.Itoa(l.Object); l.Object > 0 && !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	return ids
}
