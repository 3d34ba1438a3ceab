package pdf

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"github.com/sizeply/sizeply/layers/failure"
)

// encryptedFiles are the files of testdata/encrypted with what they are
// encrypted with; see testdata/README.md.
var encryptedFiles = []struct {
	name     string
	cipher   string
	bits     int
	revision int
	// user is the user password; the owner's is "owner".
	user      string
	mayChange bool
}{
	{"rc4-40.pdf", "RC4", 40, 2, "user", true},
	{"rc4-128.pdf", "RC4", 128, 3, "user", true},
	{"rc4-v4.pdf", "RC4", 128, 4, "user", true},
	{"aes-128.pdf", "AES", 128, 4, "user", true},
	{"aes-128-metadata.pdf", "AES", 128, 4, "user", true},
	{"aes-256-r5.pdf", "AES", 256, 5, "user", true},
	{"aes-256.pdf", "AES", 256, 6, "user", true},
	{"open.pdf", "AES", 256, 6, "", true},
	{"locked.pdf", "AES", 256, 6, "", false},
}

func readEncrypted(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", "encrypted", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func openWith(t testing.TB, data []byte, password string) *Document {
	t.Helper()
	doc, err := Open(context.Background(), bytes.NewReader(data), Options{Password: password})
	if err != nil {
		t.Fatalf("Open with %q: %v", password, err)
	}
	return doc
}

// TestEncrypted opens each file with each password: what comes out is what was
// encrypted.
func TestEncrypted(t *testing.T) {
	want := graph(open(t, readEncrypted(t, "plain.pdf")))
	for _, f := range encryptedFiles {
		for opened, password := range map[Credential]string{NoPassword: "", UserPassword: f.user, OwnerPassword: "owner"} {
			if (opened == NoPassword) != (password == "") || password == "" && f.user != "" {
				continue
			}
			t.Run(f.name+"/"+password, func(t *testing.T) {
				doc := openWith(t, readEncrypted(t, f.name), password)
				got, ok := doc.Encryption()
				info := Encryption{Cipher: f.cipher, Bits: f.bits, Opened: opened, MayChange: f.mayChange || opened == OwnerPassword}
				if !ok || got != info || doc.enc.revision != f.revision {
					t.Errorf("encryption %+v of revision %d, want %+v of %d", got, doc.enc.revision, info, f.revision)
				}
				if diff := cmp.Diff(want, graph(doc)); diff != "" {
					t.Errorf("objects (-plain +decrypted):\n%s", diff)
				}
				if rc4 := hasWarning(doc, "RC4"); rc4 != (f.cipher == "RC4") || len(doc.Warnings()) > 1 {
					t.Errorf("warnings %q", doc.Warnings())
				}
			})
		}
	}
}

// graph is what can be reached from the catalog and the information
// dictionary, in an order that numbers have no part in. Extensions, with which
// qpdf marks revisions 5 and 6, are left out.
func graph(d *Document) (list []Object) {
	root, ref := d.Root()
	root = root.Clone()
	delete(root, "Extensions")
	e := d.Edit()
	e.Set(ref, root)
	order, number, err := e.plan(context.Background())
	if err != nil {
		return nil
	}
	for _, r := range order {
		list = append(list, renumbered(e.Object(r), number))
	}
	return list
}

func renumbered(o Object, number map[Ref]Ref) Object {
	switch o := o.(type) {
	case Ref:
		return number[o]
	case Array:
		a := Array{}
		for _, v := range o {
			a = append(a, renumbered(v, number))
		}
		return a
	case Dict:
		d := Dict{}
		for k, v := range o {
			d[k] = renumbered(v, number)
		}
		return d
	case *Stream:
		return &Stream{Dict: renumbered(o.Dict, number).(Dict), Raw: o.Raw}
	}
	return o
}

// TestEncryptedPasswords tries passwords that do not open a file.
func TestEncryptedPasswords(t *testing.T) {
	for _, f := range encryptedFiles {
		for _, password := range []string{"", "wrong", "use", "owner2", strings.Repeat("x", 200), "p\u00e2t\u00e9", "\u7dad"} {
			doc, err := Open(context.Background(), bytes.NewReader(readEncrypted(t, f.name)), Options{Password: password})
			switch {
			case f.user == "":
				if err != nil || doc.enc.opened != NoPassword || hasWarning(doc, "opens without one") != (password != "") {
					t.Errorf("%s with %q: %v, though no password is needed", f.name, password, err)
				}
			case !errors.Is(err, ErrPassword) || strings.Contains(err.Error(), "given") != (password != ""):
				t.Errorf("%s with %q: %v, want an ErrPassword", f.name, password, err)
			}
		}
	}
}

