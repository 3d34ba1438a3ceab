package sizes

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var bodyCases = []struct {
	text, why string
	want      Body
}{
	{"bust=92cm", "one", Body{{"bust", Measure{92, Centimetre}}}},
	{"bust=92cm,waist=29in,hip=104", "three, one without a unit",
		Body{{"bust", Measure{92, Centimetre}}, {"waist", Measure{29, Inch}}, {"hip", Measure{104, ""}}}},
	{" bust = 92 cm , waist = 29 in ", "spaced", Body{{"bust", Measure{92, Centimetre}}, {"waist", Measure{29, Inch}}}},
	{"bust=92,5cm,waist=74,5", "decimal commas", Body{{"bust", Measure{92.5, Centimetre}}, {"waist", Measure{74.5, ""}}}},
	{"bust=92;waist=74", "semicolons", Body{{"bust", Measure{92, ""}}, {"waist", Measure{74, ""}}}},
	{"bust=92\nwaist=74\n", "lines", Body{{"bust", Measure{92, ""}}, {"waist", Measure{74, ""}}}},
	{"full hip=36 1/2 in", "a name of two words, a fraction", Body{{"full hip", Measure{36.5, Inch}}}},
	{"Brustumfang=92", "in any language", Body{{"Brustumfang", Measure{92, ""}}}},
	{"bust=92,", "a comma at the end", Body{{"bust", Measure{92, ""}}}},
	{"hip=104,bust=92", "in the order given", Body{{"hip", Measure{104, ""}}, {"bust", Measure{92, ""}}}},
}

func TestParseBody(t *testing.T) {
	for _, c := range bodyCases {
		got, err := ParseBody(c.text)
		if diff := cmp.Diff(c.want, got); diff != "" || err != nil {
			t.Errorf("%q, %s: error %v\n%s", c.text, c.why, err, diff)
		}
	}
}

func TestParseBodyRefuses(t *testing.T) {
	const unread = `; write a number and cm, mm or in, as in 92.5cm or "36 1/2 in"`
	cases := []struct{ text, want, why string }{
		{"", "no measurement is given; write them as in bust=92cm,waist=29in", "nothing"},
		{" , ;", "no measurement is given; write them as in bust=92cm,waist=29in", "separators alone"},
		{"92cm", `"92cm" is no measurement with its name; write it as in bust=92cm`, "no name"},
		{"bust 92cm", `"bust 92cm" is no measurement with its name; write it as in bust=92cm`, "no equals sign"},
		{"=92cm", `"=92cm" is no measurement with its name; write it as in bust=92cm`, "an empty name"},
		{"bust=", `bust: "" is no measurement` + unread, "no value"},
		{"bust=92cm,waist", `bust: "92cm,waist" is no measurement` + unread, "a name without a value"},
		{"bust=92cm=waist=74", `bust: "92cm=waist=74" is no measurement` + unread, "an equals sign for a comma"},
		{"bust=92,waist=0", `waist: "0" is no measurement of a body: it must be more than 0`, "nought"},
	}
	for _, c := range cases {
		body, err := ParseBody(c.text)
		if err == nil || err.Error() != c.want || body != nil {
			t.Errorf("%q, %s: %v with error\n%v\nwant\n%s", c.text, c.why, body, err, c.want)
		}
	}
}

// FuzzBody wants a body to be the same when written and read again.
func FuzzBody(f *testing.F) {
	for _, c := range bodyCases {
		f.Add(c.text)
	}
	f.Add("bust=92cm,waist")
	f.Fuzz(func(t *testing.T, text string) {
		body, err := ParseBody(text)
		if err != nil {
			if strings.ContainsAny(err.Error(), "\n\x1b") {
				t.Errorf("%q: error %q", text, err)
			}
			return
		}
		again, err := ParseBody(body.String())
		if diff := cmp.Diff(body, again); diff != "" || err != nil {
			t.Errorf("%q, written %q: error %v\n%s", text, body, err, diff)
		}
	})
}
