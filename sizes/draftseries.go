package sizes

import "slices"

// series are the bare numbers that stand where the marked sizes go on: 16 beside
// "SIZE_08" and "SIZE_10". Such sizes lie in equal steps. Common practice, no
// source.
func (d *drafting) series() map[string]bool {
	var marked, bare []statement
	for _, s := range d.statements {
		f, one := s.single()
		switch {
		case !one || f.kind != formNumber || s.qualifier != "" || f.system != "" || numberValue(f.value) != float64(int(numberValue(f.value))):
		case s.marked:
			marked = append(marked, s)
		default:
			bare = append(bare, s)
		}
	}
	out := map[string]bool{}
	least, step := steps(marked)
	for _, s := range bare {
		f, _ := s.single()
		if n := int(numberValue(f.value)); step > 1 && n > least && (n-least)%step == 0 {
			out[s.name] = true
		}
	}
	return out
}

// steps gives the smallest of some numbers and the largest step by which all
// others may be reached.
func steps(numbers []statement) (least, step int) {
	for i, s := range numbers {
		f, _ := s.single()
		n := int(numberValue(f.value))
		if i == 0 {
			least = n
		}
		step = divisor(step, max(n-least, least-n))
		least = min(least, n)
	}
	return least, step
}

// divisor is the greatest common one.
func divisor(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// doubtSeries says of each size that bare numbers alone tell why it is one.
func (d *drafting) doubtSeries() {
	for _, s := range d.steps {
		if !slices.ContainsFunc(s.from, func(st statement) bool { return !d.goesOn[st.name] }) {
			d.doubt("Layer %q has no word for a size, as others have: it is taken for size %s, since it goes on in their steps.",
				harmless(clip(s.from[0].name)), s.label)
		}
	}
}