// TestEncryptedBroken opens encrypted files whose objects have to be searched
// for, and others with faults.
func TestEncryptedBroken(t *testing.T) {
	want := graph(open(t, readEncrypted(t, "plain.pdf")))
	tests := []struct {
		name  string
		spoil func([]byte) []byte
		warns string
	}{
		{"no startxref", replacing("startxref", "startxxxx"), "found by searching"},
		{"wrong offsets", func(b []byte) []byte { return append([]byte("%PDF-1.7\n"), b...) }, "found by searching"},
		{"junk before", func(b []byte) []byte { return append([]byte("junk\n"), b...) }, ""},
	}
	for _, f := range encryptedFiles {
		for _, tt := range tests {
			doc := openWith(t, tt.spoil(readEncrypted(t, f.name)), f.user)
			if diff := cmp.Diff(want, graph(doc)); diff != "" {
				t.Errorf("%s, %s (-plain +decrypted):\n%s", f.name, tt.name, diff)
			}
			if !hasWarning(doc, tt.warns) && tt.warns != "" {
				t.Errorf("%s, %s: warnings %q", f.name, tt.name, doc.Warnings())
			}
		}
	}
}

func replacing(old, with string) func([]byte) []byte {
	return func(b []byte) []byte { return bytes.ReplaceAll(b, []byte(old), []byte(with)) }
}

// TestEncryptedLength measures the data of streams with a wrong length: whole
// blocks of AES tell that an end of line is data. With RC4 nothing does.
func TestEncryptedLength(t *testing.T) {
	want := graph(open(t, readEncrypted(t, "plain.pdf")))
	doc := openWith(t, replacing("/Length ", "/Length 1")(readEncrypted(t, "aes-256-r5.pdf")), "user")
	if diff := cmp.Diff(want, graph(doc)); diff != "" || !hasWarning(doc, "was measured") {
		t.Errorf("warnings %q, objects (-plain +decrypted):\n%s", doc.Warnings(), diff)
	}
}

func TestEncryptionErrors(t *testing.T) {
	zeros := "<" + strings.Repeat("00", 32) + ">"
	tests := []struct {
		name, dict string
		want       error
		words      string
	}{
		{"certificates", "<</Filter/Adobe.PubSec/SubFilter/adbe.pkcs7.s5/V 4>>", new(failure.EncryptionError), "certificates"},
		{"another handler", "<</Filter/Sizeply/V 4/R 4>>", new(failure.EncryptionError), `"Sizeply"`},
		{"no filter", "<</V 1/R 2>>", new(failure.EncryptionError), "handler"},
		{"AES-GCM of ISO/TS 32003", "<</Filter/Standard/V 6/R 7/O()/U()>>", new(failure.EncryptionError), "version 6"},
		{"unpublished algorithm", "<</Filter/Standard/V 3/R 3>>", new(failure.EncryptionError), "version 3"},
		{"no hashes", "<</Filter/Standard/V 1/R 2>>", new(failure.EncryptionError), "entry O"},
		{"short hash", "<</Filter/Standard/V 1/R 2/O" + zeros + "/U(short)>>", new(failure.EncryptionError), "entry U"},
		{"no wrapped key", "<</Filter/Standard/V 5/R 6/O(" + strings.Repeat("o", 48) + ")/U(" + strings.Repeat("u", 48) + ")>>",
			new(failure.EncryptionError), "entry OE"},
		{"crypt filter that is missing", "<</Filter/Standard/V 4/R 4/StmF/StdCF/O" + zeros + "/U" + zeros + ">>", new(failure.EncryptionError), `"StdCF"`},
		{"crypt filter that is unknown", "<</Filter/Standard/V 4/R 4/CF<</A<</CFM/AESV9>>>>/O" + zeros + "/U" + zeros + ">>",
			new(failure.EncryptionError), `"A"`},
		{"a password", "<</Filter/Standard/V 1/R 2/P -4/O" + zeros + "/U" + zeros + ">>", ErrPassword, "needs a password"},
		{"dictionary that is missing", "77 0 R", new(failure.FormatError), "no encryption dictionary"},
	}
	for _, tt := range tests {
		for _, table := range []string{"startxref", "startxxxx"} {
			t.Run(tt.name+"/"+table, func(t *testing.T) {
				data := replace(with(func(s *source) { s.trailer = "/Encrypt " + tt.dict }), "startxref", table)
				_, err := Open(context.Background(), bytes.NewReader(data), Options{})
				if !sameKind(err, tt.want) || !strings.Contains(err.Error(), tt.words) {
					t.Errorf("got %v, want a %T that says %q", err, tt.want, tt.words)
				}
			})
		}
	}
}

