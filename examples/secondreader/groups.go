package main

import (
	"github.com/unidoc/unipdf/v3/core"
	"github.com/unidoc/unipdf/v3/model"
)

// listed gives the names of the groups that the catalog lists, by object number
// (ISO 32000-1, 8.11.4.2).
func listed(r *model.PdfReader) (map[int64]string, error) {
	o, err := r.GetOCProperties()
	if err != nil {
		return nil, err
	}
	layers := map[int64]string{}
	properties, ok := core.GetDict(o)
	if !ok {
		return layers, nil // no layers
	}
	groups, _ := core.GetArray(properties.Get("OCGs"))
	if groups == nil {
		return layers, nil
	}
	for _, g := range groups.Elements() {
		if number, name, ok := group(g); ok {
			layers[number] = name
		}
	}
	return layers, nil
}

// group gives the number and the name of an optional content group.
func group(o core.PdfObject) (number int64, name string, ok bool) {
	switch o := o.(type) {
	case *core.PdfObjectReference:
		number = o.ObjectNumber
	case *core.PdfIndirectObject:
		number = o.ObjectNumber
	}
	d, isDict := core.GetDict(o)
	if !isDict || number == 0 {
		return 0, "", false
	}
	if kind, _ := core.GetNameVal(d.Get("Type")); kind != "OCG" {
		return 0, "", false
	}
	if s, ok := core.GetString(d.Get("Name")); ok {
		name = s.Decoded()
	}
	return number, name, true
}

// members gives the groups that an entry of a property list or an OC entry
// means: a group, or those of a membership dictionary (8.11.2.2).
func members(o core.PdfObject) []core.PdfObject {
	d, ok := core.GetDict(o)
	if !ok {
		return nil
	}
	if kind, _ := core.GetNameVal(d.Get("Type")); kind != "OCMD" {
		return []core.PdfObject{o}
	}
	list := d.Get("OCGs")
	if array, ok := core.GetArray(list); ok {
		return array.Elements()
	}
	return []core.PdfObject{list}
}
