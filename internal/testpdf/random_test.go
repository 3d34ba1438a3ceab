package testpdf

import (
	"bytes"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestRandomIsDeterministic(t *testing.T) {
	for seed := range uint64(20) {
		a, b := Random(seed), Random(seed)
		if !bytes.Equal(a.Bytes, b.Bytes) || !cmp.Equal(a.Features, b.Features) {
			t.Errorf("seed %d: two runs differ", seed)
		}
	}
	if bytes.Equal(Random(1).Bytes, Random(2).Bytes) {
		t.Error("two seeds give one document")
	}
}

func TestWildIsDeterministic(t *testing.T) {
	if !bytes.Equal(Wild(1).Bytes, Wild(1).Bytes) || bytes.Equal(Wild(1).Bytes, Wild(2).Bytes) {
		t.Error("one seed gives two documents, or two give one")
	}
}

// What Random makes by default must be fit for both renderers of the oracle;
// with everything, all that Gaps knows must come up.
func TestRandomFeatures(t *testing.T) {
	usual, all := map[string]bool{}, map[string]bool{}
	for seed := range uint64(100) {
		d := Random(seed)
		for _, r := range []string{NamePoppler, NamePDFium} {
			if unfit := Unfit(r, d.Features); len(unfit) > 0 {
				t.Errorf("seed %d is not fit for %s: %v", seed, r, unfit)
			}
		}
		for _, f := range d.Features {
			usual[f] = true
		}
		for _, f := range RandomWith(seed, RandomOptions{Everything: true}).Features {
			all[f] = true
		}
	}
	if len(usual) < 30 {
		t.Errorf("only %d features come up by default", len(usual))
	}
	for f := range usual {
		if !all[f] {
			t.Errorf("%q never comes up with everything allowed", f)
		}
	}
	for _, r := range []string{NamePoppler, NamePDFium, NameMuPDF, NameQPDF} {
		for _, g := range Gaps(r) {
			if !all[g.Feature] && !notMade[g.Feature] {
				t.Errorf("%q, a gap of %s, never comes up", g.Feature, r)
			}
		}
	}
}

// notMade are gaps that Random does not go into: what follows them is lost in
// a renderer, so they would only hide other things.
var notMade = map[string]bool{FeatureUnderflow: true, FeatureMaskOC: true}

func TestRandomGroups(t *testing.T) {
	for seed := range uint64(20) {
		d := Random(seed)
		groups, err := Groups(d.Bytes)
		if diff := cmp.Diff(d.Groups, groups); diff != "" || err != nil {
			t.Errorf("seed %d: %v, groups (-want +got):\n%s", seed, err, diff)
		}
	}
}
