package pdf

import (
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestPageContent(t *testing.T) {
	cut := zlibbed(t, strings.Repeat("0 0 m\n", 100))
	src := objects{
		1: &Stream{Dict: Dict{}, Raw: []byte("q")},
		2: &Stream{Dict: Dict{"Filter": Name("FlateDecode")}, Raw: []byte(zlibbed(t, "10 w Q"))},
		3: Array{Ref(1), Ref(2)},
		4: Dict{},
		5: &Stream{Dict: Dict{"Filter": Name("FlateDecode")}, Raw: []byte("no zlib")},
		6: &Stream{Dict: Dict{"Filter": Name("FlateDecode")}, Raw: []byte(cut[:len(cut)-6])},
		7: &Stream{Dict: Dict{}},
	}
	tests := []struct {
		name     string
		contents Object
		want     string
		parts    []Span
		warnings int
	}{
		{"none", nil, "", nil, 0},
		{"one stream", Ref(1), "q", []Span{{0, 1}}, 0},
		{"parts are joined by a newline (7.8.2)", Array{Ref(1), Ref(2)}, "q\n10 w Q", []Span{{0, 1}, {2, 8}}, 0},
		{"array in another object", Ref(3), "q\n10 w Q", []Span{{0, 1}, {2, 8}}, 0},
		{"same stream twice", Array{Ref(1), Ref(1)}, "q\nq", []Span{{0, 1}, {2, 3}}, 0},
		{"empty stream", Array{Ref(7), Ref(1)}, "\nq", []Span{{0, 0}, {1, 2}}, 0},
		{"missing, null and no stream", Array{Ref(9), nil, Ref(4), Ref(1)}, "q", []Span{{0, 1}}, 3},
		{"damaged beyond use", Array{Ref(5), Ref(1)}, "\nq", []Span{{0, 0}, {1, 2}}, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := PageContent(src, Dict{"Contents": tt.contents}, Limits{})
			if err != nil || string(got.Data) != tt.want || len(got.Warnings) != tt.warnings {
				t.Errorf("got %q, %q, %v", got.Data, got.Warnings, err)
			}
			if diff := cmp.Diff(tt.parts, got.Parts); diff != "" {
				t.Errorf("parts (-want +got):\n%s", diff)
			}
		})
	}
	got, err := PageContent(src, Dict{"Contents": Ref(6)}, Limits{})
	if err != nil || !strings.HasPrefix(string(got.Data), "0 0 m\n0") || len(got.Warnings) != 1 {
		t.Errorf("damaged in the middle: %q, %q, %v", got.Data, got.Warnings, err)
	}
}

func TestPageContentErrors(t *testing.T) {
	src := objects{
		1: &Stream{Dict: Dict{}, Raw: []byte(strings.Repeat("q ", 50))},
		2: &Stream{Dict: Dict{"Filter": Name("Unheard")}, Raw: []byte("q")},
	}
	var limit *LimitError
	_, err := PageContent(src, Dict{"Contents": Ref(1)}, Limits{StreamBytes: 99})
	if !errors.As(err, &limit) || limit.Limit != 99 {
		t.Errorf("stream past its limit: %v", err)
	}
	_, err = PageContent(src, Dict{"Contents": slicesOf(Ref(1), 1000)}, Limits{PageBytes: 5000})
	if !errors.As(err, &limit) || limit.Limit != 5000 {
		t.Errorf("one stream a thousand times: %v", err)
	}
	if _, err = PageContent(src, Dict{"Contents": Ref(2)}, Limits{}); err == nil || !strings.Contains(err.Error(), "Unheard") {
		t.Errorf("unknown filter: %v", err)
	}
}
