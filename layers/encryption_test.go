package layers

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/testpdf"
)

// encryptions are the ways in which qpdf encrypts; each file has the user
// password "user", unless there is none, and the owner password "owner".
var encryptions = []struct {
	name, user string
	args       []string // after the passwords
	cipher     string
	bits       int
}{
	{"revision 2", "user", []string{"40"}, "RC4", 40},
	{"revision 3", "user", []string{"128", "--use-aes=n"}, "RC4", 128},
	{"revision 4, RC4", "user", []string{"128", "--use-aes=n", "--force-V4"}, "RC4", 128},
	{"revision 4, AES", "user", []string{"128", "--use-aes=y"}, "AES", 128},
	{"revision 4, plain metadata", "user", []string{"128", "--use-aes=y", "--cleartext-metadata"}, "AES", 128},
	{"revision 5", "user", []string{"256", "--force-R5"}, "AES", 256},
	{"revision 6", "user", []string{"256"}, "AES", 256},
	{"revision 6, plain metadata", "user", []string{"256", "--cleartext-metadata"}, "AES", 256},
	{"revision 6, no user password", "", []string{"256", "--print=low", "--extract=n"}, "AES", 256},
	{"revision 3, letters beyond ASCII", "p\u00e2t\u00e9 \u20ac", []string{"128", "--use-aes=n"}, "RC4", 128},
	{"revision 6, letters beyond ASCII", "p\u00e2t\u00e9 \u7dad", []string{"256"}, "AES", 256},
}

// qpdf runs qpdf on a file; "IN" and "OUT" in the arguments are the file and
// what it writes, which comes back.
func qpdf(t *testing.T, file []byte, args ...string) []byte {
	t.Helper()
	dir := t.TempDir()
	in, out := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "out.pdf")
	if err := os.WriteFile(in, file, 0o600); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		args[i] = map[string]string{"IN": in, "OUT": out}[a]
		if args[i] == "" {
			args[i] = a
		}
	}
	if said, err := exec.Command("qpdf", args...).CombinedOutput(); err != nil {
		t.Fatalf("qpdf %s: %v\n%s", strings.Join(args, " "), err, said)
	}
	data, err := os.ReadFile(out)
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		t.Fatal(err)
	}
	return data
}

func encrypt(t *testing.T, file []byte, user, owner string, args ...string) []byte {
	t.Helper()
	all := append([]string{"--allow-weak-crypto", "--stream-data=preserve", "--encrypt", user, owner}, args...)
	return qpdf(t, file, append(all, "--", "IN", "OUT")...)
}

func decrypt(t *testing.T, file []byte, password string) []byte {
	t.Helper()
	return qpdf(t, file, "--password="+password, "--stream-data=preserve", "--decrypt", "IN", "OUT")
}

// encryptedSubjects are what is encrypted, with layers to keep.
func encryptedSubjects(t *testing.T) map[string]struct {
	file []byte
	sel  Selection
} {
	t.Helper()
	skirt, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	small := testpdf.Build(testpdf.Doc{
		Groups: []string{"Size 14", "Size 16"},
		Pages:  []testpdf.Page{{Content: "/OC /Size#2014 BDC P1 EMC /OC /Size#2016 BDC P2 EMC P3"}},
	})
	return map[string]struct {
		file []byte
		sel  Selection
	}{
		"skirt": {skirt, Selection{Layers: []int{3, 4, 5, 10, 11, 12, 13}}},
		"small": {small, Selection{Layers: []int{0}}},
	}
}

// openWith opens a file with a password.
func openWith(t *testing.T, file []byte, password string) *Document {
	t.Helper()
	doc, err := Open(context.Background(), bytes.NewReader(file), &OpenOptions{Password: password})
	if err != nil {
		t.Fatalf("opening with %q: %v", password, err)
	}
	return doc
}

