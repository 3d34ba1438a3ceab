package pdf

// Limits bounds the work on one file. A field of zero or less takes the
// default; passing a limit gives a *failure.LimitError.
type Limits struct {
	// FileBytes bounds the size of the file, which stays in memory: 512 MiB by
	// default.
	FileBytes int64
	// StreamBytes bounds the decoded bytes of one stream, after each of its
	// filters: 256 MiB by default.
	StreamBytes int64
	// PageBytes bounds the decoded bytes of the contents of one page: 256 MiB
	// by default. A page may name one stream many times.
	PageBytes int64
	// ContentBytes bounds the decoded bytes of all content together that is filtered:
	// those of each page, and of each form as often as it is filtered for another
	// state. By default it is 256 MiB, PageBytes or 16 times the bytes of the
	// file, whichever is most: see [Limits.ForFile]. A file that is made to keep a
	// reader busy is small, a sound one with much to draw is large.
	ContentBytes int64
	// ObjectBytes bounds the text of all objects but stream data, which
	// grows some twenty times when it is read: 128 MiB by default.
	ObjectBytes int64
	// Objects bounds the number of objects: 2,000,000 by default; pages may be a
	// twentieth of that, and are a hundred at least.
	Objects int
	// Cores is how many cores one call works on: all by default. It bounds goroutines:
	// with one, all is done in that of the caller.
	Cores int
}

// pages bounds the number of pages. One object may be all of them.
func (l Limits) pages() int { return max(100, l.Objects/20) }

// Content is ContentBytes, or its default for a small file.
func (l Limits) Content() int64 { return l.withDefaults().ContentBytes }

// ForFile returns l for a file of size bytes, by which the default of ContentBytes
// grows.
func (l Limits) ForFile(size int64) Limits {
	setDefault(&l.ContentBytes, max(l.Content(), contentOfFile*size))
	return l
}

const (
	// maxNumber is the highest object number: the limit of Table C.1. A
	// higher one in a file is a mistake or an attack.
	maxNumber = 8388607
	// maxNesting bounds arrays and dictionaries inside each other, so that
	// everything that walks an object may recurse.
	maxNesting = 256
	// contentOfFile is how many bytes of content a byte of the file may hold by
	// default. Content of numbers deflates to a third or a fifth.
	contentOfFile = 16
	// maxWarnings bounds the list of warnings of one file.
	maxWarnings = 50
)

// withDefaults returns l with the default for each field that is not set.
func (l Limits) withDefaults() Limits {
	setDefault(&l.FileBytes, 512<<20)
	setDefault(&l.StreamBytes, 256<<20)
	setDefault(&l.PageBytes, 256<<20)
	setDefault(&l.ContentBytes, max(256<<20, l.PageBytes))
	setDefault(&l.ObjectBytes, 128<<20)
	setDefault(&l.Objects, 2_000_000)
	return l
}

func setDefault[N int | int64](field *N, value N) {
	if *field <= 0 {
		*field = value
	}
}
