package witness

import (
	"fmt"
	"slices"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"

	"github.com/sizeply/sizeply/layers"
)

// reader goes through the objects that pdfcpu has read.
type reader struct {
	file  *model.XRefTable
	seen  map[int]bool // nodes of the page tree
	found []layers.Boxes
}

// attributes are what a page inherits (7.7.3.4).
type attributes struct {
	media, crop *[4]float64
	rotate      int
	unit        float64
}

const (
	deepest = 100
	most    = 1 << 20 // pages
)

// pages goes through a node of the page tree (7.7.3.2). What has kids is an inner
// node unless it says that it is a page.
func (r *reader) pages(o types.Object, in attributes, depth int) error {
	d, err := r.file.DereferenceDict(o)
	if err != nil || d == nil || depth > deepest || len(r.found) > most {
		return err
	}
	for key, box := range map[string]**[4]float64{"MediaBox": &in.media, "CropBox": &in.crop} {
		if b := r.box(d[key]); b != nil {
			*box = b
		}
	}
	if v, ok := r.number(d["Rotate"]); ok {
		in.rotate = int(v)
	}
	kids, _ := r.file.DereferenceArray(d["Kids"])
	kind := d.Type()
	if kids == nil && (kind == nil || *kind != "Pages") || kind != nil && *kind == "Page" {
		if v, ok := r.number(d["UserUnit"]); ok && v > 0 {
			in.unit = v
		}
		r.found = append(r.found, in.boxes())
		return nil
	}
	if ref, ok := o.(types.IndirectRef); ok {
		if r.seen[ref.ObjectNumber.Value()] {
			return nil
		}
		r.seen[ref.ObjectNumber.Value()] = true
	}
	for _, kid := range kids {
		if err := r.pages(kid, in, depth+1); err != nil {
			return err
		}
	}
	return nil
}

// boxes is a page with these attributes: US Letter where it has no media box, its
// crop box within the media box, or that where there is none or it is outside.
func (in attributes) boxes() layers.Boxes {
	b := layers.Boxes{Media: [4]float64{0, 0, 612, 792}, UserUnit: in.unit}
	if in.media != nil {
		b.Media = *in.media
	}
	b.Crop = b.Media
	if c := in.crop; c != nil {
		cut := [4]float64{max(c[0], b.Media[0]), max(c[1], b.Media[1]), min(c[2], b.Media[2]), min(c[3], b.Media[3])}
		if cut[0] < cut[2] && cut[1] < cut[3] {
			b.Crop = cut
		}
	}
	if in.rotate%90 == 0 {
		b.Rotate = (in.rotate%360 + 360) % 360
	}
	return b
}

// box reads a rectangle of some area (7.9.5), nil where there is none.
func (r *reader) box(o types.Object) *[4]float64 {
	a, _ := r.file.DereferenceArray(o)
	if len(a) < 4 {
		return nil
	}
	var v [4]float64
	for i := range v {
		var ok bool
		if v[i], ok = r.number(a[i]); !ok {
			return nil
		}
	}
	v = [4]float64{min(v[0], v[2]), min(v[1], v[3]), max(v[0], v[2]), max(v[1], v[3])}
	if v[0] == v[2] || v[1] == v[3] {
		return nil
	}
	return &v
}

func (r *reader) number(o types.Object) (float64, bool) {
	o, err := r.file.Dereference(o)
	switch o := o.(type) {
	case types.Integer:
		return float64(o), err == nil
	case types.Float:
		return float64(o), err == nil
	}
	return 0, false
}

// layers reads the list of layers (8.11.4.2) and their states in the default
// configuration (Table 101).
func (r *reader) layers(o types.Object) (list []layer, err error) {
	properties, err := r.file.DereferenceDict(o)
	if err != nil || properties == nil {
		return nil, err
	}
	groups, err := r.file.DereferenceArray(properties["OCGs"])
	if err != nil {
		return nil, err
	}
	d, err := r.file.DereferenceDict(properties["D"])
	if err != nil {
		return nil, err
	}
	base, err := r.file.Dereference(d["BaseState"])
	if err != nil {
		return nil, err
	}
	on, err := r.objects(d["ON"])
	if err != nil {
		return nil, err
	}
	off, err := r.objects(d["OFF"])
	if err != nil {
		return nil, err
	}
	for _, o := range groups {
		ref, ok := o.(types.IndirectRef)
		if !ok {
			continue
		}
		l := layer{object: ref.ObjectNumber.Value(), on: base != types.Name("OFF")}
		group, err := r.file.DereferenceDict(o)
		if err != nil {
			return nil, fmt.Errorf("object %d: %w", l.object, err)
		}
		if group == nil || slices.ContainsFunc(list, func(x layer) bool { return x.object == l.object }) {
			continue
		}
		if name, err := r.file.Dereference(group["Name"]); err == nil && name != nil {
			if l.name, err = model.Text(name); err != nil {
				l.name = err.Error()
			}
		}
		l.on = (l.on || on[l.object]) && !off[l.object]
		list = append(list, l)
	}
	return list, nil
}

// objects gives the numbers of the objects in an array.
func (r *reader) objects(o types.Object) (map[int]bool, error) {
	a, err := r.file.DereferenceArray(o)
	numbers := map[int]bool{}
	for _, o := range a {
		if ref, ok := o.(types.IndirectRef); ok {
			numbers[ref.ObjectNumber.Value()] = true
		}
	}
	return numbers, err
}
