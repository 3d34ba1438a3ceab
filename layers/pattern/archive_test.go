package pattern

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/layers"
)

// zipped is an archive of files by name, in their order; a name that ends in "/" is
// a folder.
func zipped(t testing.TB, files ...[2]string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, f := range files {
		out, err := w.CreateHeader(&zip.FileHeader{Name: f[0], Method: zip.Deflate})
		if err == nil {
			_, err = io.WriteString(out, f[1])
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestEntryNames: whatever an entry is called, its name leads nowhere out of the
// archive, and is there once.
func TestEntryNames(t *testing.T) {
	tests := []struct{ entry, name string }{ // "" where it is left out
		{"skirt.pdf", "skirt.pdf"},
		{"Skirt/A4/skirt.pdf", "Skirt/A4/skirt.pdf"},
		{"../../etc/skirt.pdf", "etc/skirt.pdf"},
		{"/etc/skirt.pdf", "etc/skirt.pdf"},
		{`C:\Users\me\skirt.pdf`, "Users/me/skirt.pdf"},
		{`C:/skirt.pdf`, "skirt.pdf"},
		{`\\server\share\skirt.pdf`, "server/share/skirt.pdf"},
		{`..\..\skirt.pdf`, "skirt.pdf"},
		{"a/./b//skirt.pdf", "a/b/skirt.pdf"},
		{"a/.. /skirt.pdf", "a/skirt.pdf"},
		{"Gr\xf6\xdfe.pdf", "Gr_e.pdf"},
		{"Größe 38.pdf", "Größe 38.pdf"},
		{"__MACOSX/._skirt.pdf", ""},
		{"Skirt/.DS_Store", ""},
		{"Skirt/Thumbs.db", ""},
		{".hidden/skirt.pdf", ""},
		{"..", ""},
		{"/", ""},
		{"", ""},
		{"Skirt/", ""},
		{`Skirt\`, ""},
		{strings.Repeat("x", 2000) + ".pdf", strings.Repeat("x", 1020) + ".pdf"},
	}
	for _, tt := range tests {
		data := zipped(t, [2]string{tt.entry, ""})
		a, err := OpenArchive(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			t.Errorf("%q: %v", tt.entry, err)
			continue
		}
		var names []string
		for _, f := range a.Files {
			names = append(names, f.Name)
		}
		if got := strings.Join(names, "|"); len(names) > 1 || got != tt.name {
			t.Errorf("%q is %q, want %q", tt.entry, got, tt.name)
		}
	}
	data := zipped(t, [2]string{"skirt.pdf", "1"}, [2]string{"SKIRT.pdf", "2"}, [2]string{"a/../skirt.pdf", "3"},
		[2]string{"skirt (2).pdf", "4"})
	a, err := OpenArchive(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, f := range a.Files {
		if key := strings.ToLower(f.Name); seen[key] {
			t.Errorf("%s is there twice", f.Name)
		} else {
			seen[key] = true
		}
	}
	if len(a.Files) != 4 {
		t.Errorf("there are %d files", len(a.Files))
	}
}

// badArchives are archives that were made to do harm, and those that are broken.
func badArchives(t testing.TB) []struct {
	name string
	data []byte
	says string // at opening, or reading the first PDF file; "" for an archive that can be read
} {
	whole := zipped(t, [2]string{"skirt.pdf", strings.Repeat("%PDF-1.7 drawing ", 999)})
	var many [][2]string
	for i := range maxArchiveFiles + 1 {
		many = append(many, [2]string{fmt.Sprintf("%d.pdf", i), ""})
	}
	entry := func(change func(local, central []byte)) []byte {
		data := slices.Clone(whole)
		change(data, data[bytes.Index(data, []byte("PK\x01\x02")):])
		return data
	}
	le := binary.LittleEndian
	return []struct {
		name string
		data []byte
		says string
	}{
		{"whole", whole, ""},
		{"no archive", []byte("PK\x03\x04 and no more"), "cannot be read"},
		{"empty", zipped(t), ""},
		{"cut short", whole[:len(whole)-30], "cannot be read"},
		{"too many files", zipped(t, many...), "lists more than the 10000 files"},
		{"a bomb", zipped(t, [2]string{"skirt.pdf", strings.Repeat("\x00", archiveSlack+1<<20)}), "made to fill memory"},
		{"a wrong size, larger", entry(func(_, central []byte) { le.PutUint32(central[24:], 999_999) }), "is damaged"},
		{"a wrong size, smaller", entry(func(_, central []byte) { le.PutUint32(central[24:], 9) }), "is damaged"},
		{"a size of 4 GiB", entry(func(_, central []byte) { le.PutUint32(central[24:], 1<<32-2) }), "passes the limit"},
		{"a wrong checksum", entry(func(_, central []byte) { central[16]++ }), "is damaged"},
		{"data that is damaged", entry(func(local, _ []byte) { local[45] ^= 0xff; local[46] ^= 0xff }), "is damaged"},
		{"a header elsewhere", entry(func(_, central []byte) { le.PutUint32(central[42:], 1<<30) }), "is damaged"},
		{"a file that is locked", entry(func(_, central []byte) { central[8] |= 1 }), "locked with the password of the archive"},
		{"packed by another method", entry(func(_, central []byte) { central[10] = 93 }), "packed in a way"},
	}
}

// TestBadArchives: what is wrong with an archive ends in a sentence.
func TestBadArchives(t *testing.T) {
	for _, tt := range badArchives(t) {
		err := readArchive(tt.data)
		switch {
		case tt.says == "" && err != nil:
			t.Errorf("%s: %v", tt.name, err)
		case tt.says != "" && (err == nil || !strings.Contains(err.Error(), tt.says)):
			t.Errorf("%s: got %v, want %q", tt.name, err, tt.says)
		case err != nil && !errors.Is(err, layers.ErrBadFile) && !errors.Is(err, layers.ErrTooLarge):
			t.Errorf("%s: %v is sorted as nothing", tt.name, err)
		}
	}
}

// readArchive opens an archive and reads its PDF files; the first error counts.
func readArchive(data []byte) error {
	a, err := OpenArchive(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return err
	}
	for _, f := range a.PDFs() {
		got, err := f.Read(context.Background(), 64<<20)
		if err != nil {
			return err
		}
		if int64(len(got)) != f.Size {
			return fmt.Errorf("%s has %d bytes, not %d", f.Name, len(got), f.Size)
		}
	}
	return nil
}

// TestTotalOfArchive: files that each are small enough may be too much together.
func TestTotalOfArchive(t *testing.T) {
	var files [][2]string
	for i := range 9 {
		files = append(files, [2]string{fmt.Sprintf("%d.pdf", i), "x"})
	}
	data := zipped(t, files...)
	for at := 0; ; at += 4 { // declare 512 MiB for each
		i := bytes.Index(data[at:], []byte("PK\x01\x02"))
		if i < 0 {
			break
		}
		at += i
		binary.LittleEndian.PutUint32(data[at+24:], 512<<20)
	}
	if err := readArchive(data); err == nil || !strings.Contains(err.Error(), "unpacks to more than") {
		t.Errorf("got %v", err)
	}
}

func TestReadArchiveEnds(t *testing.T) {
	data := zipped(t, [2]string{"skirt.pdf", strings.Repeat("drawing", 1<<20)})
	a, err := OpenArchive(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := a.Files[0].Read(ctx, 64<<20); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	var limit *layers.LimitError
	if _, err := a.Files[0].Read(context.Background(), 1000); !errors.As(err, &limit) || limit.Bound != 1000 {
		t.Errorf("got %v", err)
	}
}

// FuzzArchive: an archive from anybody is read, or refused in a sentence, and no
// name leads out of it.
func FuzzArchive(f *testing.F) {
	for _, tt := range badArchives(f) {
		if len(tt.data) < 1<<16 {
			f.Add(tt.data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		a, err := OpenArchive(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			return
		}
		for _, file := range a.Files {
			for _, part := range strings.Split(file.Name, "/") {
				if part == "" || part == "." || part == ".." || strings.Contains(part, `\`) {
					t.Errorf("a file is called %q", file.Name)
				}
			}
			if got, err := file.Read(context.Background(), 1<<20); err == nil && int64(len(got)) != file.Size {
				t.Errorf("%q has %d bytes, not %d", file.Name, len(got), file.Size)
			}
		}
	})
}
