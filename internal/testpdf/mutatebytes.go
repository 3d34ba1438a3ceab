package testpdf

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
)

// byteKinds damage the file as a bad disk or a broken download does.
var byteKinds = []kind{
	{"flipped", func(d *damage) bool {
		l := d.layout()
		for range 1 + d.IntN(8) {
			at := d.IntN(len(l.data))
			l.data[at] ^= byte(1 << d.IntN(8))
			d.note("bit at %d", at)
		}
		return true
	}},
	{"run deleted", func(d *damage) bool { return d.replaceRun(func([]byte) []byte { return nil }) }},
	{"run inserted", func(d *damage) bool {
		l := d.layout()
		at := d.IntN(len(l.data))
		l.data = slices.Insert(l.data, at, d.noise(1+d.IntN(30))...)
		return d.note("at %d", at)
	}},
	{"run overwritten", func(d *damage) bool { return d.replaceRun(func(run []byte) []byte { return d.noise(len(run)) }) }},
	{"run of zeros", func(d *damage) bool {
		return d.replaceRun(func(run []byte) []byte { return make([]byte, len(run)) })
	}},
	{"run doubled", func(d *damage) bool {
		return d.replaceRun(func(run []byte) []byte { return append(bytes.Clone(run), run...) })
	}},
	{"end cut off", func(d *damage) bool {
		l := d.layout()
		l.data = l.data[:len(l.data)-1-d.IntN(len(l.data)/2)]
		return d.note("at %d", len(l.data))
	}},
}

func (d *damage) noise(n int) []byte {
	out := make([]byte, n)
	for i := range out {
		out[i] = byte(d.IntN(256))
	}
	return out
}

// replaceRun replaces up to 60 bytes anywhere.
func (d *damage) replaceRun(with func([]byte) []byte) bool {
	l := d.layout()
	at := d.IntN(len(l.data))
	end := min(at+1+d.IntN(60), len(l.data))
	d.note("%d bytes at %d", end-at, at)
	l.data = slices.Replace(l.data, at, end, with(bytes.Clone(l.data[at:end]))...)
	return true
}

// tokenKinds damage words of the file's text, also in streams that are not
// compressed.
var tokenKinds = []kind{
	{"number changed", func(d *damage) bool {
		return d.replaceWord(func(w []byte) bool { return number(w) }, func(w []byte) []byte {
			n, _ := strconv.Atoi(string(w))
			return []byte(strconv.Itoa(pick(d, []int{n + 1, n - 1, n * 10, -n, 0, n + 1000, 65536, 2147483648})))
		})
	}},
	{"number replaced by another", func(d *damage) bool { return d.replaceWord(number, func([]byte) []byte { return d.word(number) }) }},
	{"word removed", func(d *damage) bool { return d.replaceWord(letters, func([]byte) []byte { return nil }) }},
	{"word replaced by another", func(d *damage) bool { return d.replaceWord(letters, func([]byte) []byte { return d.word(letters) }) }},
	{"name replaced by another", func(d *damage) bool { return d.replaceWord(named, func([]byte) []byte { return d.word(named) }) }},
	{"name misspelt", func(d *damage) bool {
		return d.replaceWord(named, func(w []byte) []byte { return append(bytes.Clone(w), 'x') })
	}},
	{"delimiter removed", func(d *damage) bool {
		l := d.layout()
		var at []int
		for i, c := range l.data {
			if bytes.IndexByte([]byte("()<>[]/"), c) >= 0 {
				at = append(at, i)
			}
		}
		i := pick(d, at)
		d.note("%c at %d", l.data[i], i)
		l.data = slices.Delete(l.data, i, i+1)
		return true
	}},
}

func number(w []byte) bool  { _, err := strconv.Atoi(string(w)); return err == nil }
func named(w []byte) bool   { return len(w) > 1 && w[0] == '/' }
func letters(w []byte) bool { return w[0] >= 'A' && w[0] <= 'Z' || w[0] >= 'a' && w[0] <= 'z' }

