package layers

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"hash/crc32"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/internal/testpdf/oracle"
)

// TestMutated damages files and isolates the layers that are on in what is
// left of them. Each copy is refused with a sentence, or what is written is
// sound and looks, in every renderer, as that renderer draws the damaged file
// itself. To run one case again: -run 'TestMutated/^FILE$/^NUMBER$', with
// SIZEPLY_MUTATIONS above the number.
func TestMutated(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	t.Parallel()
	seeds := 2
	if os.Getenv("SIZEPLY_WITNESSES") == "1" {
		seeds = 4
	}
	if long() {
		seeds = 100
	}
	if n, err := strconv.Atoi(os.Getenv("SIZEPLY_MUTATIONS")); err == nil {
		seeds = n // of each file
	}
	m := &mutations{counts: map[verdict]int{}, pictures: map[[sha256.Size]byte]map[string]rendering{}}
	for _, s := range mutated(t) {
		t.Run(s.name, func(t *testing.T) {
			t.Parallel()
			o := m.original(t, s)
			for n := range seeds {
				t.Run(fmt.Sprint(n), func(t *testing.T) { m.mutate(t, o, n) })
			}
		})
	}
	t.Cleanup(func() { t.Log(m.String()) })
}

// mutant is a file to be damaged.
type mutant struct {
	name    string
	file    []byte
	written testpdf.Sections
	on      func(obj int) bool
	marks   bool // of testpdf.Sizes
}

// mutated are the files to damage: patterns of our own, random documents, and
// those of SIZEPLY_CORPUS.
func mutated(t *testing.T) []mutant {
	t.Helper()
	ways := [...]string{testpdf.OneTable: "", testpdf.Packed: "-packed", testpdf.Updated: "-updated"}
	var list []mutant
	add := func(name string, file []byte, marks bool) {
		for _, written := range []testpdf.Sections{testpdf.OneTable, testpdf.Packed, testpdf.Updated} {
			r := rand.New(rand.NewPCG(uint64(len(list)), 0x6D757461)) // any constant does
			keep := r.Uint64() | 1<<r.IntN(3)
			on := func(obj int) bool { return keep>>(obj%64)&1 == 1 }
			list = append(list, mutant{name: name + ways[written], file: file, written: written, on: on, marks: marks})
		}
	}
	for i := range 8 {
		opt := testpdf.SizesOptions{
			Memberships: i&1 > 0, Deep: i&2 > 0, Annotations: i == 4,
			Layout: testpdf.Layout{Compress: i&4 > 0 && i < 7},
		}
		add(fmt.Sprintf("sizes%d", i), testpdf.Sizes(opt), true)
	}
	for seed := range uint64(4) {
		add(fmt.Sprintf("random%d", seed), testpdf.RandomWith(1000+seed, testpdf.RandomOptions{Opaque: true}).Bytes, false)
	}
	dir := os.Getenv("SIZEPLY_CORPUS")
	if dir == "" {
		t.Log("SIZEPLY_CORPUS names no folder: only files of our own are damaged")
		return list
	}
	for _, name := range pdfFiles(t, dir) {
		file, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		add(strings.TrimSuffix(filepath.Base(name), ".pdf"), file, false)
	}
	return list
}

// mutations counts how damaged files end.
type mutations struct {
	mu       sync.Mutex
	counts   map[verdict]int
	pictures map[[sha256.Size]byte]map[string]rendering
}

// undamaged is a file before it is damaged.
type undamaged struct {
	mutant
	mutator   *testpdf.Mutator
	isolated  []byte // what is isolated of it
	dpi       int
	warnings  []Warning
	renderers []oracle.Renderer // that draw what is isolated of it as they draw it
}

func (m *mutations) original(t *testing.T, s mutant) undamaged {
	t.Helper()
	mutator, err := testpdf.NewMutator(s.file, s.on, s.written)
	if err != nil {
		t.Fatal(err)
	}
	o := undamaged{mutant: s, mutator: mutator}
	sound := mutator.Sound()
	out, report, err := isolateShown(sound)
	if err != nil {
		t.Fatalf("undamaged: %v", err)
	}
	o.isolated, o.dpi, o.warnings = out, resolution(t, sound), report.Warnings
	for _, r := range m.renderers(t) {
		if contrast(r.Name, m.draw(r, sound, o.dpi), m.draw(r, out, o.dpi)).text == "" {
			o.renderers = append(o.renderers, r)
		} else {
			t.Logf("%s is not asked: it draws the sound file and what is isolated of it differently", r.Name)
		}
	}
	return o
}

// renderers gives PDFium alone in a run of go test.
func (m *mutations) renderers(t *testing.T) []oracle.Renderer {
	if long() || os.Getenv("SIZEPLY_WITNESSES") == "1" {
		return oracle.Renderers(t)
	}
	return []oracle.Renderer{oracle.PDFium(t)}
}

