package sizes

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
)

// draftCases are the names of files, with what a draft makes of them. Names
// are invented after habits seen in common practice, no source.
var draftCases = []struct {
	why    string
	names  []string
	labels string   // of the sizes, joined by spaces and bars
	form   string   // Chart.Names
	keep   []string // Chart.Keep
	doubts []string // names, "" for one about the chart
}{
	{
		why:    "numbers in any order, and what is shared",
		names:  []string{"Size 10", "Text", "Size 8", "Size 6", "Grainline", "Test squares", "Background"},
		labels: "6 | 8 | 10", form: "Size {label}", keep: []string{"Text", "Grainline", "Test squares", "Background"},
	},
	{
		why:    "what is for all sizes",
		names:  []string{"Size 8", "All", "Size 10", "Allsizes", "ALL SIZES", "Alle Größen", "All but size 8", "All arrows"},
		labels: "8 | 10", form: "Size {label}", keep: []string{"All", "Allsizes", "ALL SIZES", "Alle Größen", "All arrows"}, doubts: []string{"All but size 8"},
	},
	{
		why:    "padded numbers stay padded",
		names:  []string{"Size 10", "Size 08", "Size 06"},
		labels: "06 | 08 | 10", form: "Size {label}",
	},
	{
		why:    "no zeros come before one zero",
		names:  []string{"0", "2", "00", "000", "4"},
		labels: "000 | 00 | 0 | 2 | 4", form: "{label}",
	},
	{
		why:    "letters from small to large, in one of two spellings",
		names:  []string{"XL", "M", "2XL", "XS", "L", "S", "XXS"},
		labels: "XXS | XS | S | M | L | XL | 2XL", form: "{label}",
	},
	{
		why:    "one size in two spellings is one size",
		names:  []string{"Size XXL", "Size 2XL", "Size XL"},
		labels: "XL | 2XL", form: "Size {label}",
	},
	{
		why:    "words for letters",
		names:  []string{"Small", "Medium", "Large"},
		labels: "S | M | L",
	},
	{
		why:    "copies are the same size",
		names:  []string{"Size 8", "Size 8 copy", "Size 10"},
		labels: "8 | 10", form: "Size {label}",
	},
	{
		why:    "colours in the order of the names, which is in doubt",
		names:  []string{"green", "Dark blue", "red", "Text"},
		labels: "green | Dark blue | red", form: "{label}", keep: []string{"Text"}, doubts: []string{""},
	},
	{
		why:    "colours beside numbers are no sizes",
		names:  []string{"8", "10", "red"},
		labels: "8 | 10", form: "{label}", doubts: []string{"red"},
	},
	{
		why:    "bare numbers beside marked ones are no sizes",
		names:  []string{"Size 8", "Size 10", "1", "10"},
		labels: "8 | 10", form: "Size {label}", doubts: []string{"1"},
	},
	{
		why:    "several sizes in one layer",
		names:  []string{"8", "10", "12", "8-12", "10/12"},
		labels: "8 | 10 | 12", form: "{label}",
	},
	{
		why:    "ranges are sizes where their ends are none",
		names:  []string{"14-16", "6-8", "10-12"},
		labels: "6-8 | 10-12 | 14-16", form: "{label}",
	},
	{
		why:    "pairs are sizes where their halves are none",
		names:  []string{"XL", "XS/S", "M/L"},
		labels: "XS/S | M/L | XL", form: "{label}",
	},
	{
		why:    "half a range is in doubt",
		names:  []string{"8", "10", "10-14"},
		labels: "8 | 10", form: "{label}", doubts: []string{"10-14"},
	},
	{
		why:    "women's sizes after the others, in doubt",
		names:  []string{"16W", "14", "16", "18W"},
		labels: "14 | 16 | 16W | 18W", form: "{label}", doubts: []string{""},
	},
	{
		why:    "numbers and letters, in doubt",
		names:  []string{"S", "M", "8", "10"},
		labels: "8 | 10 | S | M", form: "{label}", doubts: []string{""},
	},
	{
		why:    "two names of each size",
		names:  []string{"US 10 / EU 40", "US 8 / EU 38"},
		labels: "US 8 / EU 38 | US 10 / EU 40", form: "{label}",
	},
	{
		why:    "one letter beside several numbers tells none of them",
		names:  []string{"8 (S)", "10 (S)", "12 (M)", "14 (M)", "16 (L)"},
		labels: "8 | 10 | 12 | 14 | 16",
	},
	{
		why:    "a letter with the numbers that it spans",
		names:  []string{"XS (6-8)", "S (10-12)", "14-16 (M)"},
		labels: "XS | S | M",
	},
	{
		why:    "petite and tall beside plain, within longer names",
		names:  []string{"Size 8 front", "Size 8 petite front", "Size 10 front", "Size 8 tall front"},
		labels: "8 | 10 | 8 petite | 8 tall", form: "Size {label} front", doubts: []string{""},
	},
	{
		why:    "two layers of a size have no form in common",
		names:  []string{"Size 8 front", "Size 8 back", "Size 10 front", "Size 12 front"},
		labels: "8 | 10 | 12",
	},
	{
		why:    "one oddly named layer beside those of a form",
		names:  []string{"Size 8", "Gr. 8", "Size 10", "Size 12"},
		labels: "8 | 10 | 12", form: "Size {label}",
	},
	{
		why:    "colours with a word for size",
		names:  []string{"Size red", "Size blue"},
		labels: "red | blue", form: "Size {label}", doubts: []string{""},
	},
	{
		why:    "two systems",
		names:  []string{"US 8", "US 10", "EU 38"},
		labels: "EU 38 | US 8 | US 10", form: "{label}", doubts: []string{""},
	},
	{
		why:    "one system needs no mention",
		names:  []string{"EU 38", "EU 40"},
		labels: "38 | 40", form: "EU {label}",
	},
	{
		why:    "marked within longer names",
		names:  []string{"tollmere_sz12_cut", "tollmere_sz08_cut", "tollmere_sz10_cut", "page 3"},
		labels: "08 | 10 | 12", form: "tollmere_sz{label}_cut", doubts: []string{"page 3"},
	},
	{
		why:    "what draws nobody knows what",
		names:  []string{"Size 8", "Size 10", "up to size 14", "Doodle", "Doodle", "Needle size 12"},
		labels: "8 | 10", form: "Size {label}", doubts: []string{"up to size 14", "Doodle", "Needle size 12"},
	},
	{
		why:   "a name with signs of a glob finds itself alone",
		names: []string{"Size 8", "Size 10", "Text *[a", "Text 2"}, labels: "8 | 10", form: "Size {label}",
		keep: []string{`Text \*\[a`, "Text 2"},
	},
	{
		why:    "no sizes at all",
		names:  []string{"Layer 1", "Layer 2", "Text"},
		labels: "", keep: []string{"Text"}, doubts: []string{"Layer 1", "Layer 2", ""},
	},
	{
		why:    "ages, from the youngest, as they are written",
		names:  []string{"18m", "6-9 months", "Newborn", "3-6m", "12-18M", "0-3m", "Preemie", "Text"},
		labels: "Preemie | Newborn | 0-3m | 3-6m | 6-9 months | 12-18M | 18m", form: "{label}", keep: []string{"Text"},
	},
	{
		why:    "months, years, toddlers' sizes and numbers, in the order of age",
		names:  []string{"6", "5", "4T", "3T", "2T", "4-5 years", "Age 4", "3 yrs", "2 years", "24 months", "18m", "12-18M", "0-3m", "NB"},
		labels: "NB | 0-3m | 12-18M | 18m | 24 months | 2 years | 2T | 3 yrs | 3T | Age 4 | 4T | 4-5 years | 5 | 6", form: "{label}",
	},
	{
		why:    "toddlers' sizes before plain numbers",
		names:  []string{"5", "6", "4T", "2T", "3T"},
		labels: "2T | 3T | 4T | 5 | 6", form: "{label}",
	},
	{
		why:    "a toddler's size beside the child's of the same number",
		names:  []string{"Size 4", "Size 4T", "Size 5", "Size 3T"},
		labels: "3T | 4T | 4 | 5", form: "Size {label}",
	},
	{
		why:    "months before toddlers' sizes and numbers",
		names:  []string{"4", "2T", "24m", "12m", "3T", "5"},
		labels: "12m | 24m | 2T | 3T | 4 | 5", form: "{label}",
	},
	{
		why:    "T beside larger sizes is tall, in doubt",
		names:  []string{"6", "6T", "8", "8T"},
		labels: "6 | 8 | 6T | 8T", form: "{label}", doubts: []string{""},
	},
	{
		why:    "body heights in pairs",
		names:  []string{"74/80", "62/68", "50/56"},
		labels: "50/56 | 62/68 | 74/80", form: "{label}",
	},
	{
		why:    "body heights with ages",
		names:  []string{"62/68 (3-6 Monate)", "50/56 (0-3 Monate)"},
		labels: "0-3 Monate | 3-6 Monate",
	},
	{
		why:    "German ages",
		names:  []string{"2 Jahre", "3 Monate", "18 Monate"},
		labels: "3 Monate | 18 Monate | 2 Jahre", form: "{label}",
	},
	{
		why:    "French ages",
		names:  []string{"Taille 2 ans", "Taille 3 mois", "Taille naissance"},
		labels: "naissance | 3 mois | 2 ans", form: "Taille {label}",
	},
	{
		why:    "ages in longer names",
		names:  []string{"Tollmere romper size 0-3 months front", "Tollmere romper size 3-6 months front"},
		labels: "0-3 months | 3-6 months", form: "Tollmere romper size {label} front",
	},
	{
		why:    "one word for the age alone",
		names:  []string{"Age 6", "Age 4", "Age 5"},
		labels: "4 | 5 | 6", form: "Age {label}",
	},
	{
		why:    "a number that may be months",
		names:  []string{"12", "12m", "18m"},
		labels: "12m | 18m", form: "{label}", doubts: []string{"12"},
	},
	{
		why:    "years and a plain number of the same value, in doubt",
		names:  []string{"Size 2", "2 years", "3 years"},
		labels: "2 years | 3 years | 2", form: "{label}", doubts: []string{""},
	},
	{
		why:    "several ages in one layer",
		names:  []string{"2 years", "3 years", "4 years", "2-4 years"},
		labels: "2 years | 3 years | 4 years", form: "{label}",
	},
	{
		why:    "one length is no age",
		names:  []string{"Size 8", "Size 10", "3m"},
		labels: "8 | 10", form: "Size {label}", doubts: []string{"3m"},
	},
	{
		why:    "ages beside letters, in doubt",
		names:  []string{"0-3 months", "3-6 months", "S", "M"},
		labels: "0-3 months | 3-6 months | S | M", form: "{label}", doubts: []string{""},
	},
	{
		why:    "plus sizes as they are written",
		names:  []string{"size 3X", "size 1X", "size 2X"},
		labels: "1X | 2X | 3X", form: "size {label}",
	},
	{
		why:    "plus sizes beside others",
		names:  []string{"XL", "L", "2X", "1X"},
		labels: "L | XL | 1X | 2X", form: "{label}",
	},
	{
		why:    "plus sizes beside others of that number, in doubt",
		names:  []string{"S", "XL", "2XL", "2X", "3X"},
		labels: "S | XL | 2XL | 2X | 3X", form: "{label}", doubts: []string{""},
	},
	{
		why:    "the smallest plus size beside larger others, in doubt",
		names:  []string{"1X", "2X", "XXL"},
		labels: "1X | XXL | 2X", form: "{label}", doubts: []string{""},
	},
	{
		why:    "an L that ends with the numbers",
		names:  []string{"XL", "XXL", "3X", "4X"},
		labels: "XL | XXL | 3X | 4X", form: "{label}",
	},
	{
		why:    "toddlers' sizes in words, and several in one layer",
		names:  []string{"Toddler 3", "2T", "4 T", "2-4T", "2T/3T", "5"},
		labels: "2T | 3T | 4T | 5",
	},
	{
		why:    "toddlers' sizes in words alone",
		names:  []string{"Toddler 3", "Toddler 2", "Toddler 4"},
		labels: "2T | 3T | 4T",
	},
	{
		why:    "T before a number beside toddlers' sizes may be either",
		names:  []string{"2T", "3T", "T4", "T5"},
		labels: "2T | 3T", form: "{label}", doubts: []string{"T4", "T5"},
	},
	{
		why:    "women's sizes within longer names",
		names:  []string{"Size 16W front", "Size 18W front"},
		labels: "16W | 18W", form: "Size {label} front",
	},
	{
		why:    "two numbers of no system for one size",
		names:  []string{"38 (12)", "42 (16)", "40 (14)"},
		labels: "38 (12) | 40 (14) | 42 (16)", form: "{label}",
	},
	{
		why:    "ranges with a word for the hyphen",
		names:  []string{"Size 14 to 16", "Size 10 to 12"},
		labels: "10-12 | 14-16",
	},
	{
		why:    "cups, in doubt",
		names:  []string{"Size 12 C cup", "Size 12 DD cup", "Size 14 C cup"},
		labels: "12 c cup | 14 c cup | 12 dd cup", doubts: []string{""},
	},
	{
		why:    "plus and petite before the size word are no plain sizes",
		names:  []string{"Size 16", "Size 18", "Plus Size 16", "Petite size 18"},
		labels: "16 | 18", form: "Size {label}", doubts: []string{"Plus Size 16", "Petite size 18"},
	},
	{
		why:    "sizes of two groups of people, in doubt",
		names:  []string{"Women's size 8", "Men's size 8", "Women's size 10"},
		labels: "8 | 10", doubts: []string{"", "Women's size 8", "Men's size 8"},
	},
	{
		why:    "plus sizes alone",
		names:  []string{"Plus Size 18", "Plus Size 16"},
		labels: "16 | 18", form: "Plus Size {label}",
	},
	{
		why:    "sizes of one group of people",
		names:  []string{"Women's size 8", "Women's size 10"},
		labels: "8 | 10", form: "Women's size {label}",
	},
	{
		why:    "inches are no sizes",
		names:  []string{"Size 0", "Size 2", "2\""},
		labels: "0 | 2", form: "Size {label}", doubts: []string{"2\""},
	},
	{
		why:    "a size with that of another system in brackets",
		names:  []string{"10 (EU 40)", "8 (EU 38)"},
		labels: "8 (EU 38) | 10 (EU 40)", form: "{label}",
	},
	{
		why:    "the same with an equals sign",
		names:  []string{"Size 10 = EU 40", "Size 8 = EU 38"},
		labels: "8 (EU 38) | 10 (EU 40)",
	},
	{
		why:    "a bare number that goes on where marked sizes end is one, in doubt",
		names:  []string{"SIZE_08", "SIZE_10", "16"},
		labels: "08 | 10 | 16", form: "SIZE_{label}", doubts: []string{""},
	},
	{
		why:    "a bare number out of step with marked ones is no size",
		names:  []string{"Size 8", "Size 10", "13"},
		labels: "8 | 10", form: "Size {label}", doubts: []string{"13"},
	},
	{why: "one bare letter is no size", names: []string{"L", "R"}, doubts: []string{"L", "R", ""}},
	{why: "no names", doubts: []string{""}},
}

