package sizes

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestGrade(t *testing.T) {
	cases := []struct{ body, want, why string }{
		{"bust=92,waist=74,hip=98", "", "one size"},
		{"bust=88,waist=70,hip=98", "bust 12, waist 12, hip 14: grade from 12 at the waist to 14 at the hip", "where it begins"},
		{"bust=88,waist=74,hip=98", "bust 12, waist 14, hip 14: grade from 12 at the bust to 14 at the waist", "where it ends"},
		{"bust=88,waist=74,hip=103", "bust 12, waist 14, hip 16: grade from 12 at the bust to 16 at the hip", "all the way"},
		{"bust=103,waist=79,hip=98", "bust 18, waist 16, hip 14: grade from 18 at the bust to 14 at the hip", "downwards"},
		{"bust=97,waist=70,hip=98", "bust 16, waist 12, hip 14: grade from 16 at the bust to 12 at the waist, then to 14 at the hip", "there and back"},
		{"waist=70,bust=97", "waist 12, bust 16: grade from 12 at the waist to 16 at the bust", "in the order of the body"},
		{"bust=88,hip=98", "bust 12, hip 14: grade from 12 at the bust to 14 at the hip", "two measurements"},
		{"bust=88,waist=74,hip=98,arm=33", "bust 12, waist 14, hip 14, arm 18: grade from 12 at the bust to 18 at the arm", "one that stands still on the way"},
		{"bust=97,waist=70,hip=94,arm=33", "bust 16, waist 12, hip 12, arm 18: grade from 16 at the bust to 12 at the waist, from 12 at the hip to 18 at the arm", "a turn that stands still"},
	}
	chart := fitCharts()["even"]
	for _, c := range cases {
		f := mustFit(t, chart, c.body, BetweenNearest)
		if diff := cmp.Diff(c.want, f.Grade); diff != "" {
			t.Errorf("%s, %s:\n%s", c.body, c.why, diff)
		}
	}
}