// sameKind tells whether err is a sentinel, or has the type of an example.
func sameKind(err, want error) bool {
	var (
		encryption *failure.EncryptionError
		format     *failure.FormatError
	)
	switch want.(type) {
	case *failure.EncryptionError:
		return errors.As(err, &encryption)
	case *failure.FormatError:
		return errors.As(err, &format)
	}
	return errors.Is(err, want)
}

// TestNotEncrypted opens plain files that hold the word, which is no trailer's.
func TestNotEncrypted(t *testing.T) {
	for name, data := range map[string][]byte{
		"in content":         with(func(s *source) { s.objects[3] = stream("", "(/Encrypt 5 0 R) pop "+square) }),
		"trailer in content": with(func(s *source) { s.objects[3] = stream("", "trailer <</Encrypt 1 0 R>> "+square) }),
	} {
		doc := open(t, data)
		if _, ok := doc.Encryption(); ok || !strings.HasSuffix(content(t, doc), square) {
			t.Errorf("%s: encrypted is %t", name, ok)
		}
	}
}

// TestWriteEncrypted writes each file and opens the result: objects, passwords
// and encryption are those of the original, and nothing is in the open.
func TestWriteEncrypted(t *testing.T) {
	for _, f := range encryptedFiles {
		t.Run(f.name, func(t *testing.T) {
			doc := openWith(t, readEncrypted(t, f.name), "owner")
			out := checkRewriteWith(t, doc, "owner")
			for _, password := range []string{f.user, "owner"} {
				result := openWith(t, out, password)
				got, _ := result.Encryption()
				want, _ := openWith(t, readEncrypted(t, f.name), password).Encryption()
				if got != want || result.id != doc.id {
					t.Errorf("%q: encryption %+v, want %+v; identifier %x, want %x", password, got, want, result.id, doc.id)
				}
				if diff := cmp.Diff(doc.enc.dict, result.enc.dict); diff != "" {
					t.Errorf("encryption dictionary (-was +is):\n%s", diff)
				}
			}
			if _, err := Open(context.Background(), bytes.NewReader(out), Options{}); f.user != "" && !errors.Is(err, ErrPassword) {
				t.Errorf("without a password: %v", err)
			}
			for _, secret := range []string{"Tollmere", "note.txt", "grade between", "xmpmeta", square} {
				open := secret == "xmpmeta" && f.name == "aes-128-metadata.pdf"
				if bytes.Contains(out, []byte(secret)) != open {
					t.Errorf("%q can be read without the key: want that to be %t", secret, open)
				}
			}
		})
	}
}

// TestWriteDecrypted takes the encryption off, which takes the owner password.
func TestWriteDecrypted(t *testing.T) {
	want := graph(open(t, readEncrypted(t, "plain.pdf")))
	for _, f := range encryptedFiles {
		var forbidden *failure.PermissionError
		if err := openWith(t, readEncrypted(t, f.name), f.user).Edit().Decrypt(); !errors.As(err, &forbidden) {
			t.Errorf("%s: the user's password suffices: %v", f.name, err)
		}
		e := openWith(t, readEncrypted(t, f.name), "owner").Edit()
		if err := e.Decrypt(); err != nil {
			t.Errorf("%s: %v", f.name, err)
		}
		out, _ := write(t, e)
		result := open(t, out)
		if _, ok := result.Encryption(); ok {
			t.Errorf("%s: the result is encrypted", f.name)
		}
		if diff := cmp.Diff(want, graph(result)); diff != "" {
			t.Errorf("%s (-plain +decrypted):\n%s", f.name, diff)
		}
	}
}

