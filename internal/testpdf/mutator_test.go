package testpdf

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
)

// mutators are those of small files of all layouts.
func mutators(t *testing.T) []*Mutator {
	t.Helper()
	var list []*Mutator
	for i := range 3 {
		opt := SizesOptions{Memberships: true, Deep: i == 1, Annotations: true, Layout: Layout{Compress: i == 2}}
		for _, written := range []Sections{OneTable, Packed, Updated} {
			m, err := NewMutator(Sizes(opt), func(obj int) bool { return obj%2 == 0 }, written)
			if err != nil {
				t.Fatal(err)
			}
			list = append(list, m)
		}
	}
	return list
}

// The copy without damage is a sound file with the same groups, in the states
// that were asked for.
func TestMutatorSound(t *testing.T) {
	Tool(t, "qpdf")
	for i, m := range mutators(t) {
		if err := QPDF(m.Sound()); err != nil {
			t.Errorf("mutator %d: %v", i, err)
		}
		states, err := DefaultState(m.Sound())
		if err != nil || fmt.Sprint(states) != "map[5:false 6:true 7:false 8:true]" {
			t.Errorf("mutator %d: the states are %v, %v", i, states, err)
		}
	}
}

// One seed gives one damaged copy; every kind of damage comes up, and does not
// leave the file as it is.
func TestMutatorKinds(t *testing.T) {
	seen := map[string]bool{}
	for i, m := range mutators(t) {
		sound := m.Sound()
		for n := range uint64(250) {
			seed := n + uint64(i)*1000
			a := m.Mutate(seed)
			if bytes.Equal(a.Bytes, sound) {
				t.Errorf("seed %d, %s: nothing is damaged (%s)", seed, a.Kind, a.What)
			}
			if b := m.Mutate(seed); n%10 == 0 && (a.What != b.What || !bytes.Equal(a.Bytes, b.Bytes)) {
				t.Fatalf("seed %d: two runs differ", seed)
			}
			for _, k := range strings.Split(a.Kind, " + ") {
				seen[k] = true
			}
		}
		if !bytes.Equal(m.Sound(), sound) {
			t.Fatal("the mutator has damaged its own file")
		}
	}
	for family, kinds := range families {
		for _, k := range kinds {
			if !seen[family+": "+k.name] {
				t.Errorf("%s: %s never comes up", family, k.name)
			}
		}
	}
}

// Every layer of Sizes shows its mark, and nothing else does.
func TestSizes(t *testing.T) {
	Tool(t, "mutool")
	file := Sizes(SizesOptions{Annotations: true, Memberships: true, Deep: true})
	for i := range SizesLayers {
		copied, err := Reference(file, func(obj int) bool { return obj == GroupObject+i })
		if err != nil {
			t.Fatal(err)
		}
		text, err := MuPDFText(copied)
		if err != nil {
			t.Fatal(err)
		}
		var marks []string
		for _, where := range []string{"page", "piece", "own", "later", "shared"} {
			marks = append(marks, SizesMark(i, where))
		}
		for k := range SizesLayers {
			for _, where := range []string{"page", "piece", "own", "later", "shared", "note"} {
				mark := SizesMark(k, where)
				if where == "note" && i < 2 && k == i {
					continue
				}
				if want := slices.Contains(marks, mark); strings.Contains(text, mark) != want {
					t.Errorf("with layer %d alone, %s is seen: %v, want %v", i, mark, !want, want)
				}
			}
		}
	}
}
