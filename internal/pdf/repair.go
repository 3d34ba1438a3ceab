package pdf

// foundTrailer makes a trailer of those found by searching and of the
// dictionaries of cross-reference streams. Of each entry the last in the file
// counts; a trailer that leads to no catalog does not. Where none does, any
// catalog serves.
func (l *loader) foundTrailer() trailer {
	var t trailer
	trailers, streams := l.scanned.trailers, l.streams
	for len(trailers)+len(streams) > 0 {
		n, m := len(trailers), len(streams)
		var d Dict
		if m == 0 || n > 0 && trailers[n-1] > streams[m-1].start {
			d, trailers = dictAt(l.data, trailers[n-1]), trailers[:n-1]
		} else {
			d, streams = streams[m-1].Dict, streams[:m-1]
			if d["Type"] != Name("XRef") {
				continue
			}
		}
		if t.Encrypt == nil && AsDict(l, d["Encrypt"]) != nil {
			t.Encrypt = d["Encrypt"]
			t.takeID(d)
		}
		if AsDict(l, d["Root"])["Pages"] != nil {
			t.merge(d)
		}
	}
	if t.Root == nil {
		t.Root = l.anyCatalog()
	}
	return t
}

// anyCatalog returns the catalog of the highest number, nil where there is
// none.
func (l *loader) anyCatalog() Object {
	refs := sortedRefs(l.objects)
	for i := len(refs) - 1; i >= 0; i-- {
		d, _ := l.objects[refs[i]].(Dict)
		if AsName(l, d["Type"]) == "Catalog" && AsDict(l, d["Pages"]) != nil {
			return refs[i]
		}
	}
	return nil
}
