package bench

import (
	"bufio"
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"slices"
	"strconv"
)

// The pattern: one sheet for a roll printer, 841 x 1189 mm, with a layer for
// each of 14 sizes, the smallest first, and one that belongs to every size.
const (
	sizeLayers  = 14
	curves      = 25  // of a layer
	segments    = 400 // of a curve
	sheetWidth  = 841 / 25.4 * 72
	sheetHeight = 1189 / 25.4 * 72
	everySize   = "Every size"
)

// A Workload is one large pattern.
type Workload struct {
	// Name is a word for tables and file names.
	Name string
	// Pages is how many there are.
	Pages int
	// Layout says where the drawing stands.
	Layout Layout
}

// Layout says where the drawing of a workload stands.
type Layout int

const (
	// OnPages has a sheet of its own on each page.
	OnPages Layout = iota
	// InForms has one sheet on every page, each of its layers a form.
	InForms
	// Tiled has one sheet on A4 pages, each of which draws all of it, clipped
	// to the page.
	Tiled
)

// Workloads are the files that are measured.
func Workloads() []Workload {
	return []Workload{
		{"one", 1, OnPages}, {"ten", 10, OnPages}, {"forty", 40, OnPages}, {"eighty", 80, OnPages},
		{"forms", 40, InForms}, {"tiles", 60, Tiled},
	}
}

// Layers are the names of all layers.
func Layers() []string {
	var list []string
	for i := range sizeLayers {
		list = append(list, "Size "+strconv.Itoa(6+2*i))
	}
	return append(list, everySize)
}

// Kept are the layers that every measurement keeps: three sizes in a row and
// what belongs to every size.
func Kept() []string { return append(Layers()[5:8:8], everySize) }

// Write writes the file. The layers named in off are off by default, for
// programs that keep what is shown.
func (w Workload) Write(out io.Writer, off []string) error {
	f := newFile(out)
	s := &sheets{file: f, workload: w}
	s.layers()
	for i := range w.Pages {
		s.page(i)
	}
	s.catalog(off)
	return f.finish()
}

// sheets writes the objects of a workload.
type sheets struct {
	*file
	workload Workload
	groups   []int // objects of the layers
	forms    []int // of the layers, where the drawing is in forms
	pages    []int
}

// The numbers of the first objects.
const (
	catalogObject = 1
	pagesObject   = 2
	firstGroup    = 3 // those of the layers
)

func (s *sheets) layers() {
	for _, name := range Layers() {
		s.groups = append(s.groups, s.add(fmt.Sprintf("<</Type/OCG/Name(%s)>>", name)))
	}
	if s.workload.Layout == InForms {
		for i := range s.groups {
			dict := fmt.Sprintf("/Type/XObject/Subtype/Form/BBox[0 0 %.2f %.2f]/OC %d 0 R", sheetWidth, sheetHeight, s.groups[i])
			s.forms = append(s.forms, s.stream(dict, layer(0, i)))
		}
	}
}

// page writes one page with what it draws.
func (s *sheets) page(i int) {
	box := fmt.Sprintf("[0 0 %.2f %.2f]", sheetWidth, sheetHeight)
	var content []byte
	switch s.workload.Layout {
	case OnPages:
		content = sheet(i)
	case InForms:
		content = []byte(s.calls())
	case Tiled:
		const width, height, across = 595, 842, 6
		box = fmt.Sprintf("[0 0 %d %d]", width, height)
		content = fmt.Appendf(nil, "q 0 0 %d %d re W n 1 0 0 1 %d %d cm\n", width, height, -i%across*width*2/3, -i/across*height*2/5)
		content = append(append(content, sheet(0)...), "Q\n"...)
	}
	c := s.stream("", content)
	s.pages = append(s.pages, s.add(fmt.Sprintf("<</Type/Page/Parent %d 0 R/MediaBox%s/Contents %d 0 R/Resources<<%s>>>>",
		pagesObject, box, c, s.resources())))
}

func (s *sheets) resources() string {
	if s.workload.Layout == InForms {
		return "/XObject<<" + named("Fm", s.forms) + ">>"
	}
	return "/Properties<<" + named("L", s.groups) + ">>"
}

// named lists objects under a prefix and their position.
func named(prefix string, objects []int) (list string) {
	for i, n := range objects {
		list += fmt.Sprintf("/%s%d %d 0 R", prefix, i, n)
	}
	return list
}

func (s *sheets) calls() (content string) {
	for i := range s.forms {
		content += fmt.Sprintf("/Fm%d Do\n", i)
	}
	return content
}

func (s *sheets) catalog(off []string) {
	all, hidden := "", ""
	for i, name := range Layers() {
		ref := fmt.Sprintf("%d 0 R ", s.groups[i])
		all += ref
		for _, o := range off {
			if o == name {
				hidden += ref
			}
		}
	}
	s.put(pagesObject, fmt.Sprintf("<</Type/Pages/Count %d/Kids[%s]>>", len(s.pages), refs(s.pages)))
	s.put(catalogObject, fmt.Sprintf("<</Type/Catalog/Pages %d 0 R/OCProperties<</OCGs[%s]/D<</Order[%[2]s]/OFF[%s]>>>>>>",
		pagesObject, all, hidden))
}

func refs(objects []int) (list string) {
	for _, n := range objects {
		list += fmt.Sprintf("%d 0 R ", n)
	}
	return list
}