// words are the places of all words of a kind: runs of regular characters, of a
// name with its slash.
func (d *damage) words(is func([]byte) bool) [][2]int {
	data := d.layout().data
	var list [][2]int
	for i := 0; i < len(data); i++ {
		end := i
		if data[end] == '/' {
			end++
		}
		for end < len(data) && isRegular(data[end]) && data[end] < 0x80 {
			end++
		}
		if end > i && is(data[i:end]) {
			list = append(list, [2]int{i, end})
		}
		i = max(i, end-1)
	}
	return list
}

func (d *damage) word(is func([]byte) bool) []byte {
	w := pick(d, d.words(is))
	return bytes.Clone(d.layout().data[w[0]:w[1]])
}

func (d *damage) replaceWord(is func([]byte) bool, with func([]byte) []byte) bool {
	list := d.words(is)
	if len(list) == 0 {
		return false
	}
	w, l := pick(d, list), d.layout()
	was := string(l.data[w[0]:w[1]])
	now := with([]byte(was))
	if was == string(now) {
		return false
	}
	d.note("%s becomes %q at %d", was, now, w[0])
	l.data = slices.Replace(l.data, w[0], w[1], now...)
	return true
}

// rowKinds damage cross-reference entries: their offsets and generations, and
// of streams the object stream and the index that they name.
var rowKinds = []kind{
	{"two exchanged", func(d *damage) bool { return d.exchangeRows(1) }},
	{"shifted", func(d *damage) bool {
		return d.changeRow(1, func(num int, e *[3]int) { e[1] += pick(d, []int{-20, -3, -2, -1, 1, 2, 3, 9, 20}) })
	}},
	{"at another object", func(d *damage) bool {
		return d.changeRow(1, func(num int, e *[3]int) { e[1] = d.layout().entry(d.row(1))[1] })
	}},
	{"in the middle of another object", func(d *damage) bool {
		return d.changeRow(1, func(num int, e *[3]int) {
			other := d.row(1)
			e[1] = d.layout().entry(other)[1] + 5 + d.IntN(40)
		})
	}},
	{"beyond the end", func(d *damage) bool {
		return d.changeRow(1, func(num int, e *[3]int) { e[1] = len(d.layout().data) + d.IntN(5000) })
	}},
	{"at zero", func(d *damage) bool { return d.changeRow(1, func(num int, e *[3]int) { e[1] = 0 }) }},
	{"generation changed", func(d *damage) bool { return d.changeRow(1, func(num int, e *[3]int) { e[2] = 1 + d.IntN(3) }) }},
	{"free", func(d *damage) bool { return d.changeRow(1, func(num int, e *[3]int) { e[0] = 0 }) }},
	{"index changed", func(d *damage) bool {
		return d.changeRow(2, func(num int, e *[3]int) { e[2] = d.IntN(len(d.layout().heads) + 2) })
	}},
	{"two indexes exchanged", func(d *damage) bool { return d.exchangeRows(2) }},
	{"another object stream", func(d *damage) bool {
		return d.changeRow(2, func(num int, e *[3]int) { e[1] = pick(d, []int{d.row(1), num, 0, 9999}) })
	}},
	{"packed becomes an offset", func(d *damage) bool {
		return d.changeRow(2, func(num int, e *[3]int) { *e = [3]int{1, d.layout().entry(d.row(1))[1], 0} })
	}},
	{"packed becomes free", func(d *damage) bool { return d.changeRow(2, func(num int, e *[3]int) { e[0] = 0 }) }},
	{"startxref elsewhere", func(d *damage) bool {
		l := d.layout()
		if d.touched {
			return false
		}
		end := bytes.IndexByte(l.data[l.start:], '\n') + l.start
		was, _ := strconv.Atoi(string(l.data[l.start:end]))
		now := pick(d, []int{0, was - 1, was + 1, was - 10, was + 7, len(l.data) + 100, l.entry(d.row(1))[1]})
		l.data = slices.Replace(l.data, l.start, end, []byte(strconv.Itoa(now))...)
		return d.note("%d becomes %d", was, now)
	}},
	{"all moved by one number", func(d *damage) bool {
		l := d.layout()
		if l.stream || d.touched {
			return false
		}
		head := bytes.LastIndex(l.data[:l.rows[1]], []byte("xref\n0 "))
		l.data[head+len("xref\n")] = '1'
		return true
	}},
}