func TestDraft(t *testing.T) {
	for _, c := range draftCases {
		t.Run(c.why, func(t *testing.T) {
			d := Draft(c.names)
			got := [][]string{{strings.Join(d.Chart.Labels(), " | ")}, {d.Chart.Names}, d.Chart.Keep, doubtNames(d)}
			want := [][]string{{c.labels}, {c.form}, c.keep, c.doubts}
			if diff := cmp.Diff(want, got, cmpopts.EquateEmpty()); diff != "" {
				t.Errorf("labels, form, keep, doubts of %q:\n%s\ndoubts: %v", c.names, diff, d.Doubts)
			}
			checkDraft(t, d, c.names)
		})
	}
}

func doubtNames(d *Drafted) []string {
	var names []string
	for _, doubt := range d.Doubts {
		names = append(names, doubt.Name)
	}
	return names
}

// checkDraft holds a draft to its promise: the chart is sound, answers for
// every name that is not in doubt, and reads back as it was written.
func checkDraft(t *testing.T, d *Drafted, names []string) {
	t.Helper()
	for _, a := range d.Chart.Match(names).Answers {
		known := a.Kind == KindSize || a.Kind == KindKeep
		doubted := slices.ContainsFunc(d.Doubts, func(o Doubt) bool { return o.Position >= 0 && fold(o.Name) == fold(a.Name) })
		if known == doubted {
			t.Errorf("%q: %s, and in doubt is %t (%s)", a.Name, a.Kind, doubted, a.Reason)
		}
	}
	var b bytes.Buffer
	err := d.Write(&b)
	if len(d.Chart.Sizes) == 0 {
		if err == nil || len(d.Doubts) == 0 {
			t.Errorf("a draft without sizes: error %v, doubts %v", err, d.Doubts)
		}
		return
	}
	if err != nil {
		t.Fatalf("writing: %v", err)
	}
	back, err := Read(bytes.NewReader(b.Bytes()), "draft.yaml")
	if err != nil {
		t.Fatalf("reading back: %v\n%s", err, b.String())
	}
	if diff := cmp.Diff(d.Chart, back, cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("read back:\n%s\n%s", diff, b.String())
	}
}