// resolution is one at which the longest side of the pages has 200 pixels.
func resolution(t *testing.T, file []byte) int {
	longest := 1.0
	for _, p := range open(t, file).Pages() {
		longest = max(longest, p.Width, p.Height)
	}
	return max(4, min(72, int(200*72/longest)))
}

// isolateShown isolates the layers that are on.
func isolateShown(file []byte) ([]byte, *Report, error) {
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute) // a bound against hanging
	defer cancel()
	doc, err := Open(ctx, bytes.NewReader(file), nil)
	if err != nil {
		return nil, nil, err
	}
	sel := Selection{Layers: []int{}}
	for i, l := range doc.Layers() {
		if l.On {
			sel.Layers = append(sel.Layers, i)
		}
	}
	sel.NoLayers = len(sel.Layers) == 0
	var out bytes.Buffer
	report, err := doc.Isolate(ctx, &out, sel, nil)
	if err == nil {
		err = report.Check(ctx, bytes.NewReader(out.Bytes()))
	}
	return out.Bytes(), report, err
}

// A verdict is how a damaged file ended.
type verdict string

const (
	isRefused   verdict = "refused"
	isIdentical verdict = "identical"
	// isUnseen: no renderer opens the damaged file, and a warning is given.
	isUnseen verdict = "explained: drawn by no renderer, a warning is given"
	// isDisputed: the renderers differ on the damaged file, as many at least do
	// as we do, and a warning is given.
	isDisputed verdict = "explained: renderers differ, a warning is given"
	// isHealed: the renderers differ, one at least draws the damaged file as what was
	// written, and that is as all draw the file before it was damaged; a warning is
	// given.
	isHealed verdict = "explained: healed, as some renderers do, a warning is given"
	// isAlone: one renderer alone draws the damaged file otherwise.
	isAlone verdict = "explained: one renderer reads it otherwise: "
	// isUndecided: so few renderers are asked that what they show may be their own way
	// with damage.
	isUndecided verdict = "not decided: too few renderers are asked"

	noSentence verdict = "FOUND: an error that is none of those promised"
	notSound   verdict = "FOUND: what was written is not sound"
	markerLeft verdict = "FOUND: something of a removed layer is left"
	unlikeAll  verdict = "FOUND: drawn unlike the damaged file by all"
	unlikeSome verdict = "FOUND: drawn unlike the damaged file by some"
	blindly    verdict = "FOUND: drawn by no renderer, and no warning is given"
)

// isFound reports whether a verdict is a failure.
func (v verdict) isFound() bool { return strings.HasPrefix(string(v), "FOUND") }

// openFindings lists what is known to be wrong, by the kind of damage: it is counted
// and does not fail the test.
var openFindings = []struct{ kinds, why string }{
	{"packed", "an object that cannot be reached is searched for, where one renderer goes without"},
	{"objects", "a property list that is something else is taken away, and missed by Check"},
	{"references", "structure that is not what it should be"},
	{"bytes|tokens", "an object that is damaged is read in part"},
	{"streams", "data that is no content, of an image or of a font, is passed on as it is"},
}

// mutate damages a file for the nth time and judges what becomes of it.
func (m *mutations) mutate(t *testing.T, o undamaged, n int) {
	mut := o.mutator.Mutate(uint64(crc32.ChecksumIEEE([]byte(o.name)))<<16 + uint64(n))
	v, text := m.end(t, o, mut.Bytes)
	if !v.isFound() {
		m.count(v)
		if v == isUndecided {
			t.Log(text)
		}
		return
	}
	text = fmt.Sprintf("%s: %s (%s): %s", v, mut.Kind, mut.What, text)
	out, _, _ := isolateShown(mut.Bytes)
	keepFiles(t, fmt.Sprintf("%s-%d", o.name, n), mut.Bytes, out)
	for _, known := range openFindings {
		if regexp.MustCompile(`^(` + known.kinds + `):`).MatchString(mut.Kind) {
			m.count(v + verdict(" (open: "+known.why+")"))
			t.Logf("open: %s", text)
			return
		}
	}
	m.count(v)
	t.Error(text)
}

// end isolates what is on in a damaged file and says how that ended.
func (m *mutations) end(t *testing.T, o undamaged, damaged []byte) (v verdict, text string) {
	out, report, err := isolateShown(damaged)
	if err == nil {
		return m.judge(t, o, damaged, out, report)
	}
	if _, ok := refused(err).(refusal); !ok && !errors.Is(err, ErrNoLayers) {
		return noSentence, err.Error()
	}
	return isRefused, err.Error()
}

