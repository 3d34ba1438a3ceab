package pdf

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// TestEncryptedFiles has qpdf encrypt other people's files, each in one of
// several ways, writes them without a change, and has qpdf decrypt what was
// written: that is what it decrypts from its own file. Without SIZEPLY_LONG=1
// it takes some files.
func TestEncryptedFiles(t *testing.T) {
	qpdf := tool(t, "qpdf")
	ways := [][]string{
		{"40"}, {"128", "--use-aes=n"}, {"128", "--use-aes=n", "--force-V4"}, {"128", "--use-aes=y"},
		{"128", "--use-aes=y", "--cleartext-metadata"}, {"256", "--force-R5"}, {"256"}, {"256", "--cleartext-metadata"},
	}
	var y tally
	t.Run("files", func(t *testing.T) {
		for i, file := range sample(corpusFiles(t)) {
			if !long() && i%9 > 0 {
				continue
			}
			t.Run(filepath.Base(file), func(t *testing.T) {
				t.Parallel()
				way := ways[i/9%len(ways)]
				if long() {
					way = ways[i%len(ways)]
				}
				encryptFile(t, qpdf, file, way, &y)
			})
		}
	})
	if y.counts["the same"] == 0 {
		t.Error("no file was compared")
	}
	y.log(t)
}

func encryptFile(t *testing.T, qpdf, file string, way []string, y *tally) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	run := func(args ...string) error { return exec.Command(qpdf, args...).Run() }
	args := append([]string{"--allow-weak-crypto", "--stream-data=preserve", "--encrypt", "user", "owner"}, way...)
	if run(append(args, "--", file, at("sealed.pdf"))...) != nil {
		y.add("not encrypted by qpdf", file, "")
		return
	}
	decrypt := func(from, to string) []byte {
		if err := run("--password=user", "--stream-data=preserve", "--decrypt", at(from), at(to)); err != nil {
			t.Errorf("qpdf decrypts %s: %v", from, err)
		}
		data, err := os.ReadFile(at(to))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	sealed, err := os.ReadFile(at("sealed.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	out, _ := write(t, openWith(t, sealed, "user").Edit())
	if err := os.WriteFile(at("out.pdf"), out, 0o600); err != nil {
		t.Fatal(err)
	}
	want, _ := write(t, open(t, decrypt("sealed.pdf", "want.pdf")).Edit())
	got, _ := write(t, open(t, decrypt("out.pdf", "got.pdf")).Edit())
	if bytes.Contains(want, []byte("DocTimeStamp")) || bytes.Contains(sealed, []byte("DocTimeStamp")) {
		// qpdf 11.3.0 encrypts their Contents, which are no string to encrypt
		// by ISO 32000-2, 7.6.2, any more than those of other signatures.
		y.add("left out", file, "qpdf encrypts what it should not")
		return
	}
	if !bytes.Equal(want, got) {
		t.Errorf("encrypted with %v: what was written differs", way)
	}
	y.add("the same", file, "")
}
