package content

import "bytes"

// InlineImage tells of the parts of an inline image (ISO 32000-1, 8.9.7).
type InlineImage struct {
	// Dict spans the entries between BI and ID, without brackets. Keys and
	// values may be abbreviated (Tables 93 and 94). Operation.EntriesOf
	// reads it.
	Dict Operand
	// DataStart and DataEnd span the image data, filters not undone.
	DataStart, DataEnd int
	// Exact tells that the length was measured: from the Length entry, from
	// the size of the image, or by following its filter. Else EI is the
	// first one with white space around it and operations behind it.
	Exact bool
}

// inlineImage reads on from BI, which ends at after, and returns where EI
// ends.
func (s *Scanner) inlineImage(word, after int) (img InlineImage, end int) {
	idStart, idEnd, found := s.imageDict(after)
	img.Dict = Operand{Dict, after, idStart}
	img.DataStart, img.DataEnd = idEnd, idEnd
	if !found {
		s.report(ImageWithoutData, word, idEnd)
		return img, idEnd
	}
	p := s.imageParams(img.Dict)
	for _, start := range dataStarts(s.data, idEnd) {
		if dataEnd, end, ok := s.measure.find(s.data, start, &p); ok {
			img.DataStart, img.DataEnd, img.Exact = start, dataEnd, true
			return img, end
		}
	}
	img.DataStart = dataStarts(s.data, idEnd)[0]
	return s.guessImage(img, word, &p)
}

// imageDict looks for ID, or for an EI or the end of the stream in its place.
func (s *Scanner) imageDict(i int) (idStart, idEnd int, found bool) {
	for i = skipSpace(s.data, i); i < len(s.data); i = skipSpace(s.data, i) {
		kind, end, _ := lexOperand(s.data, i)
		if kind == Keyword {
			switch string(s.data[i:end]) {
			case "ID":
				return i, end, true
			case "EI":
				return i, end, false
			}
		}
		i = end
	}
	return len(s.data), len(s.data), false
}

// dataStarts returns where data can start after ID: behind one white-space
// character (8.9.7) or, since some programs write two for an end of line,
// behind both of them.
func dataStarts(data []byte, i int) [2]int {
	if i >= len(data) || classes[data[i]] != white {
		return [2]int{i, i}
	}
	return [2]int{i + 1, lineEnd(data, i) + 1}
}

// guessImage looks for EI where nothing could be measured. A size that is
// known but was not confirmed tells where to look first: some images have
// surplus bytes.
func (s *Scanner) guessImage(img InlineImage, word int, p *imageParams) (InlineImage, int) {
	start := img.DataStart
	size, ok := p.rawSize()
	if ok && p.filter == "" && size <= len(s.data)-start && s.measure.budget > 0 {
		if dataEnd, end, ok := s.measure.guess(s.data, start+size); ok {
			img.DataEnd = dataEnd
			s.report(ImageEndGuessed, word, end)
			return img, end
		}
	}
	dataEnd, end, ok := s.measure.guess(s.data, start)
	img.DataEnd = dataEnd
	if ok {
		s.report(ImageEndGuessed, word, end)
	} else {
		s.report(ImageUnclosed, word, end)
	}
	return img, end
}

// confirmEI returns the end of the EI that follows at i, white space passed
// over, with a delimiter behind it.
func confirmEI(data []byte, i int) (end int, ok bool) {
	if i < 0 || i > len(data) {
		return 0, false
	}
	for i < len(data) && classes[data[i]] == white {
		i++
	}
	if !bytes.HasPrefix(data[i:], []byte("EI")) {
		return 0, false
	}
	end = i + len("EI")
	return end, end == len(data) || !isRegular(data[end])
}

// guess returns the first EI that stands between white space and is followed
// by operations. Failing that it takes the first one followed by operations,
// then the first between white space, then the end of the data, with false.
func (m *measurer) guess(data []byte, start int) (dataEnd, end int, ok bool) {
	plausible, spaced := -1, -1
	i := start
	defer func() { m.budget -= i - start }()
	for {
		next := bytes.Index(data[i:], []byte("EI"))
		if next < 0 {
			i = len(data)
			break
		}
		at := i + next
		i = at + 1
		if end := at + len("EI"); end < len(data) && isRegular(data[end]) {
			continue
		}
		before := at == start || classes[data[at-1]] == white
		follows := beginsOperations(data, at+len("EI"))
		if before && follows {
			return trimEOL(data, start, at), at + len("EI"), true
		}
		if follows && plausible < 0 {
			plausible = at
		}
		if before && spaced < 0 {
			spaced = at
		}
		if m.budget < i-start && max(plausible, spaced) >= 0 {
			break // too much was searched in vain: take what there is
		}
	}
	for _, at := range [...]int{plausible, spaced} {
		if at >= 0 {
			return trimEOL(data, start, at), at + len("EI"), true
		}
	}
	return len(data), len(data), false
}

// trimEOL takes the white space off that separates data from EI.
func trimEOL(data []byte, start, end int) int {
	if end > start && data[end-1] == '\n' && end-1 > start && data[end-2] == '\r' {
		return end - 2
	}
	if end > start && classes[data[end-1]] == white {
		return end - 1
	}
	return end
}

// lookAhead is how many bytes behind a supposed EI are judged.
const lookAhead = 256

// beginsOperations tells whether operands and a known operator, or the end of
// the data, follow. Bytes of an image are hardly ever that.
func beginsOperations(data []byte, i int) bool {
	limit := min(len(data), i+lookAhead)
	for i = skipSpace(data[:limit], i); i < limit; i = skipSpace(data[:limit], i) {
		kind, end, _ := lexOperand(data[:limit], i)
		switch {
		case kind == 0:
			return false
		case end == limit:
			return true // cut off
		case kind == Keyword && !isLiteral(data[i:end]):
			return Lookup(data[i:end]) != OpUnknown
		}
		i = end
	}
	return true
}