// judge compares what was written with the damaged file.
func (m *mutations) judge(t *testing.T, o undamaged, damaged, out []byte, report *Report) (v verdict, text string) {
	if err := unsound(out); err != nil {
		return notSound, err.Error()
	}
	if left := marksLeft(t, o, out); len(left) > 0 {
		return markerLeft, strings.Join(left, ", ")
	}
	var same, differ, blind []string
	var seen []finding
	for _, r := range o.renderers {
		want, got := m.draw(r, damaged, o.dpi), m.draw(r, out, o.dpi)
		switch d := contrast(r.Name, want, got); {
		case want.err != nil:
			blind = append(blind, r.Name)
		case d.text == "":
			same = append(same, r.Name)
		default:
			differ = append(differ, r.Name+": "+d.text)
			seen = append(seen, d)
		}
	}
	var warnings []Warning
	for _, w := range report.Warnings {
		if !slices.ContainsFunc(o.warnings, func(v Warning) bool { return v.Page == w.Page && v.Text == w.Text }) {
			warnings = append(warnings, w)
		}
	}
	v = weigh(same, differ, len(warnings) > 0)
	if v == unlikeSome && len(warnings) > 0 && m.healed(o, out) {
		v = isHealed
	}
	if v.isFound() && len(o.renderers) < enoughRenderers && !agree(seen) {
		v = isUndecided
	}
	return v, fmt.Sprintf("alike in %v, not in %v, not opened by %v; warnings %v", same, differ, blind, warnings)
}

// enoughRenderers decide by their number how a damaged file is drawn. Fewer do where
// two agree.
const enoughRenderers = 3

// agree reports whether two renderers see a difference at the same place, or the
// same difference in the number or size of pages.
func agree(seen []finding) bool {
	for i, a := range seen {
		for _, b := range seen[:i] {
			if a.meets(b, 0, 0) || len(a.places)+len(b.places) == 0 && a.text == b.text {
				return true
			}
		}
	}
	return false
}

// decides reports whether a verdict of the renderers that are asked counts.
func (o undamaged) decides(v verdict) bool {
	return v == isRefused || len(o.renderers) >= enoughRenderers
}

// healed reports whether what was written is drawn as what is isolated of the
// file before it was damaged.
func (m *mutations) healed(o undamaged, out []byte) bool {
	for _, r := range o.renderers {
		if contrast(r.Name, m.draw(r, o.isolated, o.dpi), m.draw(r, out, o.dpi)).text != "" {
			return false
		}
	}
	return true
}

// weigh gives the verdict where these renderers draw what was written as they
// draw the damaged file, and those do not.
func weigh(same, differ []string, warned bool) verdict {
	switch {
	case len(differ) == 0 && len(same) > 0:
		return isIdentical
	case len(differ) == 0 && warned:
		return isUnseen
	case len(differ) == 0:
		return blindly
	case len(same) == 0:
		return unlikeAll
	case warned && len(differ) <= len(same):
		return isDisputed
	case len(differ) == 1 && len(same) > 1:
		name, _, _ := strings.Cut(differ[0], ":")
		return isAlone + verdict(name)
	}
	return unlikeSome
}

// unsound is what qpdf, where it is installed, has to say against a file.
func unsound(file []byte) error {
	if _, err := exec.LookPath("qpdf"); err != nil {
		return nil
	}
	return testpdf.QPDF(file)
}

// marksLeft are the marks of testpdf.Sizes that are in what was written and not
// to be seen there, by mutool where it is installed.
func marksLeft(t *testing.T, o undamaged, out []byte) (left []string) {
	if _, err := exec.LookPath("mutool"); err != nil || !o.marks {
		return nil
	}
	var marks []string
	in := find(t, out)
	for i := range testpdf.SizesLayers {
		for _, where := range []string{"page", "piece", "own", "later", "shared", "note"} {
			mark := testpdf.SizesMark(i, where)
			if !o.on(testpdf.GroupObject+i) && in.has(mark) {
				marks = append(marks, mark)
			}
		}
	}
	if len(marks) == 0 {
		return nil
	}
	seen, err := testpdf.MuPDFText(out)
	for _, mark := range marks {
		if err != nil || !strings.Contains(seen, mark) {
			left = append(left, mark)
		}
	}
	return left
}

// draw draws a file once.
func (m *mutations) draw(r oracle.Renderer, file []byte, dpi int) rendering {
	key := sha256.Sum256(file)
	m.mu.Lock()
	d, ok := m.pictures[key][r.Name]
	m.mu.Unlock()
	if ok {
		return d
	}
	d.pages, d.err = r.Draw(file, dpi)
	m.mu.Lock()
	defer m.mu.Unlock()
	if len(m.pictures) > 500 {
		clear(m.pictures)
	}
	if m.pictures[key] == nil {
		m.pictures[key] = map[string]rendering{}
	}
	m.pictures[key][r.Name] = d
	return d
}

func (m *mutations) count(how verdict) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.counts[how]++
}

// String lists how files ended.
func (m *mutations) String() string {
	m.mu.Lock()
	defer m.mu.Unlock()
	var b strings.Builder
	total := 0
	for _, how := range slices.Sorted(maps.Keys(m.counts)) {
		total += m.counts[how]
		fmt.Fprintf(&b, "%5d  %s\n", m.counts[how], string(how))
	}
	return fmt.Sprintf("of %d damaged files:\n%s", total, b.String())
}