// TestDraftOfSpellings drafts from the labels of a chart and all names that say
// one of its sizes, in all languages and in any order, and wants each name to
// find its size.
func TestDraftOfSpellings(t *testing.T) {
	// what a chart says and names alone cannot
	skip := map[string]string{
		"scripts":  "no word tells that they are sizes",
		"bracket":  "one letter for two sizes",
		"views":    "a plain size beside petite and tall",
		"odd":      "labels with the signs of lists and spans",
		"twoplus":  "one size in two spellings",
		"mixed":    "S8 is size 8 unless S is a size",
		"2T alone": "T2 may be 2T or size 2",
		"toddlers": "the same",
		"T2":       "the same",
		"twotwo":   "the same",
		"systems":  "8 may be US 8 alone",
		"double":   "the halves of double labels are sizes as well",
		"colours":  "labels are words",
		"pairs":    "the halves are no sizes",
		"ranges":   "the halves are no sizes",
		"child":    "years and plain numbers of one value",
		"plain":    "Age 4 is 4 unless ages are sizes",
		"ages":     "4 years is Age 4, and 4 a size of its own",
		"heights":  "an age beside one pair of heights",
	}
	for chart, c := range testCharts() {
		var names []string
		want := map[string]string{}
		for _, s := range allSpellings() {
			if slices.Contains([]string{"UK 12", "FR 38", "38 FR", "Gr. 38 (DE)", "IT 42"}, s.name) {
				continue // a second system makes other sizes
			}
			if strings.HasPrefix(s.name, "Tollmere") {
				continue // the name of the pattern, which only some of these names have
			}
			if s.chart == chart && slices.Contains(c.Labels(), s.want) {
				names = append(names, s.name)
				want[s.name] = s.want
			}
		}
		for _, label := range c.Labels() {
			names, want["Size "+label] = append(names, "Size "+label), label
		}
		for seed := range uint64(20) {
			all := append(c.Labels(), names...)
			rand.New(rand.NewPCG(seed, 7)).Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
			d := Draft(all)
			checkDraft(t, d, all)
			if skip[chart] != "" {
				continue
			}
			match := d.Chart.Match(all)
			labels := map[string]string{}
			for _, a := range match.Answers {
				labels[a.Name] = strings.Join(a.Sizes, "|")
			}
			for _, name := range names {
				if labels[name] == "" || labels[name] != labels[want[name]] {
					t.Errorf("%s, order %d: %q is size %q, its label %q is size %q", chart, seed, name, labels[name], want[name], labels[want[name]])
				}
			}
			var places []int
			for _, label := range c.Labels() {
				places = append(places, slices.Index(d.Chart.Labels(), labels[label]))
			}
			if chart == "both" { // of several systems, which nothing orders
				if !slices.ContainsFunc(d.Doubts, func(x Doubt) bool { return strings.Contains(x.Reason, "several kinds") }) {
					t.Errorf("%s: the order is not in doubt: %v", chart, d.Doubts)
				}
				continue
			}
			if chart != "halves" && !slices.IsSorted(places) { // which has 8 1/2 last
				t.Errorf("%s, order %d: %q instead of %q", chart, seed, d.Chart.Labels(), c.Labels())
			}
		}
	}
}

