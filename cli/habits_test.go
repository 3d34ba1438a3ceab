package cli

import (
	"archive/zip"
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/internal/testpdf/oracle"
)

// A habit is a pattern as some designer builds it, and what somebody who sews does
// with it.
type habit struct {
	name  string
	nest  testpdf.Nest
	by    string            // the program that writes it, "" for this project's builder
	files map[string]string // beside pattern.pdf, such as a chart
	// commands lead to out.pdf: the fewest that do, without the name of the program.
	commands []string
	// drawn are the outlines that are left, from 0 for the smallest; nil where the tool
	// has to ask instead, and nothing may be written.
	drawn []int
	// says are parts of what is said, each of which has to be there: who is in danger of
	// a wrong print is told, and whoever is asked sees what about.
	says []string
}

const want12 = "isolate pattern.pdf --size 12 --neighbours 1 -o out.pdf"

// sized is a layer for each label, named by a form with %s for it, smallest first, and
// a layer of what all sizes share.
func sized(form, shared string, labels ...string) testpdf.Nest {
	var n testpdf.Nest
	for i, label := range labels {
		n.Layers = append(n.Layers, testpdf.NestLayer{Name: strings.ReplaceAll(form, "%s", label), Outlines: []int{i}})
	}
	n.Layers = append(n.Layers, testpdf.NestLayer{Name: shared, Shared: true})
	return n
}

// with adds layers.
func with(n testpdf.Nest, more ...testpdf.NestLayer) testpdf.Nest {
	n.Layers = append(slices.Clone(n.Layers), more...)
	return n
}

// coloured is outlines in no layer, each in a colour of its own, and what all share.
func coloured(colours ...string) testpdf.Nest {
	var n testpdf.Nest
	for i, c := range colours {
		n.Layers = append(n.Layers, testpdf.NestLayer{Outlines: []int{i}, Colour: c})
	}
	n.Layers = append(n.Layers, testpdf.NestLayer{Shared: true})
	return n
}

var (
	numbers = []string{"8", "10", "12", "14", "16"}
	letters = []string{"XS", "S", "M", "L", "XL"}
	europe  = []string{"36", "38", "40", "42", "44"}
)

