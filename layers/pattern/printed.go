package pattern

import (
	"maps"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// What stands beside a line is written at its height, so far from its end at most, in
// points: 15 mm (common practice, no source). A line that it names is no higher than
// that, as the samples of a key are.
const (
	besideGap   = 15 / 25.4 * 72
	sampleSlope = 2 / 25.4 * 72
)

// maxSamples bounds the samples of lines that texts may stand beside.
const maxSamples = 5000

// printedLabels are the labels that a file prints for the lines of its sizes: in the
// colour of a line that no other has, or beside a piece of the line, as in a key. Of
// each line it takes the name of a size that is written most often, and for no other
// line, all written alike. There are none, nil, unless each line has one.
func printedLabels(lines []layers.ProposedLine, styles []layers.LineStyle) []string {
	votes, lineOf := make([]map[string]int, len(lines)), map[string]int{}
	for i := range votes {
		votes[i] = map[string]int{}
	}
	samples := samplesOf(lines, styles)
	for s := range styles {
		if styles[s].Kind != layers.ShownText {
			continue
		}
		owner := ofColour(styles[s].Colour, lines, styles)
		for _, t := range styles[s].Texts() {
			at := owner
			if at < 0 {
				at = beside(t, samples)
			}
			if at < 0 || t.Text == "" {
				continue
			}
			votes[at][t.Text]++
			if other, there := lineOf[t.Text]; there && other != at {
				at = len(lines) // of several
			}
			lineOf[t.Text] = at
		}
	}
	shapes := shapesOf(lineOf)
	best, labels := 0, []string(nil)
	for _, shape := range slices.Compact(slices.Sorted(maps.Values(shapes))) {
		texts, sum := make([]string, len(lines)), 0
		for i, list := range votes {
			for text, n := range list {
				was := texts[i]
				if lineOf[text] == i && shapes[text] == shape && (n > list[was] || n == list[was] && text < was) {
					texts[i] = text
				}
			}
			sum += list[texts[i]]
		}
		if found := labelsOf(texts); found != nil && sum > best {
			best, labels = sum, found
		}
	}
	return labels
}

// maxPrinted bounds the different texts that are read as sizes.
const maxPrinted = 2000

// shapesOf gives each text that names a size, among others or by itself, with a mark in
// place of the label: those of one kind are written alike.
func shapesOf[V any](texts map[string]V) map[string]string {
	all := slices.Sorted(maps.Keys(texts))
	all = all[:min(len(all), maxPrinted)]
	shapes := map[string]string{}
	for i, a := range sizes.Draft(all).Chart.Match(all).Answers {
		if a.Kind == sizes.KindSize && len(a.Sizes) == 1 {
			shapes[all[i]] = strings.Replace(all[i], a.Sizes[0], "\x00", 1)
		}
	}
	return shapes
}

// labelsOf are the labels of texts that are names of sizes, each of another one; nil
// where they are not.
func labelsOf(texts []string) (labels []string) {
	if slices.Contains(texts, "") {
		return nil
	}
	for _, a := range sizes.Draft(texts).Chart.Match(texts).Answers {
		if a.Kind != sizes.KindSize || len(a.Sizes) != 1 || slices.Contains(labels, a.Sizes[0]) {
			return nil
		}
		labels = append(labels, a.Sizes[0])
	}
	return labels
}

// ofColour is the position of the one line of a colour, -1 where there is none, or
// several are.
func ofColour(colour string, lines []layers.ProposedLine, styles []layers.LineStyle) int {
	at := -1
	for i, l := range lines {
		if styles[l.Styles[0]].Colour == colour {
			if at >= 0 {
				return -1
			}
			at = i
		}
	}
	return at
}

// A sample is a level piece of the line at a position.
type sample struct {
	line, page int
	bounds     layers.Rect
}

// samplesOf are the level pieces of lines: the first of them.
func samplesOf(lines []layers.ProposedLine, styles []layers.LineStyle) (list []sample) {
	for i, l := range lines {
		for _, at := range l.Styles {
			for _, u := range styles[at].Uses {
				for _, r := range styles[at].Samples(u.Page) {
					if r.Top-r.Bottom <= sampleSlope && len(list) < maxSamples {
						list = append(list, sample{i, u.Page, r})
					}
				}
			}
		}
	}
	return list
}

// beside is the position of the one line of which a sample ends where a text begins, or
// begins where it ends; -1 if none.
func beside(t layers.LineText, samples []sample) int {
	at := -1
	for _, s := range samples {
		if s.page != t.Page || s.line == at || !s.meets(t.Bounds) {
			continue
		}
		if at >= 0 {
			return -1
		}
		at = s.line
	}
	return at
}

// meets reports whether a text stands at an end of a sample.
func (s sample) meets(text layers.Rect) bool {
	middle := (s.bounds.Top + s.bounds.Bottom) / 2
	right, left := text.Left-s.bounds.Right, s.bounds.Left-text.Right
	return middle >= text.Bottom && middle <= text.Top &&
		(right >= 0 && right <= besideGap || left >= 0 && left <= besideGap)
}
