package survey

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

func TestMeasures(t *testing.T) {
	for text, want := range map[string][]float64{
		"5 cm": {50}, "5cm x 5cm": {50, 50, 50}, "2 x 2 in": {50.8, 50.8}, "½ inch": {12.7}, "1½\"": {38.1}, "3/4 in": {19.05},
		"cut 2 in lining": nil, "2 in square": {50.8}, "4″ × 4″": {101.6, 101.6, 101.6}, "1/0 in": nil, "10 см": {100},
		"size 12": nil, "5,08 cm": {50.8}, "": nil, "2 x 3 cm": {30}, "page 2 in 3": {50.8},
	} {
		var got []float64
		for _, m := range measures(text) {
			got = append(got, m.mm)
		}
		if !cmp.Equal(got, want, cmpopts.EquateApprox(0, 1e-9)) {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
}