// TestWriteForbidden writes a file whose permissions forbid it.
func TestWriteForbidden(t *testing.T) {
	doc := open(t, readEncrypted(t, "locked.pdf"))
	var out bytes.Buffer
	_, err := doc.Edit().Write(context.Background(), &out)
	var forbidden *failure.PermissionError
	if !errors.As(err, &forbidden) || out.Len() > 0 || doc.MayChange() == nil {
		t.Errorf("%d bytes were written, error %v", out.Len(), err)
	}
}

// lockedFile makes an encrypted file of version 4 from objects given as they
// are in the open: with the user password "user", crypt filters Std (AES) and
// Old (RC4), and further entries of the encryption dictionary. Each object has
// the generation gen.
type lockedFile struct {
	entries Dict
	id      String
	gen     int
	objects []Object
}

// bytes encrypts the objects with the algorithms that TestPasswordVectors
// checks, each with the methods that it is given, and writes the file.
func (l lockedFile) bytes(t *testing.T) []byte {
	t.Helper()
	dict := Dict{
		"Filter": Name("Standard"), "V": Integer(4), "R": Integer(4), "Length": Integer(128), "P": Integer(-4),
		"O": String(strings.Repeat("o", 32)), "U": String(strings.Repeat("u", 32)),
		"CF": Dict{"Std": Dict{"CFM": Name("AESV2"), "Length": Integer(16)}, "Old": Dict{"CFM": Name("V2"), "Length": Integer(16)}},
	}
	for k, v := range l.entries {
		dict[k] = v
	}
	e, err := readEncryption(noObjects{}, dict, l.id)
	if err != nil {
		t.Fatal(err)
	}
	e.key = e.userKey([]byte("user"), 16)
	dict["U"] = String(append(e.userCheck(e.key), make([]byte, 16)...))
	s := serialiser{number: func(r Ref) Ref { return r }}
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n")
	table := "0000000000 65535 f \n"
	for i, o := range l.objects {
		table += fmt.Sprintf("%010d %05d n \n", b.Len(), l.gen)
		s.buf = nil
		s.seal = func(str String) String { return String(l.seal(e, e.strings, Ref(i+1), []byte(str))) }
		st, isStream := o.(*Stream)
		if isStream {
			raw := l.seal(e, e.streamMethod(noObjects{}, st.Dict), Ref(i+1), st.Raw)
			o = st.Dict.Clone()
			o.(Dict)["Length"] = Integer(len(raw))
			st = &Stream{Raw: raw}
		}
		if err := s.append(o, 0); err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&b, "%d %d obj\n%s", i+1, l.gen, l.references(s.buf))
		if isStream {
			fmt.Fprintf(&b, "\nstream\n%s\nendstream", st.Raw)
		}
		b.WriteString("\nendobj\n")
	}
	s = serialiser{number: s.number}
	trailer := Dict{"Size": Integer(len(l.objects) + 1), "Root": Ref(1), "Encrypt": dict, "ID": Array{l.id, l.id}}
	if l.id == "" {
		delete(trailer, "ID")
	}
	if err := s.append(trailer, 0); err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(&b, "xref\n0 %d\n%strailer\n%s\nstartxref\n%d\n%%%%EOF\n",
		len(l.objects)+1, table, l.references(s.buf), b.Len())
	return b.Bytes()
}

// references gives references in a text the generation.
func (l lockedFile) references(text []byte) []byte {
	return bytes.ReplaceAll(text, []byte(" 0 R"), fmt.Appendf(nil, " %d R", l.gen))
}

func (l lockedFile) seal(e *encryption, m method, num Ref, data []byte) []byte {
	switch m {
	case rc4Cipher:
		return rc4Bytes(context.Background(), e.objectKey(m, num, l.gen), data)
	case aes128:
		return sealAES(context.Background(), e.objectKey(m, num, l.gen), []byte("sixteen bytes iv"), data)
	}
	return data
}

// lockedObjects are a page with a content stream, and what is named Extra.
func lockedObjects(content *Stream, extra ...Object) []Object {
	all := Array{}
	for i := range extra {
		all = append(all, Ref(5+i))
	}
	return append([]Object{
		Dict{"Type": Name("Catalog"), "Pages": Ref(2), "Extra": all},
		Dict{"Type": Name("Pages"), "Kids": Array{Ref(3)}, "Count": Integer(1)},
		Dict{"Type": Name("Page"), "Parent": Ref(2), "MediaBox": Array{Integer(0), Integer(0), Integer(100), Integer(200)}, "Contents": Ref(4)},
		content,
	}, extra...)
}

