package typeface

import (
	"encoding/binary"
	"errors"
	"fmt"
)

// kept are the tables of a subset, in the order of their tags: what a
// TrueType program in a PDF file needs (ISO 32000-1, 9.9), and the name table
// because it carries the copyright notice and the licence.
var kept = [...]string{"OS/2", "cmap", "cvt ", "fpgm", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "name", "post", "prep"}

// Subset gives the font with only the outlines of the given characters. The
// glyphs keep their numbers, so every other table can stay as it is.
func (f *Face) Subset(runes []rune) ([]byte, error) {
	tables, err := tablesOf(f.data)
	if err != nil {
		return nil, err
	}
	loca, err := offsets(tables)
	if err != nil {
		return nil, err
	}
	glyphs, err := f.closure(runes, tables["glyf"], loca)
	if err != nil {
		return nil, err
	}
	tables["glyf"], tables["loca"] = cutOutlines(tables["glyf"], loca, glyphs)
	head := append([]byte(nil), tables["head"]...)
	binary.BigEndian.PutUint16(head[headLocaFormat:], 1)
	tables["head"] = head
	tables["post"] = withoutNames(tables["post"])
	return assemble(tables)
}

// Places in the head table (OpenType specification, 'head').
const (
	headAdjustment = 8
	headLocaFormat = 50
	headLength     = 54
)

func tablesOf(data []byte) (map[string][]byte, error) {
	if len(data) < 12 {
		return nil, errors.New("font: shorter than its header")
	}
	tables := map[string][]byte{}
	for i := range int(binary.BigEndian.Uint16(data[4:])) {
		at := 12 + 16*i
		if at+16 > len(data) {
			return nil, errors.New("font: table directory is cut off")
		}
		from := int(binary.BigEndian.Uint32(data[at+8:]))
		size := int(binary.BigEndian.Uint32(data[at+12:]))
		if from+size > len(data) {
			return nil, fmt.Errorf("font: table %q is cut off", data[at:at+4])
		}
		tables[string(data[at:at+4])] = data[from : from+size]
	}
	return tables, nil
}

// offsets reads where each glyph starts in the glyf table, and where the last
// one ends.
func offsets(tables map[string][]byte) ([]int, error) {
	if len(tables["head"]) < headLength {
		return nil, errors.New("font: no head table")
	}
	loca, long := tables["loca"], tables["head"][headLocaFormat+1] == 1
	var at []int
	for i := 0; i+2 <= len(loca); i += 2 {
		if long {
			if i%4 == 0 && i+4 <= len(loca) {
				at = append(at, int(binary.BigEndian.Uint32(loca[i:])))
			}
			continue
		}
		at = append(at, 2*int(binary.BigEndian.Uint16(loca[i:])))
	}
	for i, from := range at {
		if from > len(tables["glyf"]) || i > 0 && from < at[i-1] {
			return nil, errors.New("font: loca table is out of order")
		}
	}
	return at, nil
}

// closure gives the glyphs of the characters, those they are composed of, and
// glyph 0.
func (f *Face) closure(runes []rune, glyf []byte, loca []int) (map[int]bool, error) {
	glyphs, todo := map[int]bool{}, []int{0}
	for _, r := range runes {
		g, err := f.font.GlyphIndex(nil, r)
		if err != nil || g == 0 {
			return nil, fmt.Errorf("font: no glyph for %q", r)
		}
		todo = append(todo, int(g))
	}
	for len(todo) > 0 {
		g := todo[0]
		todo = todo[1:]
		if glyphs[g] || g+1 >= len(loca) {
			continue
		}
		glyphs[g] = true
		todo = append(todo, components(glyf[loca[g]:loca[g+1]])...)
	}
	return glyphs, nil
}

// components lists the parts of a composite glyph (OpenType specification,
// 'glyf': a negative number of contours, then one record for each part).
func components(glyph []byte) []int {
	if len(glyph) < 10 || int16(binary.BigEndian.Uint16(glyph)) >= 0 {
		return nil
	}
	var parts []int
	for at := 10; at+4 <= len(glyph); {
		flags := binary.BigEndian.Uint16(glyph[at:])
		parts = append(parts, int(binary.BigEndian.Uint16(glyph[at+2:])))
		at += recordLength(flags)
		if flags&0x20 == 0 { // no more components
			break
		}
	}
	return parts
}

func recordLength(flags uint16) int {
	length := 6
	if flags&0x01 != 0 { // arguments are words
		length += 2
	}
	switch {
	case flags&0x08 != 0: // one scale
		length += 2
	case flags&0x40 != 0: // two scales
		length += 4
	case flags&0x80 != 0: // a matrix
		length += 8
	}
	return length
}

func cutOutlines(glyf []byte, loca []int, glyphs map[int]bool) (outlines, index []byte) {
	for g := range loca {
		index = binary.BigEndian.AppendUint32(index, uint32(len(outlines)))
		if !glyphs[g] {
			continue
		}
		outlines = append(outlines, glyf[loca[g]:loca[g+1]]...)
		outlines = pad(outlines)
	}
	return outlines, index
}

// withoutNames gives a post table of version 3, which names no glyphs.
func withoutNames(post []byte) []byte {
	const length = 32
	short := binary.BigEndian.AppendUint32(nil, 0x00030000)
	return append(short, post[min(4, len(post)):min(length, len(post))]...)
}

func pad(data []byte) []byte {
	for len(data)%4 != 0 {
		data = append(data, 0)
	}
	return data
}

// assemble writes the kept tables behind their directory, with all checksums
// (OpenType specification, "Organization of an OpenType Font").
func assemble(tables map[string][]byte) ([]byte, error) {
	n, power := len(kept), 8
	directory := binary.BigEndian.AppendUint32(nil, 0x00010000)
	for _, v := range []int{n, 16 * power, 3, 16*n - 16*power} {
		directory = binary.BigEndian.AppendUint16(directory, uint16(v))
	}
	var body []byte
	headAt := 0
	for _, tag := range kept {
		table, ok := tables[tag]
		if !ok {
			return nil, fmt.Errorf("font: no table %q", tag)
		}
		from := 12 + 16*n + len(body)
		if tag == "head" {
			table = append([]byte(nil), table...)
			binary.BigEndian.PutUint32(table[headAdjustment:], 0)
			headAt = from
		}
		body = pad(append(body, table...))
		directory = append(directory, tag...)
		sum := checksum(body[from-12-16*n:])
		for _, v := range []uint32{sum, uint32(from), uint32(len(table))} {
			directory = binary.BigEndian.AppendUint32(directory, v)
		}
	}
	font := append(directory, body...)
	binary.BigEndian.PutUint32(font[headAt+headAdjustment:], 0xb1b0afba-checksum(font))
	return font, nil
}

func checksum(data []byte) uint32 {
	var sum uint32
	for i := 0; i+4 <= len(data); i += 4 {
		sum += binary.BigEndian.Uint32(data[i:])
	}
	return sum
}
