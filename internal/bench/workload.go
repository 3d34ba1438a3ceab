package bench

import (
	"fmt"
	"io"
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
