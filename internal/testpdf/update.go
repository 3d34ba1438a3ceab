package testpdf

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strconv"
)

// bytes appends the update to the original: the changed objects and a
// cross-reference section of the kind of the file's last one. Where the file's
// own tables are broken, the section lists every object of the file and
// follows none.
func (u *update) bytes() []byte {
	b := bytes.NewBuffer(slices.Clone(u.f.data))
	b.WriteString("\n")
	offsets := map[int]int{}
	if u.f.start < 0 {
		u.adopt(offsets)
	}
	for _, num := range slices.Sorted(maps.Keys(u.objects)) {
		offsets[num] = b.Len() - u.f.base
		fmt.Fprintf(b, "%d %d obj\n", num, u.f.places[num].generation())
		write(b, u.objects[num])
		b.WriteString("\nendobj\n")
	}
	start := b.Len() - u.f.base
	if u.f.streams {
		u.writeStreamSection(b, offsets)
	} else {
		u.writeTable(b, offsets)
	}
	fmt.Fprintf(b, "startxref\n%d\n%%%%EOF\n", start)
	return b.Bytes()
}

// adopt takes all objects of a scanned file into the update: plain ones by
// their offset, those in object streams as plain copies.
func (u *update) adopt(offsets map[int]int) {
	for num, p := range u.f.places {
		if p.container == 0 {
			offsets[num] = p.offset
		} else if u.objects[num] == nil {
			u.objects[num] = u.f.get(num)
		}
	}
}

func (u *update) trailer() dict {
	t := dict{"Size": atom(strconv.Itoa(u.free))}
	for _, k := range []name{"Root", "Info", "ID"} {
		if v, ok := u.f.trailer[k]; ok {
			t[k] = v
		}
	}
	if u.f.start >= 0 {
		t["Prev"] = atom(strconv.Itoa(u.f.start))
	}
	return t
}

func (u *update) writeTable(b *bytes.Buffer, offsets map[int]int) {
	b.WriteString("xref\n")
	if u.f.start < 0 {
		b.WriteString("0 1\n0000000000 65535 f \n")
	}
	for _, run := range runs(offsets) {
		fmt.Fprintf(b, "%d %d\n", run[0], len(run))
		for _, num := range run {
			fmt.Fprintf(b, "%010d %05d n \n", offsets[num], u.f.places[num].generation())
		}
	}
	b.WriteString("trailer\n")
	write(b, u.trailer())
	b.WriteString("\n")
}

// writeStreamSection writes an uncompressed cross-reference stream, which
// lists itself.
func (u *update) writeStreamSection(b *bytes.Buffer, offsets map[int]int) {
	self := u.free
	u.free++
	offsets[self] = b.Len() - u.f.base
	var rows []byte
	var index array
	for _, run := range runs(offsets) {
		index = append(index, atom(strconv.Itoa(run[0])), atom(strconv.Itoa(len(run))))
		for _, num := range run {
			at, gen := offsets[num], u.f.places[num].generation()
			rows = append(rows, 1, byte(at>>24), byte(at>>16), byte(at>>8), byte(at), byte(gen>>8), byte(gen))
		}
	}
	d := u.trailer()
	d["Type"], d["Index"] = name("XRef"), index
	d["W"] = array{atom("1"), atom("4"), atom("2")}
	fmt.Fprintf(b, "%d 0 obj\n", self)
	write(b, &stream{d, rows})
	b.WriteString("\nendobj\n")
}

// runs groups the keys into runs of consecutive numbers.
func runs(offsets map[int]int) [][]int {
	var out [][]int
	for _, num := range slices.Sorted(maps.Keys(offsets)) {
		if last := len(out) - 1; last >= 0 && out[last][len(out[last])-1] == num-1 {
			out[last] = append(out[last], num)
			continue
		}
		out = append(out, []int{num})
	}
	return out
}
