package sizes

import (
	"maps"
	"slices"
)

// groupOf is whom a folded name says it is for, under one word for each group,
// "" where it does not say. Common practice, no source.
func groupOf(folded string) string {
	for _, t := range tokens(folded) {
		switch t.text {
		case "women", "womens", "woman", "ladies", "misses", "damen", "femme", "mujer", "donna", "dames", "dam":
			return "women"
		case "men", "mens", "man", "gents", "herren", "homme", "hombre", "uomo", "heren", "herr":
			return "men"
		case "girl", "girls", "mädchen", "fille", "niña", "bambina", "meisjes":
			return "girls"
		case "boy", "boys", "jungen", "garçon", "niño", "bambino", "jongens":
			return "boys"
		case "child", "children", "childrens", "kid", "kids", "kinder", "enfant", "kinderen", "barn":
			return "children"
		case "adult", "adults", "erwachsene", "adulte", "adulto":
			return "adults"
		case "doll", "dolls", "puppe", "poupée", "muñeca", "bambola", "pop":
			return "dolls"
		}
	}
	return ""
}

// doubtGroups says where names of one size are for several groups of people: a
// man's 8 is not a woman's.
func (d *drafting) doubtGroups() {
	for _, s := range d.steps {
		names := map[string]string{} // of each group
		for _, st := range s.from {
			if group := groupOf(fold(st.name)); names[group] == "" || st.name < names[group] {
				names[group] = st.name
			}
		}
		if len(names) < 2 {
			continue
		}
		var list []string
		for _, group := range slices.Sorted(maps.Keys(names)) {
			list = append(list, clip(names[group]))
		}
		d.doubt("Layers %s are taken for one size, %s, and seem to be for different people: give each a size of its own, with its layers.",
			quoteAll(list), s.label)
		return
	}
}
