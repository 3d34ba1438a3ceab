package sizes

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// fuzzCharts are charts with lists of layers and without, whose labels are of
// all kinds.
func fuzzCharts() []*Chart {
	named := testCharts()
	return []*Chart{
		rankChart(), pickChart(), named["small"], named["halves"], named["letters"], named["mixed"],
		named["colours"], named["women"], named["pairs"], named["systems"], named["double"], named["odd"],
	}
}

// FuzzMatch wants of any name an answer that is well formed and the same for
// other ways to write the name.
func FuzzMatch(f *testing.F) {
	for _, c := range allSpellings() {
		f.Add(c.name)
	}
	for _, c := range nameCases() {
		f.Add(c.name)
	}
	charts := fuzzCharts()
	var matchers []*matcher
	for _, chart := range charts {
		matchers = append(matchers, chart.matcher())
	}
	f.Fuzz(func(t *testing.T, name string) {
		others := otherWays(name)
		for i, m := range matchers {
			first := m.answer(m.read(name))
			checkAnswer(t, charts[i], first)
			for _, other := range others {
				if a := m.answer(m.read(other)); !reflect.DeepEqual(first, a) {
					t.Errorf("chart %d: %q and %q, two ways to write one name:\n%s", i, name, other, cmp.Diff(first, a))
				}
			}
		}
	})
}

// FuzzMatchInAnyOrder wants the answers for names to depend on no order.
func FuzzMatchInAnyOrder(f *testing.F) {
	f.Add(strings.Join(pickNames, "\n"), uint64(1))
	for i := 0; i < len(spellingCases)-3; i += 10 {
		f.Add(spellingCases[i].name+"\n"+spellingCases[i+1].name+"\n"+spellingCases[i+3].name, uint64(i))
	}
	lists, _ := namedFiles(f)
	for i, list := range lists {
		f.Add(strings.Join(list.Names, "\n"), uint64(i))
	}
	charts := fuzzCharts()
	f.Fuzz(func(t *testing.T, text string, seed uint64) {
		names := strings.Split(text, "\n")
		order := rand.New(rand.NewPCG(seed, 0)).Perm(len(names))
		mixed := make([]string, len(names))
		for i, at := range order {
			mixed[i] = names[at]
		}
		for _, chart := range charts {
			want, got := chart.Match(names), chart.Match(mixed)
			for i, at := range order {
				a := got.Answers[i]
				a.Position = at
				if diff := cmp.Diff(want.Answers[at], a); diff != "" {
					t.Errorf("%q at %d in place of %d:\n%s", names[at], i, at, diff)
				}
			}
		}
	})
}

// checkAnswer wants the invariants of an answer.
func checkAnswer(t *testing.T, chart *Chart, a Answer) {
	t.Helper()
	labels := chart.Labels()
	at := make([]int, len(a.Sizes))
	for i, label := range a.Sizes {
		at[i] = slices.Index(labels, label)
	}
	ordered := slices.IsSorted(at) && len(slices.Compact(slices.Clone(at))) == len(at) && !slices.Contains(at, -1)
	ok := ordered && a.Reason != "" && (a.Kind == KindSize) == (len(a.Sizes) > 0) && (a.Kind == KindAmbiguous) == (len(a.Claims) > 1) &&
		a.Kind >= KindSize && a.Kind <= KindOther && (a.Kind == KindOther) == (a.Other != "") && a.Rule >= RuleLayers && a.Rule <= RuleNone
	if !ok {
		t.Errorf("answer %+v of a chart with %q", a, labels)
	}
}

// otherWays writes a name in other ways that mean the same. Names outside
// printable ASCII get white space alone: case and padding are not that simple
// there.
func otherWays(name string) []string {
	out := []string{"  " + name + "\t", "\ufeff" + name, strings.ReplaceAll(name, " ", " \u00a0 ")}
	for i := range len(name) {
		if name[i] < ' ' || name[i] > '~' {
			return within(out)
		}
	}
	return within(append(out, strings.ToUpper(name), strings.ToLower(name), strings.Map(wide, name), padded(name)))
}

// within leaves out what is longer than a name may be.
func within(names []string) []string {
	return slices.DeleteFunc(names, func(s string) bool { return len(s) > maxTextBytes })
}

// wide gives the full-width form of a printable ASCII character (Unicode block
// Halfwidth and Fullwidth Forms, U+FF01 to U+FF5E, and U+3000 for the space).
func wide(r rune) rune {
	if r == ' ' {
		return '\u3000'
	}
	return r - '!' + '\uff01'
}

