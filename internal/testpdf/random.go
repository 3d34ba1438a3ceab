package testpdf

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
)

// RandomDoc is a random layered document.
type RandomDoc struct {
	Bytes []byte
	// Groups are the object numbers of its groups, in the order of OCGs.
	Groups []int
	// Features are the names of what occurs in it, sorted; see Unfit.
	Features []string
	Pages    int
}

// RandomOptions widens what Random makes.
type RandomOptions struct {
	// Everything allows what PDFium or Poppler is known to draw differently
	// from the standard; Unfit tells which renderer to leave out.
	Everything bool
	// Opaque leaves out opacity, blend modes, transparency groups and
	// annotations, in whose company PDFium is unsteady; see Unsteady.
	Opaque bool
}

// Random makes a document of 1 to 3 pages with 3 to 8 groups, in which layers
// and everything that can go wrong with them are mixed: state set and clips
// made in hidden sections, text and q across their borders, membership
// dictionaries, nested forms. The same seed gives the same bytes.
func Random(seed uint64) RandomDoc { return RandomWith(seed, RandomOptions{}) }

// RandomWith is Random with options.
func RandomWith(seed uint64, opt RandomOptions) RandomDoc {
	g := &generator{
		Rand: rand.New(rand.NewPCG(seed, 0x517E)), // any constant does
		opt:  opt, features: map[string]bool{}, next: 3, resources: map[string]map[string]string{},
	}
	g.makeGroups()
	g.makeMemberships()
	g.makeFonts()
	g.makeStates()
	g.makePaints()
	g.makeImages()
	g.makeForms()
	pages := g.makePages()
	g.makeCatalog()
	layout := Layout{ObjectStreams: g.chance(40), Compress: g.chance(50)}
	if layout.ObjectStreams {
		g.use(FeatureObjectStreams)
	}
	return RandomDoc{
		Bytes: BuildObjects(g.objects, layout), Groups: g.groups,
		Features: slices.Sorted(maps.Keys(g.features)), Pages: pages,
	}
}

// generator builds the objects of one document.
type generator struct {
	*rand.Rand
	opt      RandomOptions
	objects  []Object
	next     int // next free object number
	groups   []int
	features map[string]bool
	// resources are the entries of the dictionary that all pages share:
	// category, name, value.
	resources map[string]map[string]string
}

// chance is true in so many cases of a hundred.
func (g *generator) chance(percent int) bool { return g.IntN(100) < percent }

func (g *generator) use(feature string) { g.features[feature] = true }

// number is a fresh object number.
func (g *generator) number() int {
	g.next++
	return g.next - 1
}

// add gives an object a number and a reference to it.
func (g *generator) add(body string) string {
	num := g.number()
	g.objects = append(g.objects, Obj(num, body))
	return fmt.Sprintf("%d 0 R", num)
}

func (g *generator) addStream(entries, data string) string {
	num := g.number()
	g.objects = append(g.objects, Stream(num, entries, data))
	return fmt.Sprintf("%d 0 R", num)
}

// resource files a value under a fresh name of its category.
func (g *generator) resource(category, prefix, value string) string {
	if g.resources[category] == nil {
		g.resources[category] = map[string]string{}
	}
	n := fmt.Sprintf("%s%d", prefix, len(g.resources[category]))
	g.resources[category][n] = value
	return n
}

// any gives one of the names of a category, "" where there is none.
func (g *generator) any(category string) string {
	names := slices.Sorted(maps.Keys(g.resources[category]))
	if len(names) == 0 {
		return ""
	}
	return names[g.IntN(len(names))]
}

func (g *generator) makeGroups() {
	names := []string{"(Size 8)", "(Size 10)", "(Size 12)", "(Size 12)", "(Text)", "<FEFF0053004D>", "(a \\(b\\))", "()"}
	for i := range 3 + g.IntN(6) {
		if g.chance(30) {
			g.number() // a hole in the numbering
		}
		usage := ""
		if g.opt.Everything && g.chance(15) {
			g.use(FeatureUsage)
			usage = " /Usage <</View <</ViewState /OFF>> /Print <</PrintState /ON>>>>"
		}
		g.groups = append(g.groups, g.next)
		ref := g.add(fmt.Sprintf("<</Type /OCG /Name %s%s>>", names[i%len(names)], usage))
		g.resource("Properties", "L", ref)
	}
}