// sheet is the content of one sheet: its layers as sections of marked content
// (ISO 32000-1, 8.11.3.2). Each number gives another drawing.
func sheet(number int) []byte {
	var b []byte
	for i := range sizeLayers + 1 {
		b = fmt.Appendf(b, "/OC /L%d BDC\n", i)
		b = append(append(b, layer(number, i)...), "EMC\n"...)
	}
	return b
}

// layer is the drawing of one layer: curves that wander over the sheet, in a
// colour and dash of their own.
func layer(number, i int) []byte {
	w := wanderer{random: rand.New(rand.NewPCG(uint64(number), uint64(i)))}
	b := fmt.Appendf(nil, "q .%d .%d .2 RG %d w [%d 4] 0 d\n", i%10, 9-i%10, 1+i%2, 3+i)
	for range curves {
		b = w.curve(b)
	}
	return append(b, "Q\n"...)
}

// The size of the sheet in hundredths of a point.
const (
	sheetX = 238394
	sheetY = 337039
)

// wanderer draws smooth curves in hundredths of a point.
type wanderer struct {
	random *rand.Rand
	x, y   int
	dx, dy int // the direction, which turns a little with each segment
}

// curve appends one curve.
func (w *wanderer) curve(b []byte) []byte {
	w.x, w.y = w.random.IntN(sheetX), w.random.IntN(sheetY)
	w.dx, w.dy = w.random.IntN(400)-200, w.random.IntN(400)-200
	b = append(w.point(b, w.x, w.y), "m\n"...)
	for range segments {
		b = w.segment(b)
	}
	return append(b, "S\n"...)
}

// segment appends a Bézier segment that goes on in the direction of the last.
func (w *wanderer) segment(b []byte) []byte {
	b = w.point(b, w.x+w.dx, w.y+w.dy)
	w.dx, w.dy = w.turned(w.dx), w.turned(w.dy)
	w.x, w.y = within(w.x+3*w.dx, sheetX, &w.dx), within(w.y+3*w.dy, sheetY, &w.dy)
	b = w.point(b, w.x-w.dx, w.y-w.dy)
	return append(w.point(b, w.x, w.y), "c\n"...)
}

func (w *wanderer) turned(d int) int { return min(max(d+w.random.IntN(17)-8, -400), 400) }

// within turns around at the edge of the sheet.
func within(v, limit int, d *int) int {
	if v < 0 || v > limit {
		*d = -*d
	}
	return min(max(v, 0), limit)
}

// point appends a point with two decimals.
func (w *wanderer) point(b []byte, x, y int) []byte {
	return appendHundredths(appendHundredths(b, x), y)
}

func appendHundredths(b []byte, v int) []byte {
	if v < 0 {
		b, v = append(b, '-'), -v
	}
	b = strconv.AppendInt(b, int64(v/100), 10)
	return append(b, '.', byte('0'+v/10%10), byte('0'+v%10), ' ')
}

// file writes a PDF file with a plain cross-reference table (7.5.4). The first
// failure stays in err.
type file struct {
	out  *bufio.Writer
	at   int
	next int
	// offsets is where each object begins.
	offsets map[int]int
	err     error
}

func newFile(out io.Writer) *file {
	f := &file{out: bufio.NewWriter(out), next: firstGroup, offsets: map[int]int{}}
	f.write([]byte("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n"))
	return f
}

func (f *file) write(b []byte) {
	n, err := f.out.Write(b)
	f.at += n
	if f.err == nil {
		f.err = err
	}
}

// put writes an object under its number.
func (f *file) put(number int, text string) {
	f.offsets[number] = f.at
	f.write(fmt.Appendf(nil, "%d 0 obj\n%s\nendobj\n", number, text))
}

// add writes an object under a new number, and returns that.
func (f *file) add(text string) int {
	n := f.next
	f.next++
	f.put(n, text)
	return n
}

// stream writes a stream, compressed as drawing programs do it.
func (f *file) stream(dict string, data []byte) int {
	packed, err := f.deflated(data)
	if f.err == nil {
		f.err = err
	}
	n := f.next
	f.next++
	f.offsets[n] = f.at
	f.write(fmt.Appendf(nil, "%d 0 obj\n<<%s/Filter/FlateDecode/Length %d>>\nstream\n", n, dict, len(packed)))
	f.write(packed)
	f.write([]byte("\nendstream\nendobj\n"))
	return n
}

func (f *file) deflated(data []byte) ([]byte, error) {
	var b bytes.Buffer
	w := zlib.NewWriter(&b)
	_, err := w.Write(data)
	if err == nil {
		err = w.Close()
	}
	return b.Bytes(), err
}

// finish writes the cross-reference table and the trailer.
func (f *file) finish() error {
	start := f.at
	f.write(fmt.Appendf(nil, "xref\n0 %d\n%010d 65535 f \n", f.next, 0))
	for _, n := range slices.Sorted(maps.Keys(f.offsets)) {
		f.write(fmt.Appendf(nil, "%010d 00000 n \n", f.offsets[n]))
	}
	f.write(fmt.Appendf(nil, "trailer\n<</Size %d/Root %d 0 R>>\nstartxref\n%d\n%%%%EOF\n", f.next, catalogObject, start))
	if f.err != nil {
		return f.err
	}
	return f.out.Flush()
}
