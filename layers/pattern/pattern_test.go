package pattern_test

import (
	"context"
	"errors"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// of wants sizes of those labels.
func of(labels ...string) pattern.Want { return pattern.Want{Sizes: sizes.Want{Labels: labels}} }

// choose chooses from a file of the demo pattern; change may make another chart
// of its chart, or none.
func choose(name, chartName string, want pattern.Want, change func(*sizes.Chart) *sizes.Chart) (*pattern.Choice, error) {
	doc, chart := open(name, chartName)
	if change != nil {
		chart = change(chart)
	}
	return pattern.New(doc, chart).Choose(context.Background(), want)
}

func noChart(*sizes.Chart) *sizes.Chart { return nil }

// withoutLines takes the lines from a chart.
func withoutLines(c *sizes.Chart) *sizes.Chart {
	for i := range c.Sizes {
		c.Sizes[i].Line = nil
	}
	return c
}

// TestBy: what tells the sizes apart, and why.
func TestBy(t *testing.T) {
	const sheet, dash, both = "tollmere-skirt.pdf", "tollmere-skirt-dash.pdf", "tollmere-skirt-both.pdf"
	asked := func(by pattern.By) pattern.Want {
		return pattern.Want{Sizes: sizes.Want{Labels: []string{"14"}}, By: by}
	}
	for _, c := range []struct {
		file, chart string
		want        pattern.Want
		change      func(*sizes.Chart) *sizes.Chart
		by          pattern.By
		why         pattern.Reason
	}{
		{sheet, "tollmere.yaml", of("14"), nil, pattern.ByLayers, pattern.SizesInNames},
		{sheet, "tollmere.yaml", of("14"), noChart, pattern.ByLayers, pattern.ByNames},
		{sheet, "tollmere.yaml", asked(pattern.ByLayers), nil, pattern.ByLayers, pattern.Asked},
		{dash, "tollmere-dash.yaml", of("14"), nil, pattern.ByLines, pattern.NoLayers},
		{both, "tollmere-both.yaml", of("14"), nil, pattern.ByLines, pattern.NoLayers},
		{sheet, "tollmere.yaml", of("petrol"), func(*sizes.Chart) *sizes.Chart {
			return &sizes.Chart{Sizes: []sizes.Size{{Label: "petrol", Line: &sizes.Line{Colour: "#d35400"}}}}
		}, pattern.ByLines, pattern.NoneInNames},
	} {
		choice, err := choose(c.file, c.chart, c.want, c.change)
		if err != nil {
			t.Errorf("%s: %v", c.why, err)
			continue
		}
		if choice.By != c.by || choice.Why != c.why {
			t.Errorf("%s with %s: by %s, %s; want %s, %s", c.file, c.chart, choice.By, choice.Why, c.by, c.why)
		}
	}
}

// TestChooseErrors: what keeps a choice from being made is told as a value.
func TestChooseErrors(t *testing.T) {
	const sheet, dash = "tollmere-skirt.pdf", "tollmere-skirt-dash.pdf"
	strict := of("14")
	strict.Strict = true
	byLines := of("14")
	byLines.By = pattern.ByLines
	byNothing := of("14")
	byNothing.By = "x"
	two := func(c *sizes.Chart) *sizes.Chart { // sizes of almost one dash
		c.Sizes[0].Line = &sizes.Line{Dash: []float64{12, 3.1}}
		return c
	}
	for _, c := range []struct {
		why, file, chart string
		want             pattern.Want
		change           func(*sizes.Chart) *sizes.Chart
		is               func(error) bool
	}{
		{"a size that is not in the chart", sheet, "tollmere.yaml", of("15"), nil, func(err error) bool {
			var e *sizes.UnknownSizeError
			return errors.As(err, &e) && e.Want == "15"
		}},
		{"a size that no layer tells of", sheet, "tollmere.yaml", of("15"), noChart, func(err error) bool {
			var e *sizes.UnknownSizeError
			return errors.As(err, &e) && slices.Contains(e.Have, "14")
		}},
		{"layers that the chart does not know", sheet, "tollmere.yaml", strict, func(c *sizes.Chart) *sizes.Chart {
			c.Keep = nil
			return c
		}, func(err error) bool {
			var e *pattern.UnknownLayersError
			return errors.As(err, &e) && slices.Contains(e.Names, "Grainline")
		}},
		{"by what there is not", dash, "tollmere-dash.yaml", byNothing, nil, func(err error) bool {
			var e *pattern.UnknownByError
			return errors.As(err, &e) && e.By == "x"
		}},
		{"a chart without lines", dash, "tollmere-dash.yaml", byLines, withoutLines, func(err error) bool {
			return errors.Is(err, pattern.ErrNoLines)
		}},
		{"a file without layers and a chart without lines", dash, "tollmere-dash.yaml", of("14"), withoutLines, func(err error) bool {
			return errors.Is(err, layers.ErrNoLayers)
		}},
		{"a line that two sizes may be", dash, "tollmere-dash.yaml", of("14"), two, func(err error) bool {
			var e *pattern.AmbiguousLineError
			return errors.As(err, &e) && slices.Equal(e.Sizes, []string{"6", "14"}) && len(e.Style.Dash) == 2
		}},
		{"a size without its line", dash, "tollmere-dash.yaml", of("14"), func(c *sizes.Chart) *sizes.Chart {
			c.Sizes[4].Line = &sizes.Line{Dash: []float64{40, 40}}
			return c
		}, func(err error) bool {
			var e *pattern.MissingLineError
			return errors.As(err, &e) && e.Size == "14" && e.Why == pattern.NoLayers
		}},
		{"a layer by a wrong name", sheet, "tollmere.yaml", pattern.Want{Layers: []string{"Grainlin"}}, noChart, func(err error) bool {
			var e *pattern.NoSuchLayerError
			return errors.As(err, &e) && e.Name == "Grainlin" && e.Nearest == "Grainline" && len(e.Layers) > 10
		}},
		{"nothing", sheet, "tollmere.yaml", pattern.Want{}, noChart, func(err error) bool {
			return errors.Is(err, pattern.ErrNothingWanted)
		}},
		{"a layer by a wrong number", sheet, "tollmere.yaml", pattern.Want{Objects: []int{99999}}, noChart, func(err error) bool {
			var e *pattern.NoSuchLayerError
			return errors.As(err, &e) && e.Object == 99999
		}},
	} {
		if choice, err := choose(c.file, c.chart, c.want, c.change); !c.is(err) || choice != nil {
			t.Errorf("%s: %v, a choice: %t", c.why, err, choice != nil)
		}
	}
}

// TestByName: layers by name and number are kept, each once, and no others.
func TestByName(t *testing.T) {
	doc, _ := open("tollmere-skirt.pdf", "tollmere.yaml")
	found := doc.Layers()
	choice, err := pattern.New(doc, nil).Choose(context.Background(), pattern.Want{
		Layers: []string{"Text", "Size 14"}, Objects: []int{found[0].Object, found[0].Object},
	})
	if err != nil {
		t.Fatal(err)
	}
	var want []int
	for i, l := range found {
		if i == 0 || l.Name == "Text" || l.Name == "Size 14" {
			want = append(want, i)
		}
	}
	if diff := cmp.Diff(layers.Selection{Layers: want}, choice.Selection()); diff != "" {
		t.Error(diff)
	}
	if choice.Sizes(nil) != nil || choice.By != "" || len(choice.Layers()) != 3 {
		t.Errorf("%+v", choice)
	}
}

// TestSizes: each wanted size by itself, or all that the file has.
func TestSizes(t *testing.T) {
	doc, chart := open("tollmere-skirt.pdf", "tollmere.yaml")
	chart.Sizes = append(chart.Sizes, sizes.Size{Label: "60"})
	p := pattern.New(doc, chart)
	for _, c := range []struct {
		want sizes.Want
		get  []string
	}{
		{sizes.Want{Labels: []string{"10..14"}, Above: 1}, []string{"10", "12", "14"}},
		{sizes.Want{Above: 1}, []string{"6", "8", "10", "12", "14", "16", "18", "20", "22", "24"}},
	} {
		got, err := p.Sizes(context.Background(), c.want)
		if err != nil {
			t.Error(err)
		}
		if diff := cmp.Diff(c.get, got); diff != "" {
			t.Error(diff)
		}
	}
	flat, dashes := open("tollmere-skirt-dash.pdf", "tollmere-dash.yaml")
	if got, err := pattern.New(flat, dashes).Sizes(context.Background(), sizes.Want{}); err != nil || len(got) != 10 {
		t.Errorf("by lines: %q, %v", got, err)
	}
	if got, err := pattern.New(flat, withoutLines(dashes)).Sizes(context.Background(), sizes.Want{}); !errors.Is(err, pattern.ErrNoSizes) {
		t.Errorf("without lines: %q, %v", got, err)
	}
}

// TestWithoutChart: what has no chart, or no lines, answers that there is none.
func TestWithoutChart(t *testing.T) {
	doc, _ := open("tollmere-skirt.pdf", "tollmere.yaml")
	named, err := pattern.New(doc, nil).Choose(context.Background(), pattern.Want{Layers: []string{"Size 8"}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []*pattern.Choice{named, chosen("tollmere-skirt.pdf", "tollmere.yaml")} {
		if got := c.RemovedLines(); got != nil {
			t.Errorf("by %q: removed lines %q", c.By, got)
		}
	}
	if got := named.Absent(); got != nil {
		t.Errorf("absent are %q", got)
	}
	if got := pattern.Wanted(named.Pick); got != nil {
		t.Errorf("wanted are %q", got)
	}
	if specs, labels := pattern.LineSpecs(nil); specs != nil || labels != nil || pattern.StatesLines(nil) {
		t.Errorf("no chart states %v of %q", specs, labels)
	}
	for n, want := range map[int]sizes.Want{10: {}, 1: {Labels: []string{"8"}}} {
		if got, err := pattern.New(doc, nil).Sizes(context.Background(), want); err != nil || len(got) != n {
			t.Errorf("sizes without a chart: %q, %v", got, err)
		}
	}
	flat, _ := open("tollmere-skirt-dash.pdf", "tollmere-dash.yaml")
	if got, err := pattern.New(flat, nil).Sizes(context.Background(), sizes.Want{}); !errors.Is(err, layers.ErrNoLayers) {
		t.Errorf("sizes without a chart and layers: %q, %v", got, err)
	}
}
