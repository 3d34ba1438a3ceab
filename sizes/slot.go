package sizes

import (
	"cmp"
	"iter"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"
)

// Sizes within the names of other things. A name such as "Front 12" or "Sleeve_XL" marks no size: by
// itself its number may be anything. Over the names of a file it is one where names agree but for
// that slot, and what takes turns there are sizes in a row: numbers in a step that sizes have,
// letters one after another, ages, or labels of the chart. What counts from one to the next, as
// "Page 1" to "Page 12" and "Front 1" and "Front 2" do, is none.

// A place is where a size may stand in a name, by its tokens.
type place struct {
	from, to int
	size     expression
}

// A slotted is a name with one of its places: the frame is what is left of it.
type slotted struct {
	key   string // of the name, folded
	toks  []token
	place place
	frame string
}

// A slot is the size that stands within the name of another thing.
type slot struct {
	text  string // as a name of its own: "12", "12 a cup"
	frame string // the name with "<size>" in the place of the size
	toks  []token
	place place
	along bool // a letter or number of the name counts along with the sizes
}

// slots are what is found in names that by themselves say no size, by their folds.
type slots struct {
	found  map[string]slot
	unsure map[string]string // what may be a size, in names of which nothing shows that it is one
}

// frameGap stands in a frame for the size.
const frameGap = "<size>"

// findSlots finds the sizes in folded names that say none by themselves, by the label index of a
// chart, which is empty without one, and the forms of the sizes that other names say.
func findSlots(keys []string, index *labelIndex, known map[form]bool) slots {
	f := &slotFinder{index: index, known: known, texts: map[string]bool{},
		frames: map[string][]slotted{}, along: map[string]bool{}}
	for _, key := range keys {
		toks := tokens(bare(key))
		if len(toks) > maxSlotTokens {
			continue
		}
		f.texts[phrase(toks)] = true
		for _, at := range index.places(toks) {
			s := slotted{key: key, toks: toks, place: at, frame: frameOf(toks, at)}
			f.frames[s.frame] = append(f.frames[s.frame], s)
		}
	}
	return f.find()
}

// A slotFinder sorts the names of a file by their frames.
type slotFinder struct {
	index  *labelIndex
	known  map[form]bool
	texts  map[string]bool // all names, as phrases
	frames map[string][]slotted
	along  map[string]bool // frames with a counter that goes along with the sizes
}

// places finds where a size may stand in a name of several words, each with one item and, where
// there are several side by side, with all of them.
func (x *labelIndex) places(toks []token) []place {
	var out []place
	for i := range toks {
		if !beginsSlot(toks, i) {
			continue
		}
		for _, all := range []bool{false, true} {
			p := &parser{toks: slices.Clone(toks), index: x, pos: i}
			e := expression{}
			if all {
				e, _ = p.expression()
			} else if it, ok := p.item(); ok {
				e.items = []item{it}
			}
			whole := i == 0 && p.pos == len(toks)
			if len(e.items) == 0 || all && len(e.items) < 2 || whole || len(p.toks) != len(toks) || p.open != 0 {
				continue
			}
			if !p.at(p.pos).is(meansMeasure) && !(p.sign(p.pos, "'’") && !p.at(p.pos).space) {
				out = append(out, place{i, p.pos, e})
			}
		}
	}
	return out
}

// beginsSlot reports whether a size may begin at a token: not within a word, such as "A4" or the S of
// "men's", nor as the number of a page, a layer or the like.
func beginsSlot(toks []token, i int) bool {
	t := toks[i]
	if t.kind == tokenSign || i == 0 {
		return t.kind != tokenSign
	}
	before := toks[i-1]
	attached := !t.space && before.kind != tokenSign
	if attached && (t.kind != tokenNumber || before.kind != tokenWord || utf8.RuneCountInString(before.text) < 3) {
		return false
	}
	decimals := before.text == "." && i > 1 && toks[i-2].kind == tokenNumber
	if !t.space && (decimals || strings.Contains("'’,", before.text)) {
		return false
	}
	at := i - 1
	for at > 0 && (toks[at].kind == tokenSign || toks[at].is(meansNumber)) {
		at--
	}
	return !toks[at].is(meansNumbered | meansThing | meansNotJust)
}

// frameOf is what names agree in that have a size at a place. One colour beside the size is as good as
// another: "8 - red" and "10 - blue" agree.
func frameOf(toks []token, at place) string {
	part := func(toks []token) string {
		text := phrase(toks)
		if colour := strings.Trim(text, " -()[]:/"); colour != "" && len(palette().find(colour)) > 0 {
			return strings.Replace(text, colour, "<colour>", 1)
		}
		return text
	}
	return strings.TrimSpace(part(toks[:at.from]) + " " + frameGap + " " + part(toks[at.to:]))
}

