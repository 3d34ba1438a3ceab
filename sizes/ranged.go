package sizes

import "slices"

// Numbers with a letter that makes another size of them: women's "16W", petite
// "8P", tall "8T", and "2T" for toddlers, which is also written "Toddler 2" and
// "T2". Common practice, no source.

// rangeLetter says whether a word behind a number makes another size of it.
func rangeLetter(w string) bool { return w == "w" || w == "p" || w == "t" }

// mostToddler is the largest size that toddlers have; a larger "8T" is tall.
const mostToddler = 6

// toddlerWord says whether a word makes a toddler's size of the number behind it.
func toddlerWord(w string) bool { return w == "toddler" || w == "toddlers" }

// ofToddlers says whether a number may be a toddler's size.
func ofToddlers(number string) bool {
	return len(number) == 1 && 1 <= number[0]-'0' && number[0]-'0' <= mostToddler
}

// ranged reads a number with its letter: "2T", in a full name "2 T" too.
func (p *parser) ranged() (form, int) {
	letter := p.word(p.pos + 1)
	if !p.numberAt(p.pos, false) || !rangeLetter(letter) || p.toks[p.pos+1].space && !p.full || !p.ends(p.pos+2) {
		return form{}, 0
	}
	return form{kind: formRanged, value: p.toks[p.pos].text + letter}, 2
}

// toddlerMark steps over a word for toddlers before a number, with a size word
// behind it or none.
func (p *parser) toddlerMark() bool {
	start := p.pos
	if !toddlerWord(p.word(p.pos)) {
		return false
	}
	p.pos++
	p.signs()
	p.sizeMark()
	if p.numberAt(p.pos, false) && ofToddlers(p.toks[p.pos].text) && p.ends(p.pos+1) {
		return true
	}
	p.pos = start
	return false
}

// toddlerForm makes a toddler's size of the number that was just read.
func toddlerForm(number string) form { return form{kind: formRanged, value: number + "t"} }

// toddler finds the toddler's size of a number.
func (x *labelIndex) toddler(number string) item {
	f := toddlerForm(number)
	return item{form: f, labels: x.fit(f)}
}

// perhapsToddler is the number behind the T of "T2", which may be that of
// toddlers where the chart has it.
func (it item) perhapsToddler(index *labelIndex) item {
	if it.form.kind != formNumber || !ofToddlers(it.form.value) {
		return it
	}
	other := index.toddler(it.form.value)
	if len(it.labels) == 0 && len(other.labels) > 0 {
		return other
	}
	it.labels = appendAll(it.labels, other.labels)
	return it
}

// withLetter gives a number the letter of the size behind it, as in "2-4T". Where
// the chart has the number by itself too, it may be either.
func (it item) withLetter(b form, index *labelIndex) item {
	f := form{kind: formRanged, value: it.form.value + b.value[len(b.value)-1:]}
	found := index.fit(f)
	if len(it.labels) == 0 && len(found) > 0 {
		it.form = f
	}
	it.labels = appendAll(it.labels, found)
	return it
}

// appendAll adds positions that a list lacks, and leaves the list as it was.
func appendAll(list, more []int) []int {
	out := append([]int{}, list...)
	for _, i := range more {
		if !slices.Contains(out, i) {
			out = append(out, i)
		}
	}
	return out
}

// plainNumbers takes the letter from the sizes of an expression and gives it. It
// fails where they have several.
func plainNumbers(e expression) (letter string, ok bool) {
	for i, it := range e.items {
		if it.form.kind != formRanged {
			continue
		}
		n := len(it.form.value) - 1
		l := it.form.value[n:]
		if letter != "" && l != letter {
			return "", false
		}
		letter = l
		e.items[i].form = form{kind: formNumber, value: it.form.value[:n], system: it.form.system}
	}
	return letter, true
}