func habits() []habit {
	list := []habit{
		{name: "size and number", nest: sized("Size %s", "Text", numbers...), drawn: []int{1, 2, 3}},
		{name: "bare numbers", nest: sized("%s", "Text", numbers...), drawn: []int{1, 2, 3}},
		{name: "a leading nought", nest: sized("Sz. %s", "All sizes", "06", "08", "10", "12", "14"), drawn: []int{2, 3, 4}},
		{name: "capitals and underscores", nest: sized("SIZE_%s", "MARKINGS", numbers...), drawn: []int{1, 2, 3}},
		{name: "a sizing system", nest: sized("UK %s", "Grainline", numbers...), drawn: []int{1, 2, 3}},
		{name: "two sizing systems", nest: func() testpdf.Nest {
			n := sized("", "Text")
			for i, s := range []string{"UK 8 / EU 36", "UK 10 / EU 38", "UK 12 / EU 40", "UK 14 / EU 42"} {
				n.Layers = append(n.Layers, testpdf.NestLayer{Name: s, Outlines: []int{i}})
			}
			return n
		}(), commands: []string{`isolate pattern.pdf --size "UK 12" --neighbours 1 -o out.pdf`}, drawn: []int{1, 2, 3}},
		{name: "misses", nest: sized("Misses %s", "Text", numbers...), drawn: []int{1, 2, 3}},
	}
	one := func(name, form, shared string, labels []string, size string) {
		list = append(list, habit{name: name, nest: sized(form, shared, labels...),
			commands: []string{"isolate pattern.pdf --size " + size + " --neighbours 1 -o out.pdf"}, drawn: []int{1, 2, 3}})
	}
	one("letters", "%s", "Basics", letters, "M")
	one("letters behind a word", "Size %s", "Basics", letters, "M")
	one("German", "Gr. %s", "Hinweise", europe, "40")
	one("German, written out", "Größe %s", "Beschriftung", europe, "40")
	one("French", "Taille %s", "Textes", europe, "40")
	one("Spanish", "Talla %s", "Textos", europe, "40")
	one("Italian", "Taglia %s", "Testi", europe, "40")
	one("Dutch", "Maat %s", "Tekst", europe, "40")
	one("Swedish", "Storlek %s", "Text", europe, "40")
	one("Polish", "Rozmiar %s", "Opisy", europe, "40")
	one("Russian", "р-р %s", "Текст", []string{"42", "44", "46", "48", "50"}, "46")
	one("heights of children", "%s cm", "Text", []string{"98", "104", "110", "116", "122"}, `"110 cm"`)
	one("ages", "%s years", "Text", []string{"2", "3", "4", "5", "6"}, `"4 years"`)
	one("toddlers", "%s", "Text", []string{"2T", "3T", "4T", "5T"}, "4T")
	one("larger sizes", "%s", "Text", []string{"1X", "2X", "3X", "4X"}, "3X")
	one("piece and size", "Front %s", "Text", numbers, "12")
	one("piece and letter", "Sleeve_%s", "Text", letters, "M")
	one("size and kind of line", "%s cutting line", "Grainline", numbers, "12")
	return append(list, []habit{
		{name: "a view of its own", nest: with(sized("Size %s", "Basic", numbers...), testpdf.NestLayer{Name: "View A", Texts: []testpdf.NestText{{X: 30, Y: 280, Text: "A"}}}),
			drawn: []int{1, 2, 3}, says: []string{"View A"}},
		{name: "under a heading", nest: func() testpdf.Nest {
			n := sized("Size %s", "Text", "8", "10", "12", "14")
			n.Order = "[(Sizes) 5 0 R 6 0 R 7 0 R 8 0 R] 9 0 R"
			return n
		}(), drawn: []int{1, 2, 3}},
		{name: "largest first", nest: func() testpdf.Nest {
			n := sized("Size %s", "Text", numbers...)
			slices.Reverse(n.Layers)
			return n
		}(), drawn: []int{1, 2, 3}},
		{name: "switched off", nest: func() testpdf.Nest {
			n := sized("Size %s", "Text", numbers...)
			for i := range n.Layers[:5] {
				n.Layers[i].Off = true
			}
			return n
		}(), drawn: []int{1, 2, 3}},
		{name: "several sizes in a layer", nest: testpdf.Nest{Layers: []testpdf.NestLayer{
			{Name: "Sizes 8-10", Outlines: []int{0, 1}}, {Name: "Sizes 12-14", Outlines: []int{2, 3}},
			{Name: "Sizes 16-18", Outlines: []int{4, 5}}, {Name: "Text", Shared: true}}},
			commands: []string{"isolate pattern.pdf --size 12-14 -o out.pdf"}, drawn: []int{2, 3}},
		{name: "colours", nest: sized("%s", "Black", "Blue", "Green", "Purple", "Red"),
			commands: []string{"isolate pattern.pdf --size green,purple -o out.pdf"}, drawn: []int{1, 2}, says: []string{"Black"}},
		{name: "pages of other papers beside", nest: sized("Size %s", "Text", numbers...), by: "folder", drawn: []int{1, 2, 3},
			commands: []string{"isolate pattern.pdf --size 12 --neighbours 1 -o out.pdf"}},
		{name: "a ZIP", nest: sized("Size %s", "Text", numbers...), by: "zip", drawn: []int{1, 2, 3},
			commands: []string{"isolate pattern.zip --size 12 --neighbours 1 --output-dir ."}},
		{name: "a chart of fewer sizes", nest: sized("Size %s", "Text", "34", "36", "38", "40", "42", "44", "46"),
			files:    map[string]string{"chart.yaml": "sizes: [{label: '38'}, {label: '40'}, {label: '42'}]\n"},
			commands: []string{"isolate pattern.pdf --chart chart.yaml --size 40 --neighbours 1 -o out.pdf"},
			drawn:    []int{2, 3, 4}, says: []string{"4 other sizes left out", "34, 36, 44"}},
		{name: "a chart in the wrong order", nest: sized("Size %s", "Text", "34", "36", "38", "40"),
			files:    map[string]string{"chart.yaml": "sizes: [{label: '34'}, {label: '40'}, {label: '36'}, {label: '38'}]\n"},
			commands: []string{"isolate pattern.pdf --chart chart.yaml --size 36 --neighbours 1 -o out.pdf"},
			drawn:    []int{1, 2, 3}, says: []string{"Warning: in your chart"}},
		{name: "a fuller bust beside", nest: with(sized("Size %s", "Text", numbers...), testpdf.NestLayer{Name: "Size 12 DD", Outlines: []int{6}}),
			says: []string{"12 DD"}},
		{name: "an old version beside", nest: with(sized("Size %s", "Text", numbers...), testpdf.NestLayer{Name: "Size 12 OLD", Outlines: []int{6}}),
			says: []string{"OLD"}},
		{name: "buttons of a size", nest: with(sized("Size %s", "Text", numbers...), testpdf.NestLayer{Name: "Size 12 buttons", Texts: []testpdf.NestText{{X: 30, Y: 280, Text: "o"}}}),
			says: []string{"buttons"}},
		{name: "letters of another language", nest: sized("Tam %s", "Geral", "PP", "P", "M", "G", "GG"),
			commands: []string{"isolate pattern.pdf --size M -o out.pdf"}, says: []string{"Tam PP", "Tam GG"}},
		{name: "a letter behind a size", nest: with(sized("%s", "Text", numbers...), testpdf.NestLayer{Name: "14DD", Outlines: []int{6}}),
			says: []string{"14DD"}},
		{name: "two versions of each size", nest: sized("Size %s", "Text", "10 v1", "10 v2", "12 v1", "12 v2"),
			commands: []string{"isolate pattern.pdf --size 12 -o out.pdf"}, says: []string{"12 v1", "12 v2"}},
		{name: "cups as headings", nest: func() testpdf.Nest {
			n := sized("%s", "Text", "10", "12", "10", "12")
			n.Order = "[(B cup) 5 0 R 6 0 R] [(D cup) 7 0 R 8 0 R] 9 0 R"
			return n
		}(), commands: []string{"isolate pattern.pdf --size 12 -o out.pdf"}, says: []string{"B cup", "--layer-id"}},
		{name: "views as headings", nest: func() testpdf.Nest {
			n := sized("%s", "Text", "10", "12", "10", "12")
			n.Order = "[(View A) 5 0 R 6 0 R] [(View B) 7 0 R 8 0 R] 9 0 R"
			return n
		}(), commands: []string{"isolate pattern.pdf --size 12 -o out.pdf"}, drawn: []int{1, 3}},
		{name: "a colour beside each size", nest: sized("%s", "Text", "8 red", "10 blue", "12 dark green", "14 pink"), drawn: []int{1, 2, 3}},
		{name: "all sizes in a layer beside", nest: with(sized("Size %s", "Text", numbers...), testpdf.NestLayer{Name: "Nested", Outlines: []int{0, 1, 2, 3, 4}}),
			drawn: []int{0, 1, 2, 3, 4}, says: []string{"Warning: 5 lines that lie one within another"}},
		{name: "all sizes in no layer beside", nest: with(sized("Size %s", "Text", numbers...), testpdf.NestLayer{Outlines: []int{0, 1, 2, 3, 4}}),
			drawn: []int{0, 1, 2, 3, 4}, says: []string{"Warning: 5 lines that lie one within another"}},
		{name: "two sizes are swapped", nest: sized("Size %s", "Text", "8", "12", "10", "14"), drawn: []int{0, 1, 2},
			commands: []string{"isolate pattern.pdf --size 10 --neighbours 1 -o out.pdf"}, says: []string{"Warning: by their names 10 is smaller than 12"}},
		{name: "all sizes but one beside", nest: with(sized("Size %s", "Text", numbers...), testpdf.NestLayer{Name: "All sizes except 12", Outlines: []int{6}}),
			says: []string{"All sizes except 12"}},
		{name: "two people", nest: sized("%s", "Text", "Mum S", "Mum M", "Mum L", "Child 98", "Child 104", "Child 110"),
			commands: []string{"isolate pattern.pdf --size 104 -o out.pdf"}, says: []string{"Mum S"}},
		{name: "a size is missing in the file", nest: sized("Size %s", "Text", "8", "10", "14", "16"), drawn: []int{0, 1, 2},
			commands: []string{"isolate pattern.pdf --size 10 --neighbours 1 -o out.pdf"}, says: []string{"Warning: between 10 and 14"}},
		{name: "long sizes behind others", nest: sized("%s", "Text", "36", "38", "40", "72", "76", "80"), drawn: []int{1, 2, 3},
			commands: []string{"isolate pattern.pdf --size 40 --neighbours 1 -o out.pdf"}, says: []string{"Warning: between 40 and 72"}},
		{name: "a chart of fewer lines", nest: coloured("d7263d", "2a9d3f", "7b2d8b"),
			files: map[string]string{"chart.yaml": "sizes:\n- {label: S, line: {colour: '#d7263d'}}\n" +
				"- {label: M, line: {colour: '#2a9d3f'}}\n"},
			commands: []string{"isolate pattern.pdf --chart chart.yaml --size M -o out.pdf"}, drawn: []int{1, 2}, says: []string{"Warning: a line that looks like"}},
		{name: "pages in place of sizes", nest: sized("Page %s", "Text", "1", "2", "3", "4", "5"),
			commands: []string{"isolate pattern.pdf --size 2 -o out.pdf"}, says: []string{"Page"}},
		{name: "numbered layers", nest: sized("Layer %s", "Text", "1", "2", "3", "4", "5"),
			commands: []string{"isolate pattern.pdf --size 2 -o out.pdf"}, says: []string{"Layer"}},
		{name: "a size that is not there", nest: sized("Size %s", "Text", numbers...),
			commands: []string{"isolate pattern.pdf --size 13 -o out.pdf"}, says: []string{"13"}},
		{name: "colours of lines", nest: coloured("d7263d", "2a9d3f", "7b2d8b", "ff8c00"),
			commands: []string{"isolate pattern.pdf --size red,green -o out.pdf"}, says: nil, drawn: []int{0, 1}},
		{name: "lines by a draft", nest: coloured("d7263d", "2a9d3f", "7b2d8b", "ff8c00"),
			commands: []string{"draft --lines pattern.pdf -o chart.yaml", `isolate pattern.pdf --chart chart.yaml --size "line 2" --neighbours 1 -o out.pdf`},
			drawn:    []int{0, 1, 2}},
		{name: "dashes", nest: testpdf.Nest{Layers: []testpdf.NestLayer{
			{Outlines: []int{0}, Dash: "6 2"}, {Outlines: []int{1}, Dash: "2 2"}, {Outlines: []int{2}, Dash: "8 2 1 2"}, {Shared: true}}},
			commands: []string{"draft --lines pattern.pdf -o chart.yaml", `isolate pattern.pdf --chart chart.yaml --size "line 2" -o out.pdf`},
			drawn:    []int{1}},
		{name: "black, like the text", nest: coloured("d7263d", "2a9d3f", ""),
			files: map[string]string{"chart.yaml": "sizes:\n- {label: S, line: {colour: '#d7263d'}}\n" +
				"- {label: M, line: {colour: '#2a9d3f'}}\n- {label: L, line: {colour: '#000000', text: true}}\n"},
			commands: []string{"isolate pattern.pdf --chart chart.yaml --size M -o out.pdf"}, says: []string{"text"}},
		{name: "a number in the colour of its line", nest: with(coloured("d7263d", "2a9d3f", "7b2d8b"),
			testpdf.NestLayer{Texts: []testpdf.NestText{{X: 20, Y: 20, Text: "Size 36", Colour: "d7263d"},
				{X: 45, Y: 20, Text: "Size 38", Colour: "2a9d3f"}, {X: 70, Y: 20, Text: "Size 40", Colour: "7b2d8b"}}}),
			commands: []string{"draft --lines pattern.pdf -o chart.yaml", "isolate pattern.pdf --chart chart.yaml --size 38 -o out.pdf"},
			drawn:    []int{1}},
		{name: "Ghostscript, size and number", nest: sized("Size %s", "Text", numbers...), by: "ghostscript", drawn: []int{1, 2, 3}},
		{name: "Ghostscript, letters", nest: sized("%s", "Basics", letters...), by: "ghostscript", drawn: []int{1, 2, 3},
			commands: []string{"isolate pattern.pdf --size M --neighbours 1 -o out.pdf"}},
		{name: "LaTeX, size and number", nest: sized("Size %s", "Text", numbers...), by: "latex", drawn: []int{1, 2, 3}},
		{name: "LaTeX, German", nest: sized("Gr. %s", "Hinweise", europe...), by: "latex", drawn: []int{1, 2, 3},
			commands: []string{"isolate pattern.pdf --size 40 --neighbours 1 -o out.pdf"}},
		{name: "GDAL, size and number", nest: sized("Size %s", "Markings", numbers...), by: "gdal", drawn: []int{1, 2, 3}},
		{name: "GDAL, piece and size", nest: sized("Front %s", "Markings", numbers...), by: "gdal", drawn: []int{1, 2, 3}},
		{name: "cairo, colours of lines", nest: coloured("d7263d", "2a9d3f", "7b2d8b", "ff8c00"), by: "cairo",
			commands: []string{"isolate pattern.pdf --size red,green -o out.pdf"}, drawn: []int{0, 1}},
		{name: "cairo, dashes", nest: testpdf.Nest{Layers: []testpdf.NestLayer{
			{Outlines: []int{0}, Dash: "6 2"}, {Outlines: []int{1}, Dash: "2 2"}, {Outlines: []int{2}, Dash: "8 2 1 2"}, {Shared: true}}}, by: "cairo",
			commands: []string{"draft --lines pattern.pdf -o chart.yaml", `isolate pattern.pdf --chart chart.yaml --size "line 2" -o out.pdf`},
			drawn:    []int{1}},
	}...)
}