func (g *generator) makeCatalog() {
	var all, off []string
	for _, num := range g.groups {
		all = append(all, fmt.Sprintf("%d 0 R", num))
		if g.chance(30) {
			off = append(off, all[len(all)-1])
		}
	}
	g.objects = append(g.objects, Obj(1, fmt.Sprintf(
		"<</Type /Catalog /Pages 2 0 R /OCProperties <</OCGs [%s] /D <</Name (default) /OFF [%s] /Order [%[1]s]>>>>>>",
		strings.Join(all, " "), strings.Join(off, " "))))
}

// makePages writes the pages and their tree, and returns their number.
func (g *generator) makePages() int {
	shared := g.add(g.dictionary(g.resources))
	inherit := g.chance(30)
	var kids []string
	count := 1 + g.IntN(3)
	for range count {
		entries := "/Resources " + shared
		switch {
		case inherit:
			g.use(FeatureInherited)
			entries = ""
		case count > 1:
			g.use(FeatureShared)
		}
		kids = append(kids, g.page(entries))
	}
	tree := fmt.Sprintf("<</Type /Pages /Count %d /Kids [%s] /MediaBox [0 0 300 300]", count, strings.Join(kids, " "))
	if inherit {
		tree += " /Resources " + shared
	}
	g.objects = append(g.objects, Obj(2, tree+">>"))
	return count
}

// dictionary writes a resource dictionary.
func (g *generator) dictionary(resources map[string]map[string]string) string {
	var b strings.Builder
	b.WriteString("<<")
	for _, category := range slices.Sorted(maps.Keys(resources)) {
		fmt.Fprintf(&b, "/%s <<", category)
		for _, n := range slices.Sorted(maps.Keys(resources[category])) {
			fmt.Fprintf(&b, "/%s %s ", n, resources[category][n])
		}
		b.WriteString(">>\n")
	}
	return b.String() + ">>"
}

func (g *generator) page(entries string) string {
	if g.chance(25) {
		g.use(FeatureRotate)
		entries += fmt.Sprintf(" /Rotate %d", 90*(1+g.IntN(3)))
	}
	if g.chance(15) {
		g.use(FeatureUserUnit)
		entries += " /UserUnit 1.5"
	}
	if g.chance(25) {
		entries += fmt.Sprintf(" /CropBox [%d %d 290 280]", g.IntN(30), g.IntN(30))
	}
	annotations := g.chance(30)
	if annotations && !g.opt.Opaque {
		entries += " /Annots " + g.annotations()
	}
	w := &writer{generator: g, forms: g.names("XObject", "Fm")}
	// Poppler (cairo) draws lines thinner than a pixel one way or another
	// after a line width or matrix that was set between q and Q.
	w.op("4 w")
	w.items(20 + g.IntN(15))
	w.ends(annotations)
	return g.add(fmt.Sprintf("<</Type /Page /Parent 2 0 R %s /Contents %s>>", entries, g.contents(w.lines)))
}

// contents writes content lines as one stream, or several that break anywhere
// between operators.
func (g *generator) contents(lines []string) string {
	if g.chance(60) {
		return g.addStream("", strings.Join(lines, "\n"))
	}
	g.use(FeatureContentsArray)
	var refs []string
	for len(lines) > 0 {
		n := min(1+g.IntN(12), len(lines))
		refs = append(refs, g.addStream("", strings.Join(lines[:n], "\n")))
		lines = lines[n:]
	}
	return "[" + strings.Join(refs, " ") + "]"
}

// names gives the names of a category with a prefix, sorted.
func (g *generator) names(category, prefix string) []string {
	var out []string
	for n := range maps.Keys(g.resources[category]) {
		if strings.HasPrefix(n, prefix) {
			out = append(out, n)
		}
	}
	slices.Sort(out)
	return out
}

// annotations are squares, most of them in a layer.
func (g *generator) annotations() string {
	var refs []string
	for range 1 + g.IntN(3) {
		w := &writer{generator: g, depth: 2}
		w.op("9 TL %s rg 0 0 40 30 re f", w.colour(3))
		w.items(3)
		form := g.addStream(fmt.Sprintf("/Type /XObject /Subtype /Form /BBox [0 0 40 30] /Resources %s",
			g.dictionary(g.resources)), strings.Join(w.lines, "\n"))
		oc := ""
		if g.chance(70) {
			g.use(FeatureAnnotationOC)
			oc = "/OC " + g.resources["Properties"][g.any("Properties")]
		}
		x, y := 20+g.IntN(220), 20+g.IntN(220)
		refs = append(refs, g.add(fmt.Sprintf("<</Type /Annot /Subtype /Square /F 4 /Rect [%d %d %d %d] %s /AP <</N %s>>>>",
			x, y, x+40, y+30, oc, form)))
	}
	return "[" + strings.Join(refs, " ") + "]"
}
