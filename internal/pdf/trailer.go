package pdf

// trailer is what the trailers of a file say (Table 15).
type trailer struct {
	Root, Info, Encrypt Object
	// ID is the first, permanent element of the file identifier (14.4).
	ID String
}

// merge takes over what d says where nothing newer did.
func (t *trailer) merge(d Dict) {
	for key, field := range map[Name]*Object{"Root": &t.Root, "Info": &t.Info, "Encrypt": &t.Encrypt} {
		if *field == nil {
			*field = d[key]
		}
	}
	t.takeID(d)
}

func (t *trailer) takeID(d Dict) {
	if ids, ok := d["ID"].(Array); ok && t.ID == "" && len(ids) > 0 {
		t.ID, _ = ids[0].(String)
	}
}

// dictAt reads the dictionary at an offset, nil where there is none.
func dictAt(data []byte, at int) Dict {
	p := parser{lexer{data: data, pos: at}}
	o, _ := p.object(0)
	d, _ := o.(Dict)
	return d
}
