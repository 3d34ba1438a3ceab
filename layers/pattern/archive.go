package pattern

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers"
)

// What an archive may have at most. Patterns have some ten files; what passes these
// was made to keep its reader busy or to fill memory.
const (
	maxArchiveFiles     = 10_000
	maxArchiveDirectory = 8 << 20 // bytes that list the files
	maxArchiveBytes     = 4 << 30 // of all files, unpacked
	// maxArchiveRatio is how many times smaller a file may be packed than unpacked,
	// where it has more than archiveSlack bytes. Drawings pack to a fifth or so.
	maxArchiveRatio = 200
	archiveSlack    = 16 << 20
	maxArchiveName  = 1024 // bytes of a file's name
)

// archiveHeads are how archives begin: with a file, or without any.
var archiveHeads = [][]byte{[]byte("PK\x03\x04"), []byte("PK\x05\x06")}

// An Archive is a ZIP, as patterns are sold. Nothing of it is written anywhere:
// its files are read one at a time.
type Archive struct {
	// Files are the files that a person put there, in the order of the archive:
	// without folders, hidden files and what systems add (__MACOSX, Thumbs.db).
	Files []ArchiveFile
}

// An ArchiveFile is a file in an Archive.
type ArchiveFile struct {
	// Name is the path in the archive, with "/" between folders. It leads nowhere out
	// of the archive, and no two files of one archive have the same.
	Name string
	// Size is how many bytes the archive says the file has.
	Size int64

	entry *zip.File
}

// An ArchiveError says that an archive, or a file in it, cannot be read.
type ArchiveError struct {
	File   string // in the archive, "" where all of it is meant
	Reason string // why, and what to do
}

func (e *ArchiveError) Error() string {
	if e.File == "" {
		return "the archive " + e.Reason
	}
	return fmt.Sprintf("%s in the archive %s", words.Printable(e.File), e.Reason)
}

// Is reports whether target is [layers.ErrBadFile].
func (*ArchiveError) Is(target error) bool { return target == layers.ErrBadFile }

// IsArchive reports whether a file begins as an archive does.
func IsArchive(in io.ReaderAt) bool {
	head := make([]byte, len(archiveHeads[0]))
	if n, err := in.ReadAt(head, 0); n < len(head) || err != nil && err != io.EOF {
		return false
	}
	return bytes.Equal(head, archiveHeads[0]) || bytes.Equal(head, archiveHeads[1])
}