// find settles which frames hold sizes, and gives each name its slot. A name with two such places
// has none, since either may be its size; nor has one in a frame where just two sizes take turns.
func (f *slotFinder) find() slots {
	sure, half := f.sure()
	out := slots{found: map[string]slot{}, unsure: map[string]string{}}
	taken, both := map[string]place{}, map[string]bool{}
	for _, frame := range slices.Sorted(maps.Keys(f.frames)) {
		for _, s := range f.frames[frame] {
			was, ok := taken[s.key]
			switch {
			case half[frame]:
				out.unsure[s.key] = s.text()
				continue
			case !sure[frame], ok && was.from <= s.place.from && s.place.to <= was.to: // a part of what is there
				continue
			case ok && !(s.place.from <= was.from && was.to <= s.place.to):
				out.unsure[s.key], both[s.key] = s.text(), true
			}
			taken[s.key], out.found[s.key] = s.place, slot{s.text(), s.frame, s.toks, s.place, f.along[s.frame]}
		}
	}
	for key := range both {
		delete(out.found, key)
	}
	maps.DeleteFunc(out.unsure, func(key string, _ string) bool { return out.found[key].text != "" })
	return out
}

// sure says which frames hold sizes, and in which two values take turns that may be sizes: such half
// a row is one where another frame has the same values.
func (f *slotFinder) sure() (sure, half map[string]bool) {
	sure, half = map[string]bool{}, map[string]bool{}
	rows := map[string]row{}
	for frame, names := range f.frames {
		rows[frame] = f.rowOf(frame, names)
		sure[frame] = rows[frame].strength == 2
	}
	frames := map[[2]form]int{} // that have two values
	for _, r := range rows {
		for pair := range r.pairs() {
			frames[pair]++
		}
	}
	for frame, r := range rows {
		for pair := range r.pairs() {
			sure[frame] = sure[frame] || frames[pair] > 1
		}
	}
	f.numbered(sure)
	for frame, r := range rows {
		half[frame] = r.strength == 1 && !sure[frame]
	}
	return sure, half
}

// text writes the size of a name by itself, with what makes a size of its own of it: a cup, "tall".
func (s slotted) text() string {
	text := phraseText(s.toks[s.place.from:s.place.to])
	p := &parser{toks: s.toks, index: &labelIndex{}}
	for i := range s.toks {
		if cup := p.cup(i); cup != "" && (i < s.place.from || i >= s.place.to) {
			return "size " + text + " " + cup
		}
	}
	p.pos = s.place.to
	if kind := cmp.Or(p.rangeBehind(), p.rangeBefore(s.place.from)); kind != "" {
		return "size " + text + " " + kind
	}
	return text
}

// A row is what takes turns in a frame.
type row struct {
	values   map[form]bool
	strength int // 2 for sizes in a row, 1 for two of them, which may be chance, 0 for anything
}

// pairs yields each two values of a row that may be sizes, of a long one the smallest.
func (r row) pairs() iter.Seq[[2]form] {
	values := slices.SortedFunc(maps.Keys(r.values), func(a, b form) int {
		return cmp.Or(cmp.Compare(a.kind, b.kind), compareValues(a.kind, a.value, b.value),
			cmp.Compare(a.value, b.value))
	})
	if r.strength == 0 {
		values = nil
	}
	values = values[:min(len(values), maxRowPairs)]
	return func(yield func([2]form) bool) {
		for i, a := range values {
			for _, b := range values[i+1:] {
				if !yield([2]form{a, b}) {
					return
				}
			}
		}
	}
}

// rowOf judges what takes turns in a frame.
func (f *slotFinder) rowOf(frame string, names []slotted) row {
	r := row{values: map[form]bool{}}
	var ends []form
	labelled, isKnown := 0, 0
	for _, s := range names {
		e := s.place.size
		first := e.items[0].form.plain()
		if r.values[first] {
			continue
		}
		r.values[first] = true
		ends = append(ends, e.items[len(e.items)-1].form.plain())
		if len(e.items[0].labels) > 0 {
			labelled++
		}
		if f.known[first] {
			isKnown++
		}
	}
	firsts := slices.Collect(maps.Keys(r.values))
	left := f.texts[strings.Replace(frame, frameGap, "r", 1)]
	strength := inARow(firsts)
	if len(names[0].place.size.items) > 1 {
		strength = min(max(strength, inTurn(names)), max(inARow(ends), inTurn(names)))
	}
	counts := countsUp(firsts) && len(firsts) < max(len(f.index.labels), len(f.known))
	switch n := len(firsts); {
	case n < 2 || left && r.values[form{kind: formLetter, value: "l"}]:
		strength = 0
	case (labelled == n || isKnown == n) && !counts: // the sizes that are known already
		strength = 2
	case labelled == 0 && len(f.index.labels) > 0: // none of the chart's, unless another frame has these
		strength = min(strength, 1)
	case isKnown == 0 && len(f.known) > 1: // sizes of another kind, perhaps
		strength /= 2
	}
	r.strength = strength
	return r
}

