package sizes

import (
	"math"
	"strings"
	"testing"
)

// What Read finds too is in readErrors; here is what a file cannot say.
func TestCheck(t *testing.T) {
	one := []Size{{Label: "8"}}
	cases := []struct {
		name  string
		chart Chart
		want  string // "" for no error
	}{
		{"one size", Chart{Sizes: one}, ""},
		{"no sizes", Chart{}, "chart: sizes: the chart has no sizes"},
		{"unknown unit", Chart{Unit: "CM", Sizes: one}, "chart: unit: "},
		{"measurement is not a number", Chart{Unit: "cm", Sizes: []Size{{Label: "8", Body: map[string]float64{"hip": math.NaN()}}}},
			"chart: sizes[0].body.hip: hip is NaN"},
		{"measurement is infinite", Chart{Unit: "cm", Sizes: []Size{{Label: "8", Body: map[string]float64{"hip": math.Inf(1)}}}},
			"chart: sizes[0].body.hip: hip is +Inf"},
		{"colour in upper case", Chart{Sizes: []Size{{Label: "8", Line: &Line{Colour: "#ABCDEF"}}}},
			"chart: sizes[0].line.colour: "},
		{"dash is not a number", Chart{Sizes: []Size{{Label: "8", Line: &Line{Dash: []float64{1, math.NaN()}}}}},
			"chart: sizes[0].line.dash[1]: "},
		{"too many dashes", Chart{Sizes: []Size{{Label: "8", Line: &Line{Dash: make([]float64, 33)}}}},
			"chart: sizes[0].line.dash: 33 lengths"},
		{"the second label", Chart{Sizes: []Size{{Label: "8"}, {Label: "Ⅷ"}, {Label: "viii"}}},
			"chart: sizes[2].label: "},
		{"measurements that fall and rise", Chart{Unit: "cm", Sizes: []Size{
			{Label: "short", Body: map[string]float64{"hip": 90, "inside leg": 70}},
			{Label: "tall", Body: map[string]float64{"hip": 88, "inside leg": 80}},
		}}, ""},
		{"nothing in common", Chart{Unit: "cm", Sizes: []Size{
			{Label: "a", Body: map[string]float64{"hip": 90}},
			{Label: "b", Body: map[string]float64{"bust": 80}},
		}}, ""},
		{"one layer name for two sizes", Chart{Sizes: []Size{
			{Label: "8", Layers: []string{"Both"}}, {Label: "10", Layers: []string{"both"}},
		}}, ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			err := c.chart.Check()
			if c.want == "" && err != nil {
				t.Errorf("error %v, want none", err)
			}
			if c.want != "" && (err == nil || !strings.HasPrefix(err.Error(), c.want)) {
				t.Errorf("error %v, want %q", err, c.want)
			}
		})
	}
}