var plainContent = &Stream{Dict: Dict{"Note": String("in a stream")}, Raw: []byte(square)}

// lockedCases are files that the command line of qpdf does not make.
var lockedCases = []struct {
	name string
	file lockedFile
	// open are texts that can be read in the output without the key.
	open []string
}{
	{
		name: "strings alone: no object stream may hold them",
		file: lockedFile{entries: Dict{"StrF": Name("Std")}, objects: lockedObjects(plainContent, String("secret"), Dict{"K": String("secret")})},
		open: []string{square},
	},
	{
		name: "streams alone",
		file: lockedFile{entries: Dict{"StmF": Name("Std")}, objects: lockedObjects(plainContent, String("secret"))},
		open: []string{"in a stream"},
	},
	{
		name: "attached files alone",
		file: lockedFile{
			entries: Dict{"EFF": Name("Std")},
			objects: lockedObjects(plainContent, Dict{"Type": Name("Filespec"), "EF": Dict{"F": Ref(6)}},
				&Stream{Dict: Dict{"Type": Name("EmbeddedFile")}, Raw: []byte("secret")}),
		},
		open: []string{square, "in a stream"},
	},
	{
		name: "strings and streams by different ciphers",
		file: lockedFile{entries: Dict{"StmF": Name("Old"), "StrF": Name("Std")}, objects: lockedObjects(plainContent, String("secret"))},
	},
	{
		name: "streams with filters of their own",
		file: lockedFile{entries: Dict{"StmF": Name("Std"), "StrF": Name("Std")}, objects: lockedObjects(
			&Stream{Dict: Dict{"Filter": Name("Crypt")}, Raw: []byte(square)},
			&Stream{Dict: Dict{"Filter": Array{Name("Crypt"), Name("ASCIIHexDecode")},
				"DecodeParms": Array{Dict{"Name": Name("Old")}, nil}}, Raw: []byte("414243>")},
		)},
		open: []string{square},
	},
	{
		name: "no file identifier",
		file: lockedFile{entries: Dict{"StmF": Name("Std"), "StrF": Name("Std")}, objects: lockedObjects(plainContent, String("secret"))},
	},
	{
		name: "metadata in the open, also in streams with a type of metadata alone",
		file: lockedFile{id: "0123456789abcdef", entries: Dict{"StmF": Name("Std"), "StrF": Name("Std"), "EncryptMetadata": false},
			objects: lockedObjects(plainContent, &Stream{Dict: Dict{"Type": Name("Metadata")}, Raw: []byte("metadata")}, String("secret"))},
		open: []string{"metadata"},
	},
	{
		name: "a signature",
		file: lockedFile{id: "0123456789abcdef", entries: Dict{"StmF": Name("Std"), "StrF": Name("Std")}, objects: lockedObjects(plainContent,
			Dict{"Type": Name("Sig"), "ByteRange": Array{Integer(0)}, "Contents": String("signature"), "Name": String("secret")},
			&Stream{Dict: Dict{"V": Dict{"ByteRange": Array{Integer(0)}, "Contents": String("signature in a stream")}}, Raw: []byte("secret")})},
		open: []string{"signature in a stream"},
	},
}

// TestLocked opens files that are encrypted in rare ways, writes them, and
// opens the result.
func TestLocked(t *testing.T) {
	for _, tt := range lockedCases {
		for gen := range 2 {
			t.Run(fmt.Sprintf("%s/generation %d", tt.name, gen), func(t *testing.T) {
				file := tt.file
				file.gen = gen
				doc := openWith(t, file.bytes(t), "user")
				for i, want := range file.objects {
					if diff := cmp.Diff(want, doc.Object(Ref(i+1))); diff != "" {
						t.Errorf("object %d (-plain +decrypted):\n%s", i+1, diff)
					}
				}
				out := checkRewriteWith(t, doc, "user")
				for _, text := range []string{"secret", square, "in a stream", "metadata", "signature in a stream"} {
					if open := strings.Contains(strings.Join(tt.open, "\n"), text); bytes.Contains(out, []byte(text)) != open {
						t.Errorf("%q can be read without the key: want that to be %t", text, open)
					}
				}
				checkWithQPDF(t, out, "user")
			})
		}
	}
}