// build writes the pattern by its program, from testdata/habits where that is not this
// project's own.
func (h habit) build(t *testing.T) []byte {
	var file []byte
	var err error
	switch h.by {
	case "", "zip", "folder":
		return h.nest.PDF()
	case "ghostscript":
		file, err = h.made(h.nest.Ghostscript)
	case "latex":
		file, err = h.made(h.nest.LaTeX)
	case "gdal":
		file, err = h.made(h.nest.GDAL)
	case "cairo":
		file, err = h.made(h.nest.Cairo)
	}
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// made is the file of another program as it was once written, or written now where
// SIZEPLY_MAKE_HABITS asks for that.
func (h habit) made(write func() ([]byte, error)) ([]byte, error) {
	name := filepath.Join("..", "testdata", "habits", strings.ReplaceAll(strings.ReplaceAll(strings.ToLower(h.name), ",", ""), " ", "-")+".pdf")
	if os.Getenv("SIZEPLY_MAKE_HABITS") == "" {
		return os.ReadFile(name)
	}
	file, err := write()
	if err == nil {
		err = os.WriteFile(name, file, 0o666)
	}
	return file, err
}

// TestHabits does with each pattern what somebody who sews would, and looks at what
// is drawn of the result: the outlines of the sizes that were asked for and no other.
// Where the tool cannot know, it asks and writes nothing.
func TestHabits(t *testing.T) {
	if testing.Short() {
		t.Skip("draws pages")
	}
	list := habits()
	var alone, asked int
	producers := map[string]bool{}
	for _, h := range list {
		t.Run(h.name, func(t *testing.T) { h.try(t) })
		if producers[h.by] = true; h.drawn == nil {
			asked++
		} else if len(h.commands) < 2 && h.files == nil {
			alone++
		}
	}
	t.Logf("%d patterns: %d by one command without a chart, %d ask", len(list), alone, asked)
	if len(list) < 40 || alone < 30 || len(producers) < 5 {
		t.Errorf("%d patterns, %d of them by one command without a chart, %d producers", len(list), alone, len(producers))
	}
}

func (h habit) try(t *testing.T) {
	if len(h.commands) == 0 {
		h.commands = []string{want12}
	}
	file := h.build(t)
	t.Chdir(t.TempDir())
	for name, text := range h.files {
		put(t, name, []byte(text))
	}
	out := "out.pdf"
	if h.by == "zip" {
		put(t, "pattern.zip", zipped(t, "Tollmere/pattern.pdf", file))
		out = ""
	} else {
		put(t, "pattern.pdf", file)
	}
	var said strings.Builder
	for i, line := range h.commands {
		status, text := run(arguments(line)...)
		said.WriteString(text)
		if last := i == len(h.commands)-1; last && h.drawn == nil {
			if status == statusDone {
				t.Errorf("%s is done", line)
			}
		} else if last && status != statusDone || status == statusUsage {
			t.Fatalf("%s: status %d: %s", line, status, text)
		}
	}
	for _, part := range h.says {
		if !strings.Contains(said.String(), part) {
			t.Errorf("nothing says %q:\n%s", part, said.String())
		}
	}
	if out == "" {
		found, _ := filepath.Glob("*.pdf")
		if len(found) != 1 {
			t.Fatalf("%q are there:\n%s", found, said.String())
		}
		out = found[0]
	}
	result, err := os.ReadFile(out)
	if h.drawn == nil {
		if err == nil {
			t.Error("a file is written")
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	if got := drawnOutlines(t, result); !slices.Equal(got, h.drawn) {
		t.Errorf("it draws the outlines %v, want %v:\n%s", got, h.drawn, said.String())
	}
	if h.by != "gdal" && !drawnShared(t, result) {
		t.Errorf("what all sizes share is not drawn:\n%s", said.String())
	}
}

// arguments splits a line at spaces that do not stand between double quotes.
func arguments(line string) (list []string) {
	for i, part := range strings.Split(line, `"`) {
		if i%2 == 1 {
			list = append(list, part)
		} else {
			list = append(list, strings.Fields(part)...)
		}
	}
	return list
}

func put(t *testing.T, name string, data []byte) {
	t.Helper()
	if err := os.WriteFile(name, data, 0o666); err != nil {
		t.Fatal(err)
	}
}

func zipped(t *testing.T, name string, data []byte) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	f, err := w.Create(name)
	if err == nil {
		_, err = f.Write(data)
	}
	if err != nil || w.Close() != nil {
		t.Fatal(fmt.Sprint("zip: ", err))
	}
	return b.Bytes()
}

// ink says whether a rectangle of the first page, in mm from the lower left corner,
// has anything drawn in it, as PDFium draws it.
func ink(t *testing.T, file []byte, x, y, w, h float64) bool {
	t.Helper()
	const dpi = 72
	images, err := oracle.PDFium(t).Draw(file, dpi)
	if err != nil {
		t.Fatal(err)
	}
	img := images[0] // of A4, or as large as the program made that
	pixels := func(mm float64) int { return int(mm / 297 * float64(img.Rect.Dy())) }
	for px := pixels(x); px <= pixels(x+w); px++ {
		for py := img.Rect.Dy() - pixels(y+h); py <= img.Rect.Dy()-pixels(y); py++ {
			if c := img.RGBAAt(px, py); c.R < 0xE0 || c.G < 0xE0 || c.B < 0xE0 {
				return true
			}
		}
	}
	return false
}

// drawnOutlines looks for the left side of each outline, away from its corners.
func drawnOutlines(t *testing.T, file []byte) (list []int) {
	for i := range 8 {
		x, y, _, h := testpdf.NestOutline(i)
		if ink(t, file, x-0.5, y+h/3, 1, h/3) {
			list = append(list, i)
		}
	}
	return list
}

// drawnShared looks for the grainline, the test square and the text.
func drawnShared(t *testing.T, file []byte) bool {
	return ink(t, file, 104, 160, 2, 20) && ink(t, file, 139, 30, 2, 20) && ink(t, file, 20, 39, 30, 5)
}
