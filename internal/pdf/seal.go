package pdf

// sealed is a stream as it is written in an encrypted file: the data and the
// strings of the dictionary encrypted for object num.
func (e *encryption) sealed(src Objects, num Ref, s *Stream) (raw []byte, sealString func(String) String) {
	if s.Dict["Type"] == Name("XRef") {
		return s.Raw, nil
	}
	return e.seal(e.streamMethod(src, s.Dict), num, s.Raw), e.stringSealer(num)
}

// stringSealer encrypts the strings of object num.
func (e *encryption) stringSealer(num Ref) func(String) String {
	return func(s String) String { return String(e.seal(e.strings, num, []byte(s))) }
}

// openStreams tells whether object streams would leave strings in the open,
// which are encrypted by themselves elsewhere: they are no cover where streams
// are plain.
func (e *encryption) openStreams() bool { return e.streams == identity && e.strings != identity }

// withoutCrypt returns the dictionary of a stream without crypt filters, which
// have no meaning in a plain file (7.4.10).
func withoutCrypt(src Objects, d Dict) Dict {
	if _, ok := cryptFilter(src, d); !ok {
		return d
	}
	parms := oneOrMore(src, d["DecodeParms"])
	var names, kept Array
	for i, o := range oneOrMore(src, d["Filter"]) {
		if AsName(src, o) == "Crypt" {
			continue
		}
		names = append(names, o)
		if i < len(parms) {
			kept = append(kept, parms[i])
		}
	}
	d = d.Clone()
	delete(d, "Filter")
	delete(d, "DecodeParms")
	if len(names) > 0 {
		d["Filter"] = names
		if len(kept) > 0 {
			d["DecodeParms"] = kept
		}
	}
	return d
}
