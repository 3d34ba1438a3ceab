package layers

import (
	"reflect"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
)

// scrub takes out what may hold the drawing a second time, whatever is chosen:
// private data of drawing programs (14.5), page thumbnails (12.3.4), metadata
// but for the document's own (14.3.2), attached files, presentations, page
// templates, pictures and pages elsewhere that stand for a drawing. What is left
// of entries of optional content where they mean nothing goes too.
func (c *choice) scrub() {
	s := &scrubber{choice: c, pages: map[pdf.Ref]bool{}}
	_, s.root = c.doc.PDF.Root()
	for _, p := range c.doc.PDF.Pages() {
		s.pages[p.Ref] = true
	}
	c.each(c.reach(c.edit), s.change)
}

// The reasons for taking things out.
const (
	whyPrivate  = "private data of the drawing program and page thumbnails were taken out, since they hold every size"
	whyAttached = "attached files were taken out, since they may hold the whole drawing"
	whyViews    = "presentations, page templates, separations and other views of the pages were taken out, which may show every size"
	whyForm     = "the second description of the form (XFA) was taken out, since it may name every size"
	whyStray    = "a page that is none of the file's pages was taken out, since nothing tells what it shows"
)

// scrubber takes keys out of dictionaries.
type scrubber struct {
	*choice
	root  pdf.Ref
	pages map[pdf.Ref]bool
}

// change implements change for every dictionary but those of free names.
func (s *scrubber) change(d pdf.Dict, ref pdf.Ref) pdf.Dict {
	now := d
	catalog := ref == s.root && d["Pages"] != nil
	take := func(why string, keys ...pdf.Name) {
		if rest := without(now, keys); !sameMap(rest, now) {
			now = rest
			s.because(why)
		}
	}
	if oc := d["OC"]; oc != nil {
		if fate, _ := s.Decide(oc); fate == rewrite.Remove || fate == rewrite.Unwrap {
			take("", "OC") // of what is not drawn by itself: a mask, a font
		}
	}
	if pdf.AsDict(s.edit, d["PieceInfo"]) != nil {
		take(whyPrivate, "PieceInfo", "LastModified")
	}
	if pdf.AsStream(s.edit, d["Metadata"]) != nil && !catalog {
		take("", "Metadata")
	}
	switch pdf.AsName(s.edit, d["Subtype"]) {
	case "Form":
		take(whyViews, "Ref", "OPI")
	case "Image":
		take(whyViews, "OPI")
	}
	if !s.keepAttachments {
		take(whyAttached, s.attachments(d)...)
		now = s.embedded(now)
	}
	if s.pages[ref] && isPage(s.edit, d) {
		take(whyPrivate, "Thumb")
		take(whyViews, "PresSteps", "SeparationInfo")
	}
	if catalog {
		now = s.catalog(now)
	}
	return now
}

// isPage tells a page from a dictionary within it.
func isPage(src pdf.Objects, d pdf.Dict) bool {
	return pdf.AsName(src, d["Type"]) == "Page" || d["Parent"] != nil
}

// catalog takes out what stands in the catalog and its names (7.7.2, 7.7.4).
func (s *scrubber) catalog(d pdf.Dict) pdf.Dict {
	now := s.drop(d, whyViews, "SpiderInfo")
	names := pdf.AsDict(s.edit, now["Names"])
	rest := s.dropTrees(names, whyViews, "AP", "Templates", "Pages", "AlternatePresentations", "IDS", "URLS")
	if !s.keepAttachments {
		rest = s.dropTrees(rest, whyAttached, "EmbeddedFiles")
		now = s.drop(now, whyAttached, "Collection")
		if pdf.AsName(s.edit, now["PageMode"]) == "UseAttachments" {
			now = without(now, []pdf.Name{"PageMode"})
		}
	}
	if !sameMap(rest, names) {
		now = now.Clone()
		if now["Names"] = rest; len(rest) == 0 {
			delete(now, "Names")
		}
	}
	return s.form(now)
}

// form takes the XFA description out of the interactive form (12.7.8).
func (s *scrubber) form(d pdf.Dict) pdf.Dict {
	form := pdf.AsDict(s.edit, d["AcroForm"])
	rest := s.drop(form, whyForm, "XFA")
	if sameMap(rest, form) {
		return d
	}
	d = without(d.Clone(), []pdf.Name{"NeedsRendering"})
	d["AcroForm"] = rest
	return d
}

// drop gives a dictionary without some keys, and notes why where there were
// any.
func (s *scrubber) drop(d pdf.Dict, why string, keys ...pdf.Name) pdf.Dict {
	rest := without(d, keys)
	if !sameMap(rest, d) {
		s.because(why)
	}
	return rest
}

// dropTrees is drop for name trees (7.9.6), those that name nothing without a
// word.
func (s *scrubber) dropTrees(d pdf.Dict, why string, keys ...pdf.Name) pdf.Dict {
	for _, k := range keys {
		if s.isEmptyTree(d[k]) {
			d = s.drop(d, "", k)
		}
	}
	return s.drop(d, why, keys...)
}

// maxTreeDepth bounds how deep isEmptyTree looks.
const maxTreeDepth = 32

// isEmptyTree tells whether a name tree names nothing. One that branches, or is
// too deep to follow, counts as one that does.
func (s *scrubber) isEmptyTree(o pdf.Object) bool {
	for range maxTreeDepth {
		node, kids := pdf.AsDict(s.edit, o), pdf.AsArray(s.edit, pdf.AsDict(s.edit, o)["Kids"])
		if node == nil || len(pdf.AsArray(s.edit, node["Names"])) > 0 || len(kids) > 1 {
			return false
		}
		if len(kids) == 0 {
			return true
		}
		o = kids[0]
	}
	return false
}

// because notes a reason, if there is one.
func (c *choice) because(why string) {
	if why != "" {
		c.note("%s", why)
	}
}

// without gives a dictionary without some keys; the same map where it has none
// of them.
func without(d pdf.Dict, keys []pdf.Name) pdf.Dict {
	now := d
	for _, k := range keys {
		if _, has := now[k]; !has {
			continue
		}
		if len(now) == len(d) {
			now = d.Clone()
		}
		delete(now, k)
	}
	return now
}

// sameMap tells whether two dictionaries are one map.
func sameMap(a, b pdf.Dict) bool {
	return reflect.ValueOf(a).UnsafePointer() == reflect.ValueOf(b).UnsafePointer()
}
