package bench

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

func TestMedian(t *testing.T) {
	for _, c := range []struct {
		name  string
		times []time.Duration
		want  time.Duration
	}{
		{"none", nil, 0},
		{"one", []time.Duration{7}, 7},
		{"odd, not sorted", []time.Duration{9, 1, 4}, 4},
		{"even", []time.Duration{1, 9, 5, 3}, 4},
	} {
		if got := Median(c.times); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
}

// TestRace: a program runs in each of its rounds, one that fails says why and
// runs no more.
func TestRace(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	program := func(args ...string) func(string, string) []string {
		return func(string, string) []string { return args }
	}
	works := program("go", "env", "GOOS")
	results := Race([]Program{
		{Name: "works", Command: works},
		{Name: "twice", Command: works, Rounds: 2},
		{Name: "fails", Command: program("go", "nothing-of-that-name")},
		{Name: "is missing", Command: program(filepath.Join(out, "nothing"))},
	}, out, 3)
	for i, want := range []int{3, 2, 0, 0} {
		r := results[i]
		if len(r.Wall) != want || len(r.CPU) != want || (r.Failed != nil) != (want == 0) {
			t.Errorf("%s: %d times, error %v", r.Name, len(r.Wall), r.Failed)
		}
	}
	if _, err := os.Stat(out); !os.IsNotExist(err) {
		t.Errorf("there is an output: %v", err)
	}
}
