package sizes

import (
	"fmt"
	"slices"
	"strings"
)

// A matcher is a chart made ready to answer for names.
type matcher struct {
	index      *labelIndex
	exact      map[string][]int // fold of an entry of layers to its sizes
	globs      []sizeGlob
	formed     map[string][]int // fold of the chart's form of names to its sizes
	drop, keep []pattern
}

// sizeGlob is a glob and the sizes that have it.
type sizeGlob struct {
	pattern
	sizes []int
}

func (c *Chart) matcher() *matcher {
	m := &matcher{
		index: newLabelIndex(c.Labels()),
		exact: map[string][]int{},
		drop:  patterns(c.Drop),
		keep:  patterns(c.Keep),
	}
	m.formed = c.formed()
	globs := map[string]int{} // exact form of a glob to its place in m.globs
	for i, size := range c.Sizes {
		for _, p := range patterns(size.Layers) {
			m.exact[p.exact] = appendNew(m.exact[p.exact], i)
			if p.glob.items == nil {
				continue
			}
			at, ok := globs[p.exact]
			if !ok {
				at = len(m.globs)
				globs[p.exact] = at
				m.globs = append(m.globs, sizeGlob{pattern: p})
			}
			m.globs[at].sizes = appendNew(m.globs[at].sizes, i)
		}
	}
	return m
}

// formed returns the names that follow the chart's form, folded.
func (c *Chart) formed() map[string][]int {
	if !strings.Contains(c.Names, labelField) {
		return nil
	}
	out := map[string][]int{}
	for i, size := range c.Sizes {
		name := fold(strings.ReplaceAll(c.Names, labelField, size.Label))
		out[name] = append(out[name], i)
	}
	return out
}

// patterns reads entries; a broken glob is taken for a plain name.
func patterns(entries []string) []pattern {
	out := make([]pattern, len(entries))
	for i, text := range entries {
		p, err := newPattern(text)
		if err != nil {
			p = pattern{text: text, exact: fold(text)}
		}
		out[i] = p
	}
	return out
}

// folded is a name in its two folds, as text and as runes.
type folded struct {
	text, paddedText string
	name, padded     []rune
}

func newFolded(name string) folded {
	padded := foldPadded(name)
	text := unpad(padded)
	return folded{text: text, paddedText: padded, name: []rune(text), padded: []rune(padded)}
}

func (m *matcher) answer(name string) Answer {
	if len(name) > maxTextBytes {
		return Answer{Kind: KindUnknown, Rule: RuleNone, Reason: "is too long for a name"}
	}
	f := newFolded(name)
	if f.text == "" {
		return Answer{Kind: KindUnknown, Rule: RuleNone, Reason: "has nothing in it to read"}
	}
	for _, rule := range []func(folded) (Answer, bool){m.byName, m.byGlob, m.byDrop, m.byKeep} {
		if a, ok := rule(f); ok {
			return a
		}
	}
	return m.byLabel(f)
}

func (m *matcher) byName(f folded) (Answer, bool) {
	found := m.exact[f.text]
	if len(found) == 0 {
		return Answer{}, false
	}
	labels := m.index.names(found)
	return Answer{
		Kind: KindSize, Rule: RuleLayers, Sizes: labels,
		Reason: "is named in the layers of " + sizeWords(labels),
	}, true
}

func (m *matcher) byGlob(f folded) (Answer, bool) {
	var hits []sizeGlob
	for _, g := range m.globs {
		if g.matches(f) {
			hits = append(hits, g)
		}
	}
	if len(hits) == 0 {
		return Answer{}, false
	}
	all := allSizes(hits)
	for _, g := range hits {
		if len(g.sizes) == len(all) {
			return m.globAnswer(g), true
		}
	}
	return m.globClash(hits), true
}

// allSizes collects the sizes of all globs.
func allSizes(hits []sizeGlob) []int {
	var all []int
	for _, g := range hits {
		all = append(all, g.sizes...)
	}
	slices.Sort(all)
	return slices.Compact(all)
}

func (m *matcher) globAnswer(g sizeGlob) Answer {
	labels := m.index.names(g.sizes)
	return Answer{
		Kind: KindSize, Rule: RuleLayers, Sizes: labels,
		Reason: fmt.Sprintf("fits %q in the layers of %s", g.text, sizeWords(labels)),
	}
}

func (m *matcher) globClash(hits []sizeGlob) Answer {
	a := Answer{Kind: KindAmbiguous, Rule: RuleLayers}
	var reasons []string
	for _, g := range hits {
		labels := m.index.names(g.sizes)
		a.Claims = append(a.Claims, Claim{Sizes: labels, By: g.text})
		reasons = append(reasons, fmt.Sprintf("%q in the layers of %s", g.text, sizeWords(labels)))
	}
	a.Reason = "fits " + andList(reasons)
	return a
}

func (m *matcher) byDrop(f folded) (Answer, bool) {
	return listed(m.drop, f, KindDrop, RuleDrop)
}

func (m *matcher) byKeep(f folded) (Answer, bool) {
	return listed(m.keep, f, KindKeep, RuleKeep)
}

func listed(list []pattern, f folded, kind Kind, rule Rule) (Answer, bool) {
	for _, p := range list {
		if p.exact == f.text {
			return Answer{Kind: kind, Rule: rule, Reason: fmt.Sprintf("is named under %s", rule)}, true
		}
	}
	for _, p := range list {
		if p.matches(f) {
			return Answer{Kind: kind, Rule: rule, Reason: fmt.Sprintf("fits %q under %s", p.text, rule)}, true
		}
	}
	return Answer{}, false
}

func (m *matcher) byLabel(f folded) Answer {
	if found := m.formed[f.text]; len(found) == 1 {
		labels := m.index.names(found)
		return Answer{Kind: KindSize, Rule: RuleLabel, Sizes: labels, Reason: "has the form of names with the label " + quoteAll(labels)}
	}
	r := m.index.readName(f.text)
	a := Answer{Kind: r.kind, Rule: RuleLabel, Sizes: m.index.names(r.sizes), Reason: r.reason, Claims: r.claims}
	if r.kind == KindUnknown {
		a.Rule, a.Sizes = RuleNone, nil
	}
	return a
}