// TestDraftOfAnyNames drafts from random handfuls of the spelling cases.
func TestDraftOfAnyNames(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 400 {
		var names []string
		for range 1 + r.IntN(30) {
			names = append(names, spellingCases[r.IntN(len(spellingCases))].name)
		}
		checkDraft(t, Draft(names), names)
		if t.Failed() {
			t.Fatalf("names: %q", names)
		}
	}
}

// The order of names decides nothing but the order of colours.
func TestDraftInAnyOrder(t *testing.T) {
	for _, c := range draftCases {
		if strings.Contains(c.why, "colours") {
			continue
		}
		r := rand.New(rand.NewPCG(2, 2))
		for range 20 {
			names := slices.Clone(c.names)
			r.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
			d := Draft(names)
			if got := strings.Join(d.Chart.Labels(), " | "); got != c.labels || d.Chart.Names != c.form {
				t.Errorf("%s: %q %q from %q", c.why, got, d.Chart.Names, names)
			}
			checkDraft(t, d, names)
		}
	}
}

// A draft is read by somebody who has no chart yet: what it says of a layer does
// not send her to one.
func TestDraftSpeaksOfNoChart(t *testing.T) {
	sets := [][]string{{"SIZE_08", "SIZE_10", "13"}, {"Size 8", "Size 10", "12 tall", "8 tall", "size 12-14 tall"}, {"12", "12m", "18m"}}
	for _, c := range draftCases {
		sets = append(sets, c.names)
	}
	for _, names := range sets {
		for _, doubt := range Draft(names).Doubts {
			if doubt.Position >= 0 && strings.Contains(doubt.Reason, "chart") {
				t.Errorf("%q of %q: %s", doubt.Name, names, doubt.Reason)
			}
		}
	}
}