// OpenArchive lists the files of an archive of that many bytes, in which they stay:
// in has to stay open while they are read. It gives an *ArchiveError for what is no
// archive, or has more than a pattern may have.
func OpenArchive(in io.ReaderAt, size int64) (*Archive, error) {
	listing := &boundedReader{in: in, left: maxArchiveDirectory}
	z, err := zip.NewReader(listing, size)
	switch {
	case listing.passed, err == nil && len(z.File) > maxArchiveFiles:
		return nil, &ArchiveError{Reason: fmt.Sprintf("lists more than the %d files that a pattern may have: "+
			"unpack it by hand, if you trust where it is from", maxArchiveFiles)}
	case err != nil && !errors.Is(err, zip.ErrInsecurePath):
		return nil, &ArchiveError{Reason: "cannot be read, as when a download stops early: download it again"}
	}
	listing.open = true
	a, taken, total := &Archive{}, map[string]int{}, uint64(0)
	for _, entry := range z.File {
		name := entryName(entry.Name)
		if strings.HasSuffix(entry.Name, "/") || strings.HasSuffix(entry.Name, `\`) || isHidden(name) {
			continue
		}
		if total += min(entry.UncompressedSize64, maxArchiveBytes+1); total > maxArchiveBytes {
			return nil, &ArchiveError{Reason: fmt.Sprintf("unpacks to more than the %d bytes that a pattern may have",
				int64(maxArchiveBytes))}
		}
		name = alone(name, taken)
		a.Files = append(a.Files, ArchiveFile{Name: name, Size: int64(entry.UncompressedSize64), entry: entry})
	}
	return a, nil
}

// PDFs are the files whose names end in .pdf.
func (a *Archive) PDFs() (list []ArchiveFile) {
	for _, f := range a.Files {
		if f.Ends(".pdf") {
			list = append(list, f)
		}
	}
	return list
}

// Ends reports whether the name of a file has one of some endings, such as ".pdf",
// whatever the case.
func (f *ArchiveFile) Ends(endings ...string) bool {
	for _, e := range endings {
		if strings.EqualFold(path.Ext(f.Name), e) {
			return true
		}
	}
	return false
}

// Read unpacks a file, which may have so many bytes at most. It gives a
// *[layers.LimitError] for a larger one, and an *ArchiveError for one that is locked
// with a password or damaged, that is packed in an unusual way or was made to fill
// memory.
func (f *ArchiveFile) Read(ctx context.Context, most int64) ([]byte, error) {
	wrong := func(reason string) error { return &ArchiveError{File: f.Name, Reason: reason} }
	const locked, sealed = 1 << 0, 1 << 6 // APPNOTE.TXT 6.3.10, 4.4.4
	switch {
	case f.entry.Flags&(locked|sealed) != 0:
		return nil, wrong("is locked with the password of the archive: unpack the archive with it " +
			"by the program for archives of your system, and give the PDF file")
	case f.entry.Method != zip.Store && f.entry.Method != zip.Deflate:
		return nil, wrong("is packed in a way that is not supported: unpack the archive " +
			"by the program for archives of your system, and give the PDF file")
	case f.entry.UncompressedSize64 > uint64(most):
		return nil, &layers.LimitError{Limit: layers.LimitFileBytes, Bound: most}
	case f.Size > archiveSlack && f.entry.UncompressedSize64/maxArchiveRatio > f.entry.CompressedSize64:
		return nil, wrong("unpacks to far more than a drawing does, as files do that are made to fill memory: " +
			"unpack it by hand, if you trust where it is from")
	}
	const damaged = "is damaged: download the archive again"
	in, err := f.entry.Open()
	if err != nil {
		return nil, wrong(damaged)
	}
	defer in.Close()
	var data bytes.Buffer
	for {
		n, err := io.CopyN(&data, in, 1<<20)
		switch {
		case ctx.Err() != nil:
			return nil, context.Cause(ctx)
		case int64(data.Len()) > f.Size, err != nil && err != io.EOF:
			return nil, wrong(damaged)
		case err == io.EOF, n == 0:
			return data.Bytes(), nil
		}
	}
}

// boundedReader reads so many bytes in all until it is open.
type boundedReader struct {
	in           io.ReaderAt
	left         int64
	open, passed bool
}

// ReadAt implements [io.ReaderAt].
func (r *boundedReader) ReadAt(b []byte, at int64) (int, error) {
	if !r.open {
		if r.left -= int64(len(b)); r.left < 0 {
			r.passed = true
			return 0, io.ErrUnexpectedEOF
		}
	}
	return r.in.ReadAt(b, at)
}

// entryName makes a path within the archive of the name of an entry, which may be
// anything: without a root, a drive and steps upwards, whatever the system it was
// written on.
func entryName(name string) string {
	name = strings.ToValidUTF8(strings.ReplaceAll(name, `\`, "/"), "_")
	var parts []string
	for i, part := range strings.Split(name, "/") {
		isDrive := i == 0 && len(part) == 2 && part[1] == ':'
		if part = strings.TrimSpace(part); part != "" && part != "." && part != ".." && !isDrive {
			parts = append(parts, part)
		}
	}
	name = strings.Join(parts, "/")
	if len(name) > maxArchiveName { // its end has the ending
		name = strings.TrimLeft(strings.ToValidUTF8(name[len(name)-maxArchiveName:], ""), "/")
	}
	return name
}

// isHidden reports whether a file is one that systems add, or that nobody sees.
func isHidden(name string) bool {
	for _, part := range strings.Split(name, "/") {
		switch {
		case part == "", strings.HasPrefix(part, "."), part == "__MACOSX",
			strings.EqualFold(part, "Thumbs.db"), strings.EqualFold(part, "desktop.ini"):
			return true
		}
	}
	return false
}

// alone gives a name that no other file has, whatever the case, and takes it. taken
// counts the files that wanted each name.
func alone(name string, taken map[string]int) string {
	ending, key := path.Ext(name), strings.ToLower(name)
	stem := strings.TrimSuffix(name, ending)
	for taken[strings.ToLower(name)] > 0 {
		taken[key]++
		name = fmt.Sprintf("%s (%d)%s", stem, taken[key], ending)
	}
	taken[strings.ToLower(name)]++
	return name
}
