package sizes

// marks steps over the words that mark a size, in any order and number, and
// returns the sizing system they name: "Size", "Sz. no.", "EU Gr.", "#".
func (p *parser) marks() (named string) {
	for {
		if p.sizeMark() {
			continue
		}
		name, ok := p.systemMark()
		if !ok {
			return named
		}
		named = name
	}
}

// sizeMark steps over a size word and the signs behind it.
func (p *parser) sizeMark() bool {
	if !p.markAt(p.pos) {
		return false
	}
	p.pos++
	p.signs()
	if p.pos < len(p.toks) && numberWord(p.toks[p.pos].text) {
		p.pos++
		p.signs()
	}
	return true
}

// signs steps over what stands between a mark and its size.
func (p *parser) signs() {
	for p.sign(p.pos, ".") || p.sign(p.pos, ":") || p.sign(p.pos, "#") || p.sign(p.pos, "-") || p.sign(p.pos, "=") || p.sign(p.pos, "°") {
		p.pos++
	}
	if p.word(p.pos) == "o" && p.pos > 1 && p.word(p.pos-2) == "n" && p.numberAt(p.pos+1, false) { // the "n.º" of Spanish and Portuguese
		p.pos++
	}
}

// markAt says whether the token at i marks a size. The letters S and T do so
// only when a number follows: T before any, S when it is all there is and the
// chart has no letter size S; "#" and "No." only when nothing stands before.
func (p *parser) markAt(i int) bool {
	if i >= len(p.toks) {
		return false
	}
	t := p.toks[i]
	switch {
	case t.kind == tokenWord && sizeWord(t.text):
		return true
	case t.kind == tokenWord && t.text == "t":
		return p.numberAt(i+1, !p.full) || p.full && i+1 < len(p.toks) && p.toks[i+1].kind == tokenAge || p.full && p.sign(i+1, ".") && p.numberAt(i+2, false)
	case t.kind == tokenWord && t.text == "s":
		return p.full && i == 0 && p.numberAt(1, true) && !p.index.hasLetter("s")
	case t.text == "#":
		return p.full && p.numberAt(i+1, false)
	case numberWord(t.text):
		return p.full && p.numbered(i)
	}
	return false
}

// numbered says whether a number follows the number word at i: "No 8", "Nr. 8",
// "n° 8", "n.º 8" (where the fold makes an o of the raised one).
func (p *parser) numbered(i int) bool {
	dotted := p.sign(i+1, ".") || p.sign(i+1, "°")
	return p.numberAt(i+1, false) || dotted && p.numberAt(i+2, false) ||
		p.sign(i+1, ".") && p.word(i+2) == "o" && p.numberAt(i+3, false)
}

// numberAt says whether the token at i is a number, attached to what is
// before it where that is asked for.
func (p *parser) numberAt(i int, attached bool) bool {
	return i < len(p.toks) && p.toks[i].kind == tokenNumber && !(attached && p.toks[i].space)
}

// systemMark steps over a sizing system that stands before its number.
func (p *parser) systemMark() (string, bool) {
	if p.pos >= len(p.toks) || p.toks[p.pos].kind != tokenWord {
		return "", false
	}
	name, weak, ok := system(p.toks[p.pos].text)
	if !ok || weak && !p.full {
		return "", false
	}
	start := p.pos
	p.pos++
	p.signs()
	if p.numberAt(p.pos, false) || p.markAt(p.pos) {
		return name, true
	}
	if _, n := p.letter(); n > 0 && p.full {
		return name, true
	}
	p.pos = start
	return "", false
}

// letter reads a letter size at pos and returns its number of tokens, 0 for
// none. It knows "XL", "2XL", "XXL", "X-Large", "Extra Large", "Medium", and "1X"
// and "2X", which are plus sizes and so none of the others.
func (p *parser) letter() (form, int) {
	for _, read := range []func() (string, int){p.letterWord, p.letterNumbered, p.letterExtra} {
		if value, n := read(); n > 0 && p.ends(p.pos+n) {
			return form{kind: formLetter, value: value}, n
		}
	}
	return form{}, 0
}

// word returns the word at i, or "".
func (p *parser) word(i int) string {
	if 0 <= i && i < len(p.toks) && p.toks[i].kind == tokenWord {
		return p.toks[i].text
	}
	return ""
}

func (p *parser) letterWord() (string, int) {
	if value, ok := letterSize(p.word(p.pos)); ok {
		return value, 1
	}
	return "", 0
}

// letterNumbered reads "2XL", "3 XS" and the plus size "2X".
func (p *parser) letterNumbered() (string, int) {
	if !p.numberAt(p.pos, false) || len(p.toks[p.pos].text) != 1 {
		return "", 0
	}
	times := int(p.toks[p.pos].text[0] - '0')
	next := p.word(p.pos + 1)
	value, ok := "", false
	switch next {
	case "x":
		value = p.toks[p.pos].text + "x"
		ok = 1 <= times && times <= 6 && !p.toks[p.pos+1].space
	case "xl", "xlarge":
		value, ok = extra(times, "l")
	case "xs", "xsmall":
		value, ok = extra(times, "s")
	}
	if !ok {
		return "", 0
	}
	return value, 2
}

// letterExtra reads "X-Large", "XX Small", "X-L" and "Extra Extra Large".
func (p *parser) letterExtra() (string, int) {
	i, times := p.pos, 0
	for p.word(i) == "extra" {
		times++
		if i++; p.sign(i, "-") {
			i++
		}
	}
	if w := p.word(i); times == 0 && w != "" && allX(w) {
		times = len(w)
		if i++; p.sign(i, "-") {
			i++
		}
	}
	letter, ok := letterSize(p.word(i))
	if !ok || times == 0 || len(letter) != 1 || letter == "m" {
		return "", 0
	}
	value, ok := extra(times, letter)
	if !ok {
		return "", 0
	}
	return value, i + 1 - p.pos
}

func allX(w string) bool {
	for i := range len(w) {
		if w[i] != 'x' {
			return false
		}
	}
	return true
}