func TestDraftWrite(t *testing.T) {
	var b bytes.Buffer
	if err := Draft([]string{"Size 10", "Size 8", "Text", "Doodle\n", "green"}).Write(&b); err != nil {
		t.Fatal(err)
	}
	want, err := os.ReadFile(filepath.Join("testdata", "draft.golden"))
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), b.String()); diff != "" {
		t.Error(diff)
	}
}

// Comments keep to 80 columns, and nothing of them is lost.
func TestDraftComments(t *testing.T) {
	for _, names := range [][]string{{"red", "green", "Doodle"}, {"14", "16W", "A layer of which nobody knows why it is there at all"}, {"S", "8", "10", "M"}} {
		d := Draft(names)
		var b bytes.Buffer
		if err := d.Write(&b); err != nil {
			t.Fatal(err)
		}
		words := ""
		for _, line := range strings.Split(b.String(), "\n") {
			text, isComment := strings.CutPrefix(line, "#")
			if len(line) > 80 && isComment {
				t.Errorf("%d columns: %s", len(line), line)
			}
			words += strings.TrimSpace(text) + " "
		}
		for _, doubt := range d.Doubts {
			if !strings.Contains(words, strings.Join(strings.Fields(doubt.Reason), " ")) {
				t.Errorf("%q is not there:\n%s", doubt.Reason, &b)
			}
		}
	}
}

