package pdf

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"github.com/sizeply/sizeply/layers/failure"
)

// A Credential is what opened an encrypted file.
type Credential int

const (
	// NoPassword says that the file opens without one: its user password is
	// empty.
	NoPassword Credential = iota
	// UserPassword says that the password given is the user's.
	UserPassword
	// OwnerPassword says that the password given is the owner's, which lifts
	// all restrictions (7.6.3.1).
	OwnerPassword
)

// Encryption tells how a file is encrypted, and with what it was opened.
type Encryption struct {
	// Cipher and Bits are what streams are encrypted with: "RC4" or "AES",
	// and the length of the key. They are "" and 0 where streams are plain.
	Cipher string
	Bits   int
	// Opened is the password that opened the file.
	Opened Credential
	// MayChange says whether the file may be changed: by its permissions
	// (Table 22, bit 4), or because the owner's password opened it.
	MayChange bool
}

// encryption is the standard security handler of one file (7.6.3; for
// revision 6 ISO 32000-2, 7.6.4), with the key of the file. It does not change
// once it is unlocked.
type encryption struct {
	// dict is the encryption dictionary (Tables 20 and 21) with nothing
	// indirect in it.
	dict Dict
	// id is the first element of the file identifier.
	id                String
	version, revision int
	permissions       uint32
	// lengths are those that the key may have, in bytes.
	lengths []int
	// metadata says whether metadata streams are encrypted (EncryptMetadata).
	metadata bool
	// streams, strings and files are for what has no crypt filter of its own;
	// files for embedded ones.
	streams, strings, files method
	// filters are the crypt filters by name (7.6.5).
	filters map[Name]method

	key    []byte
	opened Credential
}

// permitChange is bit 4 of P (Table 22): to change the content.
const permitChange = 1 << 3

// readEncryption reads the encryption dictionary o. What cannot be understood
// gives a *failure.EncryptionError.
func readEncryption(src Objects, o Object, id String) (*encryption, error) {
	in := inliner{src: src, left: 1000}
	d, ok := in.object(o, 0).(Dict)
	if !ok {
		return nil, &failure.FormatError{Reason: "it has no encryption dictionary where it says"}
	}
	switch name, _ := d["Filter"].(Name); name {
	case "Standard":
	case "Adobe.PubSec", "Adobe.PPKLite", "Entrust.PPKEF":
		return nil, &failure.EncryptionError{
			Reason: "it is meant for the holders of certain certificates (public-key security)",
		}
	default:
		return nil, &failure.EncryptionError{Reason: fmt.Sprintf("it needs the security handler %q", string(name))}
	}
	e := &encryption{
		dict: d, id: id, version: AsInt(src, d["V"], 0), revision: AsInt(src, d["R"], 0),
		metadata: true,
	}
	if p, ok := d["P"].(Integer); ok { // 32 bits; some files give it without a sign
		e.permissions = uint32(p)
	}
	known := map[int][]int{1: {2, 3}, 2: {2, 3}, 4: {4}, 5: {5, 6}}
	if !slices.Contains(known[e.version], e.revision) {
		return e, &failure.EncryptionError{
			Reason: fmt.Sprintf("it is of version %d and revision %d, which are not known", e.version, e.revision),
		}
	}
	return e, e.read()
}

// read understands the entries that depend on the version.
func (e *encryption) read() error {
	need, sizes := []Name{"O", "U"}, map[Name]int{"O": 32, "U": 32, "OE": 32, "UE": 32}
	if e.version == 5 {
		need, sizes["O"], sizes["U"] = []Name{"O", "U", "OE", "UE"}, 48, 48
	}
	for _, key := range need {
		if len(e.bytes(key)) < sizes[key] {
			return &failure.EncryptionError{
				Reason: fmt.Sprintf("the entry %s of its encryption dictionary is missing or short", key),
			}
		}
	}
	e.lengths = e.keyLengths()
	if e.version < 4 {
		e.streams, e.strings, e.files = rc4Cipher, rc4Cipher, rc4Cipher
		return nil
	}
	if on, ok := e.dict["EncryptMetadata"].(bool); ok {
		e.metadata = on
	}
	return e.readFilters()
}

// bytes is a string of the dictionary.
func (e *encryption) bytes(key Name) []byte {
	s, _ := e.dict[key].(String)
	return []byte(s)
}

// keyLengths lists the lengths in bytes that the key may have, the likeliest
// first: files differ in where and in which unit they give it (Tables 20, 25),
// and the password tells which is right.
func (e *encryption) keyLengths() []int {
	switch {
	case e.version == 5:
		return []int{32}
	case e.version == 1 || e.revision == 2:
		return []int{5}
	}
	bits, _ := e.dict["Length"].(Integer)
	list := []int{16, 5}
	if n := int(bits / 8); bits%8 == 0 && n >= 5 && n <= 16 {
		list = append([]int{n}, list...)
	}
	return list
}

// readFilters reads the crypt filters (Tables 20 and 25).
func (e *encryption) readFilters() error {
	e.filters = map[Name]method{}
	all, _ := e.dict["CF"].(Dict)
	for name, o := range all {
		cf, _ := o.(Dict)
		m, ok := e.cryptMethod(cf["CFM"])
		if !ok {
			return &failure.EncryptionError{Reason: fmt.Sprintf("its crypt filter %q is not known", string(name))}
		}
		e.filters[name] = m
	}
	e.filters["Identity"] = identity
	if slices.Contains(slices.Collect(maps.Values(e.filters)), aes128) { // which takes 16 bytes of key
		e.lengths = slices.DeleteFunc(e.lengths, func(n int) bool { return n+5 < 16 })
	}
	var err error
	if e.streams, err = e.filter("StmF", "Identity"); err != nil {
		return err
	}
	if e.strings, err = e.filter("StrF", "Identity"); err != nil {
		return err
	}
	e.files, err = e.filter("EFF", "StmF")
	return err
}

