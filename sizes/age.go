package sizes

import (
	"strconv"
	"strings"
)

// Sizes of babies and children that are named by age: "0-3m", "18 months",
// "2 years", "Newborn". Common practice, no source. EN 13402-3 codes children's
// clothes by the height of the body in centimetres (from memory); such sizes
// are numbers, "62", or pairs of them, "62/68".
//
// A number by itself is no age, and a number with "m" behind it is neither that
// number nor size M.

// An age is that of a form of kind formAge, whose value is its String. To is
// From where it is no range.
type age struct {
	from, to int
	unit     string // "months", "years", or the word of a size before the months
}

// String is the one spelling of an age: "3 months", "0-3 months", "newborn".
func (a age) String() string {
	switch {
	case a.from < 0:
		return a.unit
	case a.from == a.to:
		return strconv.Itoa(a.from) + " " + a.unit
	}
	return strconv.Itoa(a.from) + "-" + strconv.Itoa(a.to) + " " + a.unit
}

// readAge reads the value of a form.
func readAge(value string) age {
	numbers, unit, ok := strings.Cut(value, " ")
	if !ok {
		return age{from: -1, to: -1, unit: value}
	}
	from, to, isRange := strings.Cut(numbers, "-")
	a := age{unit: unit}
	a.from, _ = strconv.Atoi(from)
	if a.to = a.from; isRange {
		a.to, _ = strconv.Atoi(to)
	}
	return a
}

// isRange says whether an age has two ends.
func (a age) isRange() bool { return a.from != a.to }

// ends are the ages at both ends of a range.
func (a age) ends() (age, age) {
	return age{a.from, a.from, a.unit}, age{a.to, a.to, a.unit}
}

// months are the ends in months: those before any are below nought.
func (a age) months() (from, to int) {
	switch a.unit {
	case "preemie":
		return -2, -2
	case "newborn":
		return -1, -1
	case "years":
		return 12 * a.from, 12 * a.to
	}
	return a.from, a.to
}

// ageUnit says whether a word behind a number makes an age of it. Weak ones are
// single letters: "3m" may be a length.
func ageUnit(w string) (unit string, weak, ok bool) {
	switch w {
	case "m":
		return "months", true, true
	case "y":
		return "years", true, true
	case "mo", "mos", "mth", "mths", "mnth", "mnths", "month", "months",
		"monat", "monate", "monaten", "mois", "mes", "meses", "mês", "mese", "mesi", // German, French, Spanish, Portuguese, Italian
		"maand", "maanden", "mnd", "månad", "månader", "mån", "måned", "måneder", "mdr": // Dutch, Swedish, Danish and Norwegian
		return "months", false, true
	case "yr", "yrs", "year", "years", "yo",
		"jahr", "jahre", "jahren", "an", "ans", "año", "años", "ano", "anos", "anno", "anni",
		"jaar", "år":
		return "years", false, true
	}
	return "", false, false
}

// birthWord knows the sizes before any months, under one name each.
func birthWord(w string) (string, bool) {
	switch w {
	case "newborn", "nb", "neugeborene", "neugeborenes", "naissance", "neonato", "pasgeboren", "nyfödd":
		return "newborn", true
	case "preemie", "preemies", "premie", "prem", "frühchen", "prematuur":
		return "preemie", true
	}
	return "", false
}

// withAges makes one token of each age: of "3 m", "0-3m", "0m-3m".
func withAges(toks []token) []token {
	out := toks[:0:0]
	for i := 0; i < len(toks); {
		t, n := ageAt(toks[i:])
		if n == 0 {
			t, n = toks[i], 1
		}
		out = append(out, t)
		i += n
	}
	return out
}

// ageAt reads the age that tokens begin with, and how many it takes.
func ageAt(toks []token) (token, int) {
	from, n := ageNumber(toks)
	if n == 0 {
		return token{}, 0
	}
	unit, weak, units := unitAt(toks[n:])
	at := n + units
	if at < len(toks) && (spanWord(toks[at].text) || toks[at].text == "/") {
		if to, m := ageNumber(toks[at+1:]); m > 0 && from < to {
			last, lastWeak, k := unitAt(toks[at+1+m:])
			if a := (age{from, to, last}); k > 0 && (units == 0 || unit == last) && a.likely() {
				return ageToken(a, toks[:at+1+m+k], lastWeak), at + 1 + m + k
			}
		}
	}
	if a := (age{from, from, unit}); units > 0 && a.likely() {
		return ageToken(a, toks[:at], weak), at
	}
	return token{}, 0
}

