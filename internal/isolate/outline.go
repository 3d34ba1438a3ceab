package isolate

import "github.com/sizeply/sizeply/internal/pdf"

// maxOutlineDepth bounds items within items; what is deeper is removed.
const maxOutlineDepth = 100

// editOutline takes items out of the outline (12.3.3) that lead to pages which go.
// One that has others below it stays as their heading, without where it led; one
// whose others are all gone goes too, unless it leads somewhere itself.
func (p *pageEditor) editOutline() {
	root := p.catalog()
	outline := pdf.AsDict(p.edit, root["Outlines"])
	o := &outlineEditor{pageEditor: p, seen: map[pdf.Ref]bool{}}
	level := o.level(outline, 0)
	switch {
	case !level.changed:
		return
	case len(level.items) > 0:
		p.setCatalog("Outlines", p.store(root["Outlines"], level.linked(outline, outline["Count"] != nil)))
		return
	}
	p.setCatalog("Outlines", nil)
	if pdf.AsName(p.edit, root["PageMode"]) == "UseOutlines" {
		p.setCatalog("PageMode", nil)
	}
}

// outlineEditor changes one outline.
type outlineEditor struct {
	*pageEditor
	seen map[pdf.Ref]bool
}

// outlineLevel is what is left of the items below one.
type outlineLevel struct {
	items []pdf.Ref
	// shown are how many items are shown while the one above is open, those below
	// open ones too.
	shown   int
	changed bool // something went, here or further below
}

// linked gives the dictionary above with the items that are left; isCounted says
// whether it has a count, whose sign stays: less than zero is closed.
func (l outlineLevel) linked(d pdf.Dict, isCounted bool) pdf.Dict {
	if len(l.items) == 0 {
		return without(d, "First", "Last", "Count")
	}
	now := with(with(d, "First", l.items[0]), "Last", l.items[len(l.items)-1])
	if isCounted {
		count := pdf.Integer(l.shown)
		if was, _ := d["Count"].(pdf.Integer); was < 0 {
			count = -count
		}
		now["Count"] = count
	}
	return now
}

// level brings the items below one up to date and links those that are left.
func (o *outlineEditor) level(above pdf.Dict, depth int) (l outlineLevel) {
	if depth > maxOutlineDepth {
		return outlineLevel{changed: true}
	}
	ref, ok := above["First"].(pdf.Ref)
	for n := 0; ok && !o.seen[ref] && !o.isStopped(n); n++ {
		o.seen[ref] = true
		next, more := pdf.AsDict(o.doc.PDF, ref)["Next"].(pdf.Ref)
		stays, shown, changed := o.item(ref, depth)
		if l.changed = l.changed || changed || !stays; stays {
			l.items, l.shown = append(l.items, ref), l.shown+shown
		}
		ref, ok = next, more
	}
	if !l.changed {
		return l
	}
	for i, ref := range l.items {
		d := without(pdf.AsDict(o.edit, ref), "Prev", "Next")
		if i > 0 {
			d = with(d, "Prev", l.items[i-1])
		}
		if i+1 < len(l.items) {
			d = with(d, "Next", l.items[i+1])
		}
		o.edit.Set(ref, d)
	}
	return l
}

// item brings an item up to date with all below it. It reports whether it stays, how
// many items it shows with it, and whether something went.
func (o *outlineEditor) item(ref pdf.Ref, depth int) (stays bool, shown int, changed bool) {
	d := pdf.AsDict(o.edit, ref)
	isAway := o.isLink(d)
	below := o.level(d, depth+1)
	wasHeading := d["First"] != nil && d["Dest"] == nil && d["A"] == nil
	if d == nil || len(below.items) == 0 && (isAway || wasHeading) {
		o.edit.Set(ref, nil)
		return false, 0, true
	}
	shown = 1
	if pdf.AsInt(o.edit, d["Count"], 0) > 0 {
		shown += below.shown
	}
	now := d
	if isAway {
		now = without(now, "Dest", "A", "SE")
	}
	if below.changed {
		now = below.linked(now, true)
	}
	if !same(now, d) {
		o.edit.Set(ref, now)
	}
	return true, shown, isAway || below.changed
}