// numbered finds frames that differ by a letter or a number which counts along with the sizes, as in
// "C (M)" beside "D (L)", and "1 - XS" beside "2 - S".
func (f *slotFinder) numbered(sure map[string]bool) {
	families := map[string][]slotted{}
	for frame, names := range f.frames {
		if family, counter := counted(names[0].toks, names[0].place); counter != "" && len(names) == 1 && !sure[frame] {
			families[family] = append(families[family], names[0])
		}
	}
	for _, names := range families {
		values := map[form]bool{}
		for _, s := range names {
			values[s.place.size.items[0].form.plain()] = true
		}
		if len(values) < max(3, len(names)) || inARow(slices.Collect(maps.Keys(values))) < 2 || !countAlong(names) {
			continue
		}
		for _, s := range names {
			sure[s.frame], f.along[s.frame] = true, true
		}
	}
}

// counted is the frame of a name without the only letter or number in it that may count, and that.
func counted(toks []token, at place) (family, counter string) {
	var parts []string
	for i, t := range toks {
		switch isCounter := t.kind == tokenNumber || t.kind == tokenWord && len(t.text) == 1; {
		case i == at.from:
			parts = append(parts, frameGap)
		case i > at.from && i < at.to:
		case isCounter && counter != "":
			return "", ""
		case isCounter:
			counter = t.text
			parts = append(parts, "#")
		default:
			parts = append(parts, t.text)
		}
	}
	return strings.Join(parts, " "), counter
}

// countAlong reports whether the counters of names rise as their sizes do.
func countAlong(names []slotted) bool {
	slices.SortFunc(names, func(a, b slotted) int {
		x, _ := a.place.size.extent()
		y, _ := b.place.size.extent()
		return cmp.Compare(x.from, y.from)
	})
	last := ""
	for _, s := range names {
		_, counter := counted(s.toks, s.place)
		if last != "" && (len(last) > len(counter) || len(last) == len(counter) && last >= counter) {
			return false
		}
		last = counter
	}
	return true
}

// readSlots reads the sizes that stand within the names of other things, where a name says none by
// itself.
func (m *matcher) readSlots(names []string, readings []reading) {
	var keys []string
	for i, r := range readings {
		if r.marksNone() {
			keys = append(keys, fold(names[i]))
		}
	}
	found := findSlots(keys, m.index, nil)
	for i, r := range readings {
		s, ok := found.found[fold(names[i])]
		switch {
		case !r.marksNone():
			continue
		case !ok:
			readings[i].may = m.index.strays(fold(names[i]))
			continue
		}
		r = m.index.readName(s.text)
		r.bare, r.rule = false, RuleLabel
		if r.kind == KindSize {
			r.reason = reason{kind: reasonSlot, text: s.text, sizes: m.index.names(r.sizes)}
			r.text = s.text
			r = r.doubt(m.index, s.rest(m.index))
		}
		readings[i] = r
	}
}

// marksNone reports whether nothing in a name marks a size, though it may have "12 tall" in it.
func (r reading) marksNone() bool {
	return r.reason.kind == reasonNothing || r.reason.kind == reasonLacks && r.lacks == "" && r.other == ""
}

// rest is what stands in the name beside the size: without the cup that is a part of that, and what
// counts along.
func (s slot) rest(index *labelIndex) rest {
	p := &parser{toks: s.toks, index: index}
	out := p.restOf([][2]int{{s.place.from, s.place.to}})
	out.unknown = slices.DeleteFunc(out.unknown, func(text string) bool {
		toks := tokens(text)
		isCup := slices.ContainsFunc(toks, func(t token) bool { return t.is(meansCup) })
		return isCup || s.along && len(toks) == 1 && (toks[0].kind == tokenNumber || isLetter(text))
	})
	return out
}

// formWords says how names with sizes in slots are built: by their frame where they have one, else
// by where the size stands.
func formWords(frames []string) string {
	slices.Sort(frames)
	if frames = slices.Compact(frames); len(frames) == 1 {
		return frames[0]
	}
	behind := func(frame string) bool { return strings.HasSuffix(frame, frameGap) }
	before := func(frame string) bool { return strings.HasPrefix(frame, frameGap) }
	switch {
	case !slices.ContainsFunc(frames, func(s string) bool { return !behind(s) }):
		return "<piece> " + frameGap
	case !slices.ContainsFunc(frames, func(s string) bool { return !before(s) }):
		return frameGap + " <piece>"
	}
	return "<piece> " + frameGap + " <piece>"
}

// stray is what may be a size of the chart in a name that says none, "" for nothing: the number of
// "Pocket 12", where no other name shows whether it is one.
func (x *labelIndex) stray(folded string) string {
	if found := x.strayItems(folded); len(found) > 0 {
		return found[0].text
	}
	return ""
}

// strays are the sizes that a name may be of which says none.
func (x *labelIndex) strays(folded string) []int {
	var found []int
	for _, it := range x.strayItems(folded) {
		found = both(found, it.labels)
	}
	slices.Sort(found)
	return found
}

func (x *labelIndex) strayItems(folded string) (found []item) {
	toks := tokens(bare(folded))
	if len(toks) > maxSlotTokens {
		return nil
	}
	for _, at := range x.places(toks) {
		for _, it := range at.size.items {
			if len(it.labels) > 0 {
				found = append(found, it)
			}
		}
	}
	return found
}
