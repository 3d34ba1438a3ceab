package pdf

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
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
		{"certificates", "<</Filter/Adobe.PubSec/SubFilter/adbe.pkcs7.s5/V 4>>", new(EncryptionError), "certificates"},
		{"another handler", "<</Filter/Sizeply/V 4/R 4>>", new(EncryptionError), `"Sizeply"`},
		{"no filter", "<</V 1/R 2>>", new(EncryptionError), "handler"},
		{"AES-GCM of ISO/TS 32003", "<</Filter/Standard/V 6/R 7/O()/U()>>", new(EncryptionError), "version 6"},
		{"unpublished algorithm", "<</Filter/Standard/V 3/R 3>>", new(EncryptionError), "version 3"},
		{"no hashes", "<</Filter/Standard/V 1/R 2>>", new(EncryptionError), "entry O"},
		{"short hash", "<</Filter/Standard/V 1/R 2/O" + zeros + "/U(short)>>", new(EncryptionError), "entry U"},
		{"no wrapped key", "<</Filter/Standard/V 5/R 6/O(" + strings.Repeat("o", 48) + ")/U(" + strings.Repeat("u", 48) + ")>>",
			new(EncryptionError), "entry OE"},
		{"crypt filter that is missing", "<</Filter/Standard/V 4/R 4/StmF/StdCF/O" + zeros + "/U" + zeros + ">>", new(EncryptionError), `"StdCF"`},
		{"crypt filter that is unknown", "<</Filter/Standard/V 4/R 4/CF<</A<</CFM/AESV9>>>>/O" + zeros + "/U" + zeros + ">>",
			new(EncryptionError), `"A"`},
		{"a password", "<</Filter/Standard/V 1/R 2/P -4/O" + zeros + "/U" + zeros + ">>", ErrPassword, "needs a password"},
		{"dictionary that is missing", "77 0 R", new(FormatError), "no encryption dictionary"},
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
		encryption *EncryptionError
		format     *FormatError
	)
	switch want.(type) {
	case *EncryptionError:
		return errors.As(err, &encryption)
	case *FormatError:
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