func ageToken(a age, parts []token, weak bool) token {
	return token{kind: tokenAge, text: a.String(), space: parts[0].space, parts: parts, weak: weak}
}

// likely says whether children's clothes have a size of that age.
func (a age) likely() bool {
	return a.unit == "months" && a.to <= 48 || a.unit == "years" && a.to <= 18
}

func ageNumber(toks []token) (value, n int) {
	if len(toks) == 0 || toks[0].kind != tokenNumber || len(toks[0].text) > 2 {
		return 0, 0
	}
	value, err := strconv.Atoi(toks[0].text)
	if err != nil {
		return 0, 0
	}
	return value, 1
}

// unitAt reads a unit, which a hyphen may precede: "18-months". The letter of
// "8y" counts only where it touches the number, since "y" is and in Spanish.
func unitAt(toks []token) (unit string, weak bool, n int) {
	if len(toks) > 1 && toks[0].text == "-" {
		if unit, weak, ok := ageUnit(toks[1].text); ok && !weak && len(toks[1].text) > 2 {
			return unit, weak, 2
		}
	}
	if len(toks) == 0 {
		return "", false, 0
	}
	unit, weak, ok := ageUnit(toks[0].text)
	joins := toks[0].text == "y" || toks[0].text == "an"
	if !ok || toks[0].text == "y" && toks[0].space || joins && len(toks) > 1 && toks[1].kind == tokenNumber {
		return "", false, 0
	}
	return unit, weak, 1
}

// age reads an age at pos. A single letter makes one of a number within a longer
// name only where the size word stands before it: "size 8, 2 m elastic" is
// about a length.
func (p *parser) age() (form, bool) {
	if p.pos >= len(p.toks) {
		return form{}, false
	}
	t := p.toks[p.pos]
	if unit, ok := birthWord(t.text); ok && t.kind == tokenWord {
		return form{kind: formAge, value: unit}, true
	}
	if t.kind != tokenAge || t.weak && !p.full && !readAge(t.text).isRange() && p.pos > 0 && p.toks[p.pos-1].kind == tokenSign && listSign(p.toks[p.pos-1].text) {
		return form{}, false
	}
	if !p.index.lists(t.text) {
		p.split(t)
		t = p.toks[p.pos]
	}
	return form{kind: formAge, value: t.text}, true
}

func listSign(text string) bool { return text != "." && (spanWord(text) || listWord(text)) }

// split makes two ages of a range whose ends are sizes of the chart.
func (p *parser) split(t token) {
	a := readAge(t.text)
	from, to := a.ends()
	if !a.isRange() || !p.index.lists(from.String()) || !p.index.lists(to.String()) {
		return
	}
	p.replace([]token{
		{kind: tokenAge, text: from.String(), space: t.space}, betweenEnds(t), {kind: tokenAge, text: to.String()},
	})
}

// lists says whether the chart has an age.
func (x *labelIndex) lists(value string) bool {
	return len(x.fit(form{kind: formAge, value: value})) > 0
}

// asNumbers takes the unit from an age in years behind a size word where the
// chart has the numbers alone: "size 2 years", "sizes 4-5 years".
func (p *parser) asNumbers() {
	if p.pos >= len(p.toks) || p.toks[p.pos].kind != tokenAge {
		return
	}
	t := p.toks[p.pos]
	a := readAge(t.text)
	from := token{kind: tokenNumber, text: strconv.Itoa(a.from), space: true}
	to := token{kind: tokenNumber, text: strconv.Itoa(a.to)}
	numbers := []token{from}
	if a.isRange() {
		numbers = append(numbers, betweenEnds(t), to)
	}
	has := func(t token) bool { return len(p.index.fit(form{kind: formNumber, value: t.text})) > 0 }
	if a.unit == "years" && !p.index.lists(t.text) && (has(from) && has(to) || len(p.index.phrases[phrase(numbers)]) > 0) {
		p.replace(numbers)
	}
}

// betweenEnds is the sign between the ends of a range.
func betweenEnds(t token) token {
	for _, part := range t.parts {
		if part.text == "/" {
			return token{kind: tokenSign, text: "/"}
		}
	}
	return token{kind: tokenSign, text: "-"}
}

// replace puts others in the place of the token at pos.
func (p *parser) replace(others []token) {
	toks := append(append([]token{}, p.toks[:p.pos]...), others...)
	p.toks = append(toks, p.toks[p.pos+1:]...)
}
