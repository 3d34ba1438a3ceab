package cli

import (
	"context"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/words"
	"github.com/sizeply/sizeply/layers/pattern"
)

// inside tells of a name that leads into an archive, such as bought.zip/A4/skirt.pdf:
// which archive that is, and which file in it. Both are "" for other names.
func inside(name string) (archive, file string) {
	if _, err := os.Stat(name); err == nil || name == stream {
		return "", ""
	}
	for i, r := range name {
		if r == '/' || r == filepath.Separator {
			if info, err := os.Stat(name[:i]); err == nil && isArchive(name[:i], info) {
				return name[:i], filepath.ToSlash(name[i+1:])
			}
		}
	}
	return "", ""
}

// onDisk is the file that a name is read from: of a name that leads into an archive,
// the archive.
func onDisk(name string) string {
	if archive, _ := inside(name); archive != "" {
		return archive
	}
	return name
}

// isArchive reports whether a file begins as an archive does.
func isArchive(name string, info os.FileInfo) bool {
	if !info.Mode().IsRegular() {
		return false
	}
	f, err := os.Open(name)
	if err != nil {
		return false
	}
	defer f.Close()
	return pattern.IsArchive(f)
}

// lookInto lists the files of an archive and lets use read of them.
func lookInto(name string, use func(*pattern.Archive) error) error {
	f, err := openFile(name)
	if err != nil {
		return err
	}
	defer f.Close()
	before, err := f.Stat()
	if err != nil {
		return plain(name, err)
	}
	archive, err := pattern.OpenArchive(f, before.Size())
	if err == nil {
		err = use(archive)
	}
	if changed(f, before) {
		err = errChanged
	}
	return in(name, err)
}

// unpack reads a file of an archive, which may have so many bytes at most.
func unpack(ctx context.Context, archive, file string, most int64) (data []byte, err error) {
	err = lookInto(archive, func(a *pattern.Archive) error {
		i := slices.IndexFunc(a.Files, func(f pattern.ArchiveFile) bool { return f.Name == path.Clean(file) })
		if i < 0 {
			var names []string
			for _, f := range a.Files {
				names = append(names, f.Name)
			}
			return &pattern.ArchiveError{File: file, Reason: "is not there; it holds " + words.List(names, 12)}
		}
		data, err = a.Files[i].Read(ctx, most)
		return err
	})
	return data, err
}

// expanded puts the PDF files of folders and archives in their place, and says what
// else an archive holds.
func (p *program) expanded(names []string) ([]string, error) {
	var list []string
	for _, name := range names {
		info, err := os.Stat(name)
		found := []string{name} // also one that is not there: opening it says so
		switch {
		case name == stream || err != nil:
		case info.IsDir():
			found, err = inFolder(name)
		case isArchive(name, info):
			found, err = p.inArchive(name)
		}
		if err != nil && len(found) == 0 {
			return nil, err
		}
		list = append(list, found...)
	}
	return list, nil
}

// inFolder are the PDF files of a folder, by name, without those of folders in it.
func inFolder(name string) (list []string, err error) {
	entries, err := os.ReadDir(name)
	if err != nil {
		return nil, plain(name, err)
	}
	for _, e := range entries {
		if !e.IsDir() && !strings.HasPrefix(e.Name(), ".") && strings.EqualFold(filepath.Ext(e.Name()), ".pdf") {
			list = append(list, filepath.Join(name, e.Name()))
		}
	}
	if len(list) == 0 {
		return nil, inf(name, "this is a folder without a PDF file; name a file, or the folder that has them")
	}
	return list, nil
}

// inArchive are the PDF files of an archive, by the names that lead to them.
func (p *program) inArchive(name string) (list []string, err error) {
	err = lookInto(name, func(a *pattern.Archive) error {
		for _, f := range a.PDFs() {
			list = append(list, name+"/"+f.Name)
		}
		if len(list) == 0 {
			return &pattern.ArchiveError{Reason: "holds no PDF file"}
		}
		p.leftInArchive(name, a)
		return nil
	})
	return list, err
}

// leftInArchive says what of an archive is no PDF file, and what to do about it.
func (p *program) leftInArchive(name string, a *pattern.Archive) {
	var rest []string
	for _, f := range a.Files {
		switch full := words.Printable(name + "/" + f.Name); {
		case f.Ends(".pdf"):
		case f.Ends(".yaml", ".yml", ".csv"):
			p.say("%s may be the size chart: --chart %s takes it, nothing else does.", full, full)
		case f.Ends(".zip", ".rar", ".7z"):
			p.say("%s is an archive in the archive and was not opened: unpack it, and give it by itself.", full)
		default:
			rest = append(rest, f.Name)
		}
	}
	if len(rest) > 0 {
		p.say("%s: no PDF files, and left alone: %s.", words.Printable(name), words.List(rest, 6))
	}
}

// entryStems are the names for what is made of files of archives: that of the file,
// with its folders where another input has it too.
func entryStems(inputs []string) map[string]string {
	count, stems := map[string]int{}, map[string]string{}
	for _, name := range inputs {
		count[strings.ToLower(stem(name))]++
	}
	for _, name := range inputs {
		stems[name] = stem(name)
		if _, file := inside(name); file != "" && count[strings.ToLower(stem(name))] > 1 {
			stems[name] = strings.ReplaceAll(path.Join(path.Dir(file), stem(file)), "/", "-")
		}
	}
	return stems
}
