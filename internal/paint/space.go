package paint

import (
	"fmt"

	"github.com/sizeply/sizeply/internal/content"
	"github.com/sizeply/sizeply/internal/pdf"
)

// Resources finds what a name in a content stream stands for; nil where nobody
// has it.
type Resources interface {
	Lookup(category, name pdf.Name) pdf.Object
}

// A Painter knows the colour spaces of a document. It remembers those that it
// has met, so it is for one goroutine at a time.
type Painter struct {
	src    pdf.Objects
	spaces []space
	names  map[string]string // how a space is written to the name it has here

	functions int // read so far for the space at hand

	last   content.Colour // the one that was converted last
	lastIs Colour
}

// New makes a Painter for a document.
func New(src pdf.Objects) *Painter {
	return &Painter{src: src, names: map[string]string{}}
}

// A space is a colour space (8.6).
type space interface {
	// initial is the colour after CS or cs (Table 74).
	initial() []float64
	// rgb converts a colour of as many components as initial has to sRGB, 0
	// to 1. ok is false where it cannot be told.
	rgb(v []float64) (c [3]float64, ok bool)
	// name says what it is, for people.
	name() string
}

// maxSpaces bounds the spaces that a Painter remembers, maxNested spaces within
// each other.
const (
	maxSpaces = 10_000
	maxNested = 4
)

// intern gives a space a name that means the same in every content stream; the
// device spaces and Pattern keep theirs.
func (p *Painter) intern(o pdf.Object) string {
	id := fmt.Sprintf("%T %v", o, o)
	if name, ok := p.names[id]; ok {
		return name
	}
	if name := string(pdf.AsName(p.src, o)); deviceSpace(name) != nil || name == "Pattern" {
		p.names[id] = name
		return name
	}
	if len(p.spaces) >= maxSpaces {
		return "?"
	}
	name := fmt.Sprintf("#%d", len(p.spaces))
	p.spaces = append(p.spaces, p.read(o, 0))
	p.names[id] = name
	return name
}

// space finds a space by the name that intern gave; nil where it is unknown.
func (p *Painter) space(name string) space {
	if s := deviceSpace(name); s != nil {
		return s
	}
	var i int
	if n, err := fmt.Sscanf(name, "#%d", &i); n == 1 && err == nil && i >= 0 && i < len(p.spaces) {
		return p.spaces[i]
	}
	return nil
}

// deviceSpace gives a device space by its name.
func deviceSpace(name string) space {
	switch name {
	case "DeviceGray", "G":
		return device{1, "grey"}
	case "DeviceRGB", "RGB":
		return device{3, "RGB"}
	case "DeviceCMYK", "CMYK":
		return device{4, "CMYK"}
	}
	return nil
}

// read reads a colour space; nil where it is none that is known.
func (p *Painter) read(o pdf.Object, depth int) space {
	if s := deviceSpace(string(pdf.AsName(p.src, o))); s != nil {
		return s
	}
	a := pdf.AsArray(p.src, o)
	if len(a) == 0 || depth > maxNested {
		return nil
	}
	kind := pdf.AsName(p.src, a[0])
	if len(a) == 1 {
		return deviceSpace(string(kind))
	}
	switch kind {
	case "CalGray", "CalRGB", "Lab":
		return p.cie(kind, pdf.AsDict(p.src, a[1]))
	case "ICCBased":
		return p.profile(a[1], depth)
	case "Indexed", "I":
		return p.indexed(a, depth)
	case "Separation", "DeviceN":
		return p.tinted(a, depth)
	}
	return nil
}

// device is a device space; components that are missing or out of range are cut
// (8.6.4).
type device struct {
	n     int
	words string
}

func (d device) name() string { return d.words }

func (d device) initial() []float64 {
	v := make([]float64, d.n)
	if d.n == 4 {
		v[3] = 1
	}
	return v
}

// rgb converts as 10.3.2 and 10.3.5 do: red is 1 - min(1, cyan + black).
func (d device) rgb(v []float64) (c [3]float64, ok bool) {
	switch d.n {
	case 1:
		return [3]float64{v[0], v[0], v[0]}, true
	case 3:
		return [3]float64{v[0], v[1], v[2]}, true
	}
	for i := range c {
		c[i] = 1 - min(1, max(0, v[i])+max(0, v[3]))
	}
	return c, true
}

// profile is an ICCBased space (8.6.5.5): its alternate where that is read, else
// the device space of as many components.
func (p *Painter) profile(o pdf.Object, depth int) space {
	st := pdf.AsStream(p.src, o)
	if st == nil {
		return nil
	}
	n := pdf.AsInt(p.src, st.Dict["N"], 0)
	if alt := p.read(st.Dict["Alternate"], depth+1); alt != nil && len(alt.initial()) == n {
		return iccBased{alt}
	}
	switch n {
	case 1, 3, 4:
		return iccBased{device{n, map[int]string{1: "grey", 3: "RGB", 4: "CMYK"}[n]}}
	}
	return nil
}

// iccBased is a space that stands for a profile.
type iccBased struct{ space }

func (s iccBased) name() string { return s.space.name() + " by profile" }

// initial is 0 in each component, unless the range forbids it (Table 74).
func (s iccBased) initial() []float64 { return make([]float64, len(s.space.initial())) }

// components gives a colour's components in its space: as many as it has, or the
// initial colour where only the space was set.
func components(s space, c *content.Colour) ([]float64, bool) {
	if c.N == 0 {
		return s.initial(), true
	}
	v := c.Components()
	if len(v) < len(s.initial()) {
		return nil, false
	}
	return v[:len(s.initial())], true
}