// filter is the method of the crypt filter that an entry of the dictionary
// names; where there is no such entry, of the one of that name, or that another
// entry names.
func (e *encryption) filter(key, otherwise Name) (method, error) {
	name, ok := e.dict[key].(Name)
	if !ok && otherwise != "Identity" {
		return e.filter(otherwise, "Identity")
	}
	if !ok {
		name = otherwise
	}
	m, ok := e.filters[name]
	if !ok {
		return identity, &failure.EncryptionError{Reason: fmt.Sprintf("its crypt filter %q is missing", string(name))}
	}
	return m, nil
}

// cryptMethod is the method of a crypt filter (Table 25; ISO 32000-2, Table
// 25).
func (e *encryption) cryptMethod(o Object) (method, bool) {
	switch name, _ := o.(Name); {
	case name == "" || name == "None":
		return identity, true
	case name == "V2" && e.version == 4:
		return rc4Cipher, true
	case name == "AESV2" && e.version == 4:
		return aes128, true
	case name == "AESV3" && e.version == 5:
		return aes256, true
	}
	return identity, false
}

// inliner copies an object with nothing indirect in it; left bounds its parts.
type inliner struct {
	src  Objects
	left int
}

func (n *inliner) object(o Object, depth int) Object {
	if n.left--; n.left < 0 || depth > 16 {
		return nil
	}
	switch o := Resolve(n.src, o).(type) {
	case Dict:
		d := Dict{}
		for k, v := range o {
			if v = n.object(v, depth+1); v != nil {
				d[k] = v
			}
		}
		return d
	case Array:
		a := Array{}
		for _, v := range o {
			a = append(a, n.object(v, depth+1))
		}
		return a
	case *Stream:
		return nil
	default:
		return o
	}
}

// rawObjects reads objects other than streams where they stand, as they are:
// the encryption dictionary, before there is a key.
type rawObjects struct {
	data   []byte
	places map[Ref]place
}

// Object implements Objects.
func (r rawObjects) Object(num Ref) Object {
	where, ok := r.places[num]
	if !ok || where.at >= len(r.data) {
		return nil
	}
	p := parser{lexer: lexer{data: r.data, pos: where.at}}
	if found, _, ok := p.header(); !ok || found != num {
		return nil
	}
	o, start, err := p.body()
	if err != nil || start > 0 {
		return nil
	}
	return o
}

// Encryption tells how the file is encrypted; ok is false where it is not.
func (d *Document) Encryption() (info Encryption, ok bool) {
	if d.enc == nil {
		return Encryption{}, false
	}
	info = Encryption{Opened: d.enc.opened, MayChange: d.MayChange() == nil}
	if info.Cipher = d.enc.streams.cipher(); info.Cipher != "" {
		info.Bits = 8 * len(d.enc.key)
	}
	return info, true
}

// MayChange gives a *failure.PermissionError where the file forbids that it be changed
// (Table 22, bit 4) and was not opened with the owner's password.
func (d *Document) MayChange() error {
	if d.enc == nil || d.enc.opened == OwnerPassword || d.enc.permissions&permitChange != 0 {
		return nil
	}
	return &failure.PermissionError{
		Reason: "the permissions of the file forbid changing it; only its owner password lifts that",
	}
}

// unlock finds out how the file is encrypted and what opens it.
func (l *loader) unlock(t trailer) error {
	e, err := readEncryption(rawObjects{l.data, l.places}, t.Encrypt, t.ID)
	if err != nil {
		return err
	}
	if err := e.unlock(l.password); err != nil {
		return err
	}
	if !e.checkPermissions() {
		l.warn.add("the encryption dictionary does not agree with itself on what is permitted; " +
			"what either says is forbidden counts")
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
		plain, good := e.open(context.Background(), e.strings, num, gen, []byte(s))
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

// isSignature reports whether d is a signature (Table 252), whose Contents is not
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
	plain, good := l.enc.open(l.ctx, m, s.num, s.gen, raw)
	if !(ok && good) && l.ctx.Err() == nil {
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
func (l *loader) markFiles() error {
	if l.enc == nil || l.enc.files == l.enc.streams {
		return nil
	}
	for _, o := range l.objects {
		if err := l.ctx.Err(); err != nil {
			return err
		}
		Walk(o, func(o Object) {
			d, _ := o.(Dict)
			for _, file := range AsDict(l, d["EF"]) {
				if s := AsStream(l, file); s != nil && s.Dict["Type"] == nil {
					s.Dict["Type"] = Name("EmbeddedFile")
				}
			}
		})
	}
	return nil
}

// sealed is a stream as it is written in an encrypted file: the data and the
// strings of the dictionary encrypted for object num.
func (e *encryption) sealed(ctx context.Context, src Objects, num Ref, s *Stream) (
	raw []byte, sealString func(String) String,
) {
	if s.Dict["Type"] == Name("XRef") {
		return s.Raw, nil
	}
	return e.seal(ctx, e.streamMethod(src, s.Dict), num, s.Raw), e.stringSealer(num)
}

// stringSealer encrypts the strings of object num.
func (e *encryption) stringSealer(num Ref) func(String) String {
	return func(s String) String {
		return String(e.seal(context.Background(), e.strings, num, []byte(s)))
	}
}

// openStreams reports whether object streams would leave strings in the open,
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