// TestLockedFile opens a file whose attached files alone are encrypted, where
// nothing but what refers to one says that it is attached.
func TestLockedFile(t *testing.T) {
	data := lockedFile{
		entries: Dict{"EFF": Name("Std")},
		objects: lockedObjects(plainContent, Dict{"EF": Dict{"F": Ref(6)}}, &Stream{Dict: Dict{"Type": Name("EmbeddedFile")}, Raw: []byte("secret")}),
	}.bytes(t)
	const kind = "/Type /EmbeddedFile"
	doc := openWith(t, replacing(kind, strings.Repeat(" ", len(kind)))(data), "user")
	out := checkRewriteWith(t, doc, "user")
	if s := AsStream(doc, Ref(6)); string(s.Raw) != "secret" || bytes.Contains(out, []byte("secret")) {
		t.Errorf("the attached file is %q", s.Raw)
	}
}

// checkWithQPDF has qpdf check a file, where it is installed.
func checkWithQPDF(t *testing.T, data []byte, password string) {
	t.Helper()
	path, err := exec.LookPath("qpdf")
	if err != nil {
		if os.Getenv("SIZEPLY_REQUIRE_TOOLS") == "1" {
			t.Fatal("qpdf is not installed")
		}
		t.Log("qpdf is not installed, so the result is not checked with it")
		return
	}
	file := filepath.Join(t.TempDir(), "out.pdf")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command(path, "--check", "--password="+password, file).CombinedOutput(); err != nil {
		t.Errorf("qpdf: %v\n%s", err, out)
	}
}

// TestAES opens data that is not as it should be.
func TestAES(t *testing.T) {
	key, vector := bytes.Repeat([]byte("k"), 16), bytes.Repeat([]byte("v"), 16)
	good := sealAES(context.Background(), key, vector, []byte("sixteen bytes at least"))
	tests := []struct {
		name string
		data []byte
		want string
		ok   bool
	}{
		{"as it should be", good, "sixteen bytes at least", true},
		{"whole blocks", sealAES(context.Background(), key, vector, []byte("0123456789abcdef")), "0123456789abcdef", true},
		{"nothing", sealAES(context.Background(), key, vector, nil), "", true},
		{"a vector alone", vector, "", true},
		{"less than a vector", vector[:15], "", false},
		{"bytes too many", append(bytes.Clone(good), "\r\n"...), "sixteen bytes at least", false},
		{"no padding", good[:32], "sixteen bytes at", false},
	}
	for _, tt := range tests {
		if got, ok := openAES(context.Background(), key, tt.data); string(got) != tt.want || ok != tt.ok {
			t.Errorf("%s: %q, %t", tt.name, got, ok)
		}
	}
}

// FuzzSeal encrypts and decrypts; data, number and key all change the vector.
func FuzzSeal(f *testing.F) {
	f.Add([]byte("key"), []byte("data"), 7)
	f.Add([]byte{}, []byte{}, 1)
	f.Fuzz(func(t *testing.T, key, data []byte, num int) {
		num = max(1, num&maxNumber)
		e := &encryption{key: append(bytes.Clone(key), make([]byte, 32)...)[:32]}
		for _, m := range []method{identity, rc4Cipher, aes128, aes256} {
			if m != aes256 {
				e.key = e.key[:16]
			} else {
				e.key = append(e.key, e.key...)
			}
			sealed := e.seal(context.Background(), m, Ref(num), data)
			if again := e.seal(context.Background(), m, Ref(num), data); !bytes.Equal(sealed, again) {
				t.Errorf("method %d: twice is not the same", m)
			}
			if got, ok := e.open(context.Background(), m, Ref(num), 0, sealed); !ok || !bytes.Equal(got, data) {
				t.Errorf("method %d: %q becomes %q, %t", m, data, got, ok)
			}
			if other := e.seal(context.Background(), m, Ref(num+1), data); m.isAES() && bytes.Equal(other[:16], sealed[:16]) {
				t.Errorf("method %d: two objects share a vector", m)
			}
			if other := e.seal(context.Background(), m, Ref(num), append(bytes.Clone(data), 0)); m.isAES() && bytes.Equal(other[:16], sealed[:16]) {
				t.Errorf("method %d: different data shares a vector", m)
			}
		}
	})
}