func FuzzDraft(f *testing.F) {
	for _, c := range draftCases {
		f.Add(strings.Join(c.names, "\n"))
	}
	for _, c := range spellingCases {
		f.Add("Size 8\n" + c.name + "\nSize 10")
	}
	f.Fuzz(func(t *testing.T, text string) {
		names := strings.Split(text, "\n")
		checkDraft(t, Draft(names), names)
	})
}

// TestDraftMany: a file may have as many layers as it likes; a draft takes each
// name once, not each with each.
func TestDraftMany(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	const many = 50_000
	for _, form := range []string{"%d", "Size %d", "%d years"} {
		names := make([]string, many)
		for i := range names {
			names[i] = fmt.Sprintf(form, i)
			if form == "%d years" && i%2 > 0 {
				names[i] = fmt.Sprint(i)
			}
		}
		start := time.Now()
		done := make(chan *Drafted, 1)
		go func() { done <- Draft(names) }()
		select {
		case d := <-done:
			t.Logf("%s: %v", form, time.Since(start))
			if len(d.Chart.Sizes) > maxSizes {
				t.Errorf("%s: %d sizes", form, len(d.Chart.Sizes))
			}
		case <-time.After(30 * time.Second): // it takes one or two
			t.Fatalf("%s: %d names take more than half a minute", form, many)
		}
	}
}