// padded puts a zero before each number that is not nought and does not stand
// behind a point.
func padded(s string) string {
	var b strings.Builder
	for i := range len(s) {
		begins := isDigit(s[i]) && (i == 0 || !isDigit(s[i-1]) && s[i-1] != '.')
		rest := strings.TrimLeft(s[i:], "0")
		if begins && rest != "" && isDigit(rest[0]) {
			b.WriteByte('0')
		}
		b.WriteByte(s[i])
	}
	return b.String()
}

// FuzzPick holds each pick to its promises: what is wanted is in it, sizes are
// in chart order and of the chart, and each position is in one list of three.
func FuzzPick(f *testing.F) {
	f.Add("14", 1, 1, strings.Join(pickNames, "\n"))
	f.Add("8,12..16", 0, 3, "Size 8\nSize 12-16")
	f.Add("M", 1, 0, "S\nM\nL\n8\n10")
	f.Add("", -1, 0, "")
	charts := fuzzCharts()[:6]
	f.Fuzz(func(t *testing.T, want string, below, above int, names string) {
		for _, chart := range charts {
			match := chart.Match(strings.Split(names, "\n"))
			pick, err := match.Pick(Want{Labels: []string{want}, Below: below, Above: above})
			if err != nil {
				continue
			}
			wanted, err := chart.Resolve(want)
			if err != nil {
				t.Fatalf("%q was picked but does not resolve: %v", want, err)
			}
			checkPick(t, chart, match, pick, wanted)
			checkWiderPick(t, Want{Labels: []string{want}, Below: below, Above: above}, pickedLabels(pick), match.Pick)
		}
	})
}

func checkPick(t *testing.T, chart *Chart, match *Match, pick *Pick, wanted []string) {
	t.Helper()
	labels, last := chart.Labels(), -1
	var got []string
	for _, s := range pick.Sizes {
		at := slices.Index(labels, s.Label)
		if at <= last || len(s.Positions) == 0 || !slices.IsSorted(s.Positions) {
			t.Errorf("size %+v at %d of the chart after %d", s, at, last)
		}
		last = at
		if s.Role == RoleWanted {
			got = append(got, s.Label)
		}
		for _, p := range s.Positions {
			if !slices.Contains(pick.Positions(), p) || !slices.Contains(match.Answers[p].Sizes, s.Label) {
				t.Errorf("size %+v has position %d, answered %+v", s, p, match.Answers[p])
			}
		}
	}
	if diff := cmp.Diff(wanted, got); diff != "" {
		t.Errorf("wanted sizes in the pick:\n%s", diff)
	}
	all := slices.Concat(pick.Positions(), pick.Unknown(), pick.Dropped())
	slices.Sort(all)
	for i := range max(len(all), len(match.Answers)) {
		if i >= len(all) || all[i] != i {
			t.Fatalf("positions %v of %d names", all, len(match.Answers))
		}
	}
}

// FuzzRead wants of any text a chart that holds to its rules or an error with
// a place in the text.
func FuzzRead(f *testing.F) {
	f.Add(fullChart)
	for _, c := range readErrors {
		if len(c.text) < 1000 {
			f.Add(c.text)
		}
	}
	for _, c := range hostileCharts {
		if len(c.text) < 1000 {
			f.Add(c.text)
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		chart, err := Read(strings.NewReader(text), "chart.yaml")
		if err == nil {
			if err := chart.Check(); err != nil {
				t.Errorf("a chart that was read: %v", err)
			}
			checkOwnLabels(t, chart)
			checkWritten(t, chart)
			return
		}
		checkChartError(t, err)
	})
}

// checkChartError wants an error with a place in the text and a message of one
// line.
func checkChartError(t *testing.T, err error) {
	t.Helper()
	var e *ChartError
	if !errors.As(err, &e) {
		t.Fatalf("error %v is no ChartError", err)
	}
	if e.Line < 1 || e.Column < 1 || e.Column > len([]rune(e.Text))+1 || e.Message == "" || strings.ContainsAny(e.Message, "\n\x1b") {
		t.Errorf("error %+v", e)
	}
}

// checkOwnLabels wants each label of a chart to ask for its own size.
func checkOwnLabels(t *testing.T, chart *Chart) {
	t.Helper()
	for _, label := range chart.Labels()[:min(20, len(chart.Sizes))] {
		got, err := chart.Resolve(label)
		if err != nil || fmt.Sprint(got) != fmt.Sprint([]string{label}) {
			t.Errorf("label %q resolves to %q with error %v", label, got, err)
		}
	}
}