// row gives the number of an object whose entry is of a type, 0 for none.
func (d *damage) row(kind int) int {
	l := d.layout()
	var list []int
	if d.touched {
		return 0 // rows may stand elsewhere
	}
	for num := range len(l.rows) {
		if l.entry(num)[0] == kind {
			list = append(list, num)
		}
	}
	if len(list) == 0 {
		return 0
	}
	return pick(d, list)
}

func (d *damage) changeRow(kind int, change func(num int, e *[3]int)) bool {
	num := d.row(kind)
	if num == 0 {
		return false
	}
	e := d.layout().entry(num)
	was := e
	change(num, &e)
	e[1] = max(e[1], 0)
	d.layout().setEntry(num, e)
	return e != was && d.note("object %d: %v becomes %v", num, was, e)
}

// packedKinds damage the header of the object stream.
var packedKinds = []kind{
	{"two numbers exchanged", func(d *damage) bool {
		return d.changePairs(func(a, b *[2]int) { a[0], b[0] = b[0], a[0] })
	}},
	{"two offsets exchanged", func(d *damage) bool {
		return d.changePairs(func(a, b *[2]int) { a[1], b[1] = b[1], a[1] })
	}},
	{"number of another", func(d *damage) bool { return d.changePairs(func(a, b *[2]int) { a[0] = b[0] }) }},
	{"number of none", func(d *damage) bool { return d.changePairs(func(a, b *[2]int) { a[0] = 9000 + d.IntN(9) }) }},
	{"offset of another", func(d *damage) bool { return d.changePairs(func(a, b *[2]int) { a[1] = b[1] }) }},
	{"offset shifted", func(d *damage) bool {
		return d.changePairs(func(a, b *[2]int) { a[1] = max(a[1]+pick(d, []int{-2, -1, 1, 2, 5}), 0) })
	}},
	{"offset beyond the end", func(d *damage) bool { return d.changePairs(func(a, b *[2]int) { a[1] += 1000000 }) }},
	{"N changed", func(d *damage) bool { return d.changeEntry("/N ") }},
	{"First changed", func(d *damage) bool { return d.changeEntry("/First ") }},
}

// packs reports whether the header of an object stream stands where it was
// written.
func (d *damage) packs() bool {
	l := d.layout()
	return len(l.heads) > 1 && !d.touched
}

func (d *damage) changePairs(change func(a, b *[2]int)) bool {
	if !d.packs() {
		return false
	}
	l := d.layout()
	i, k := d.IntN(len(l.heads)), d.IntN(len(l.heads))
	var a, b [2]int
	a[0], a[1] = l.pair(i)
	b[0], b[1] = l.pair(k)
	was := fmt.Sprintf("%d at %d", a[0], a[1])
	change(&a, &b)
	l.setPair(k, b[0], b[1])
	l.setPair(i, a[0], a[1])
	return i != k && d.note("%s becomes %d at %d, with %d", was, a[0], a[1], b[0])
}

// changeEntry changes a number of the object stream's dictionary.
func (d *damage) changeEntry(key string) bool {
	if !d.packs() {
		return false
	}
	l := d.layout()
	at := bytes.Index(l.data[l.offsets[l.packedAt]:], []byte(key)) + l.offsets[l.packedAt] + len(key)
	end := at
	for isRegular(l.data[end]) {
		end++
	}
	was, _ := strconv.Atoi(string(l.data[at:end]))
	now := pick(d, []int{0, was - 1, was + 1, was / 2, was * 2, 100000})
	l.data = slices.Replace(l.data, at, end, []byte(strconv.Itoa(now))...)
	return d.note("%s %d becomes %d", key, was, now)
}

// exchangeRows exchanges two cross-reference entries of a kind.
func (d *damage) exchangeRows(kind int) bool {
	a, b := d.row(kind), d.row(kind)
	l := d.layout()
	if a == 0 || a == b {
		return false
	}
	x, y := l.entry(a), l.entry(b)
	l.setEntry(a, y)
	l.setEntry(b, x)
	return d.note("%d and %d", a, b)
}
