package pdf

// unlock finds out how the file is encrypted and what opens it.
func (l *loader) unlock(t trailer) error {
	e, err := readEncryption(rawObjects{l.data, l.offsets}, t.Encrypt, t.ID)
	if err != nil {
		return err
	}
	if err := e.unlock(l.password); err != nil {
		return err
	}
	if !e.checkPermissions() {
		l.warn.add("the encryption dictionary does not agree with itself on what is permitted; what either says is forbidden counts")
	}
	if e.opened == NoPassword && l.password != "" {
		l.warn.add("the password given is none of this file's, which opens without one")
	}
	if e.streams == rc4Cipher {
		l.warn.add("the file is encrypted with RC4, which is weak by today's standards")
	}
	l.enc = e
	l.encRef, _ = t.Encrypt.(Ref)
	return nil
}

// openStrings decrypts the strings of an object that is not shared yet (7.6.2).
func (e *encryption) openStrings(num Ref, gen int, o Object) (out Object, ok bool) {
	ok = true
	out = mapStrings(o, func(s String) String {
		plain, good := e.open(e.strings, num, gen, []byte(s))
		ok = ok && good
		return String(plain)
	})
	return out, ok
}

// mapStrings changes the strings of an object in place, but for the Contents
// of signatures.
func mapStrings(o Object, f func(String) String) Object {
	switch o := o.(type) {
	case String:
		return f(o)
	case Array:
		for i, v := range o {
			o[i] = mapStrings(v, f)
		}
	case Dict:
		for key, v := range o {
			if key != "Contents" || !isSignature(o) {
				o[key] = mapStrings(v, f)
			}
		}
	}
	return o
}

// isSignature tells a signature dictionary (Table 252), whose Contents is not
// encrypted (ISO 32000-2, 7.6.2).
func isSignature(d Dict) bool {
	kind := d["Type"]
	return d["ByteRange"] != nil && (kind == nil || kind == Name("Sig") || kind == Name("DocTimeStamp"))
}

// openStream decrypts the data of a stream, raw, and the strings of its
// dictionary. Where the length had to be measured, the end of line that was
// taken for no data may be the last bytes of a block.
func (l *loader) openStream(s rawStream, raw []byte, measured bool) []byte {
	if s.Dict["Type"] == Name("XRef") {
		return raw
	}
	_, ok := l.enc.openStrings(s.num, s.gen, s.Dict)
	m := l.enc.streamMethod(l, s.Dict)
	if measured && m.isAES() {
		end := s.start + len(raw)
		for end < len(l.data) && (end-s.start)%16 != 0 && (l.data[end] == '\r' || l.data[end] == '\n') {
			end++
		}
		raw = l.data[s.start:end:end]
	}
	plain, good := l.enc.open(m, s.num, s.gen, raw)
	if !ok || !good {
		l.warn.add("object %d: its encrypted data is damaged", s.num)
	}
	return plain
}

// streamMethod is how the data of a stream is encrypted: by its own crypt
// filter, or as its kind is (7.6.5).
func (e *encryption) streamMethod(src Objects, d Dict) method {
	if e.version < 4 {
		return e.streams
	}
	if name, ok := cryptFilter(src, d); ok {
		return e.filters[name]
	}
	switch AsName(src, d["Type"]) {
	case "Metadata":
		if !e.metadata {
			return identity
		}
	case "EmbeddedFile":
		return e.files
	}
	return e.streams
}

// cryptFilter is the name of a stream's own crypt filter (7.4.10).
func cryptFilter(src Objects, d Dict) (name Name, ok bool) {
	parms := oneOrMore(src, d["DecodeParms"])
	for i, o := range oneOrMore(src, d["Filter"]) {
		if AsName(src, o) != "Crypt" {
			continue
		}
		name = "Identity"
		if i < len(parms) {
			if n := AsName(src, AsDict(src, parms[i])["Name"]); n != "" {
				name = n
			}
		}
		return name, true
	}
	return "", false
}

// markFiles gives the streams of embedded files their type (Table 45), which is
// optional, where they are encrypted in a way of their own.
func (l *loader) markFiles() {
	if l.enc == nil || l.enc.files == l.enc.streams {
		return
	}
	for _, o := range l.objects {
		eachDict(o, func(d Dict) {
			for _, file := range AsDict(l, d["EF"]) {
				if s := AsStream(l, file); s != nil && s.Dict["Type"] == nil {
					s.Dict["Type"] = Name("EmbeddedFile")
				}
			}
		})
	}
}

// eachDict calls f for each dictionary in o.
func eachDict(o Object, f func(Dict)) {
	switch o := o.(type) {
	case Array:
		for _, v := range o {
			eachDict(v, f)
		}
	case Dict:
		f(o)
		for _, v := range o {
			eachDict(v, f)
		}
	case *Stream:
		eachDict(o.Dict, f)
	}
}