// isolateTwice isolates twice and verifies.
func isolateTwice(t *testing.T, doc *Document, sel Selection, opt *IsolateOptions) []byte {
	t.Helper()
	var out, again bytes.Buffer
	for _, w := range []*bytes.Buffer{&out, &again} {
		if _, err := doc.Isolate(context.Background(), w, sel, opt); err != nil {
			t.Fatalf("isolating: %v", err)
		}
	}
	if !bytes.Equal(out.Bytes(), again.Bytes()) {
		t.Error("two runs differ")
	}
	if err := Verify(context.Background(), bytes.NewReader(out.Bytes()), doc, sel, opt); err != nil {
		t.Errorf("verifying: %v", err)
	}
	return out.Bytes()
}

// rewritten writes a plain file anew, so that equal objects give equal bytes.
func rewritten(t *testing.T, file []byte) []byte {
	t.Helper()
	doc, err := pdf.Open(context.Background(), bytes.NewReader(file), pdf.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if _, err := doc.Edit().Write(context.Background(), &out); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// TestIsolateEncrypted isolates files encrypted by qpdf. The result is
// encrypted in the same way, holds what isolating the decrypted file gives,
// and is drawn as that; without the encryption it is that, byte for byte.
func TestIsolateEncrypted(t *testing.T) {
	testpdf.Tool(t, "qpdf")
	for name, s := range encryptedSubjects(t) {
		if testing.Short() && name == "skirt" {
			continue
		}
		for _, e := range encryptions {
			t.Run(name+"/"+e.name, func(t *testing.T) {
				file := encrypt(t, s.file, e.user, "owner", e.args...)
				want := isolateTwice(t, open(t, decrypt(t, file, "owner")), s.sel, nil)
				sealed := isolateTwice(t, openWith(t, file, e.user), s.sel, nil)
				if byOwner := isolateTwice(t, openWith(t, file, "owner"), s.sel, nil); !bytes.Equal(sealed, byOwner) {
					t.Error("the password that opened the file makes a difference")
				}
				qpdf(t, sealed, "--check", "--password="+e.user, "IN")
				for _, password := range []string{e.user, "owner"} {
					if got := rewritten(t, decrypt(t, sealed, password)); !bytes.Equal(got, rewritten(t, want)) {
						t.Errorf("with %q the result is not the isolation of the decrypted file", password)
					}
				}
				checkEncryption(t, file, sealed, e.user, e.cipher, e.bits)
				if got := isolateTwice(t, openWith(t, file, "owner"), s.sel, &IsolateOptions{Decrypt: true}); !bytes.Equal(got, want) {
					t.Error("decrypted, the result is not the isolation of the decrypted file")
				}
				if name == "skirt" {
					sameDrawn(t, sealed, want)
				}
			})
		}
	}
}

// checkEncryption compares what qpdf says of two files, and what we say.
func checkEncryption(t *testing.T, was, is []byte, user, cipher string, bits int) {
	t.Helper()
	opened := "user"
	if user == "" {
		opened = ""
	}
	want := Encryption{Cipher: cipher, Bits: bits, Opened: opened, MayChange: true}
	if e := openWith(t, is, user).Encryption(); e == nil || *e != want {
		t.Errorf("encryption %+v, want %+v", e, want)
	}
	if a, b := encryptionOf(t, was, user), encryptionOf(t, is, user); a != b {
		t.Errorf("encryption was\n%sis\n%s", a, b)
	}
}

// encryptionOf is what qpdf says of the encryption of a file.
func encryptionOf(t *testing.T, file []byte, password string) string {
	t.Helper()
	in := filepath.Join(t.TempDir(), "in.pdf")
	if err := os.WriteFile(in, file, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("qpdf", "--show-encryption", "--password="+password, in).Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// sameDrawn has Poppler draw an encrypted file, opened by its owner, and a plain one.
func sameDrawn(t *testing.T, sealed, plain []byte) {
	t.Helper()
	testpdf.Tool(t, "pdftocairo")
	dir := t.TempDir()
	var drawn [][]byte
	for _, f := range []struct {
		data []byte
		args []string
	}{{sealed, []string{"-opw", "owner"}}, {plain, nil}} {
		in, out := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "out")
		if err := os.WriteFile(in, f.data, 0o600); err != nil {
			t.Fatal(err)
		}
		args := append([]string{"-png", "-singlefile", "-r", "36"}, f.args...)
		if said, err := exec.Command("pdftocairo", append(args, in, out)...).CombinedOutput(); err != nil || len(said) > 0 {
			t.Fatalf("pdftocairo: %v\n%s", err, said)
		}
		img, err := os.ReadFile(out + ".png")
		if err != nil {
			t.Fatal(err)
		}
		drawn = append(drawn, img)
	}
	if !bytes.Equal(drawn[0], drawn[1]) {
		t.Error("the encrypted result is drawn in another way than the plain one")
	}
}

// TestIsolateForbidden: permissions that forbid changes are respected, whoever
// opens the file, but for the owner.
func TestIsolateForbidden(t *testing.T) {
	testpdf.Tool(t, "qpdf")
	s := encryptedSubjects(t)["small"]
	for _, args := range [][]string{
		{"40", "--modify=n"}, {"128", "--use-aes=n", "--modify=none"}, {"128", "--use-aes=y", "--modify=annotate"},
		{"256", "--modify-other=n"}, {"256", "--force-R5", "--modify=none"},
	} {
		for _, user := range []string{"", "user"} {
			t.Run(strings.Join(args, " ")+"/"+user, func(t *testing.T) {
				file := encrypt(t, s.file, user, "owner", args...)
				doc := openWith(t, file, user)
				if e := doc.Encryption(); e == nil || e.MayChange {
					t.Errorf("encryption %+v, want one that forbids changes", e)
				}
				if _, err := doc.Inspect(context.Background()); err != nil {
					t.Errorf("inspecting: %v", err)
				}
				var out bytes.Buffer
				var forbidden *PermissionError
				if _, err := doc.Isolate(context.Background(), &out, s.sel, nil); !errors.As(err, &forbidden) || out.Len() > 0 {
					t.Errorf("isolating wrote %d bytes and gives %v", out.Len(), err)
				}
				if err := doc.Switch(context.Background(), &out, s.sel); !errors.As(err, &forbidden) {
					t.Errorf("switching gives %v", err)
				}
				isolateTwice(t, openWith(t, file, "owner"), s.sel, nil)
			})
		}
	}
}

// TestDecryptForbidden: taking the encryption off takes the owner password,
// even where changes are allowed.
func TestDecryptForbidden(t *testing.T) {
	testpdf.Tool(t, "qpdf")
	s := encryptedSubjects(t)["small"]
	for _, user := range []string{"", "user"} {
		file := encrypt(t, s.file, user, "owner", "256")
		var forbidden *PermissionError
		_, err := openWith(t, file, user).Isolate(context.Background(), &bytes.Buffer{}, s.sel, &IsolateOptions{Decrypt: true})
		if !errors.As(err, &forbidden) {
			t.Errorf("user password %q: %v", user, err)
		}
	}
	// A plain file has nothing to take off.
	isolateTwice(t, open(t, s.file), s.sel, &IsolateOptions{Decrypt: true})
}

// TestOpenEncrypted: what opens a file, and what does not.
func TestOpenEncrypted(t *testing.T) {
	testpdf.Tool(t, "qpdf")
	file := encrypt(t, encryptedSubjects(t)["small"].file, "user", "owner", "256")
	for password, opened := range map[string]string{"user": "user", "owner": "owner"} {
		if e := openWith(t, file, password).Encryption(); e == nil || e.Opened != opened {
			t.Errorf("%q: %+v", password, e)
		}
	}
	for _, password := range []string{"", "wrong"} {
		if _, err := Open(context.Background(), bytes.NewReader(file), &OpenOptions{Password: password}); !errors.Is(err, ErrPassword) {
			t.Errorf("%q: %v, want ErrPassword", password, err)
		}
	}
	if e := open(t, encryptedSubjects(t)["small"].file).Encryption(); e != nil {
		t.Errorf("a plain file: %+v", e)
	}
}
