package isolate

import (
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
	"github.com/sizeply/sizeply/internal/rewrite"
	"github.com/sizeply/sizeply/layers/warning"
)

// The reasons for taking things out.
var (
	whyPrivate = warning.New(warning.PrivateDataRemoved, nil,
		"private data of the drawing program and page thumbnails were taken out, since they hold every size")
	whyAttached = warning.New(warning.AttachmentsRemoved, nil,
		"attached files were taken out, since they may hold the whole drawing")
	whyViews = warning.New(warning.ViewsRemoved, nil, "presentations, page templates, separations and other "+
		"views of the pages were taken out, which may show every size")
	whyForm = warning.New(warning.FormRemoved, nil,
		"the second description of the form (XFA) was taken out, since it may name every size")
	whyScript = warning.New(warning.ScriptsRemoved, nil,
		"scripts were taken out, since they may name or look for layers that went")
	whyOtherPage = warning.New(warning.OtherPageRemoved, nil,
		"a page that is none of the file's pages was taken out, since nothing tells what it shows")
)

// removePrivate takes out what may hold the drawing a second time, whatever is
// chosen: private data of drawing programs (14.5), page thumbnails (12.3.4),
// metadata but for the document's own (14.3.2), attached files, presentations,
// page templates, pictures and pages elsewhere that stand for a drawing. What is
// left of entries of optional content where they mean nothing is removed too.
func (e *editor) removePrivate() {
	pages := e.pages()
	_, root := e.doc.PDF.Root()
	e.each(e.reach(e.edit), func(d pdf.Dict, ref pdf.Ref) pdf.Dict {
		catalog := ref == root && d["Pages"] != nil
		now := d
		if oc := d["OC"]; oc != nil {
			if what, _ := e.Decide(oc); what == rewrite.Remove || what == rewrite.Unwrap {
				now = without(now, "OC") // of what is not drawn by itself: a mask, a font
			}
		}
		if pdf.AsDict(e.edit, d["PieceInfo"]) != nil {
			now = e.remove(now, whyPrivate, "PieceInfo", "LastModified")
		}
		if pdf.AsStream(e.edit, d["Metadata"]) != nil && !catalog {
			now = without(now, "Metadata")
		}
		switch pdf.AsName(e.edit, d["Subtype"]) {
		case "Form":
			now = e.remove(now, whyViews, "Ref", "OPI")
		case "Image":
			now = e.remove(now, whyViews, "OPI")
		}
		if !e.opt.KeepAttachments {
			now = e.removeAttached(now)
		}
		// A page, and not a dictionary within it.
		if pages[ref] && (pdf.AsName(e.edit, d["Type"]) == "Page" || d["Parent"] != nil) {
			now = e.remove(now, whyPrivate, "Thumb")
			now = e.remove(now, whyViews, "PresSteps", "SeparationInfo")
		}
		if catalog {
			now = e.removeOfCatalog(now)
		}
		return now
	})
}

// remove gives a dictionary without some keys, and notes why where there were
// any.
func (e *editor) remove(d pdf.Dict, why warning.Warning, keys ...pdf.Name) pdf.Dict {
	rest := without(d, keys...)
	if !same(rest, d) {
		e.warn(why)
	}
	return rest
}

// removeAttached takes files out of what they are attached to (14.13 of ISO
// 32000-2: AF, and MCAF in property lists), and out of actions that lead to one
// within the document (12.6.4.3 to 12.6.4.6). What plays sound and video keeps
// its files.
func (e *editor) removeAttached(d pdf.Dict) pdf.Dict {
	for _, k := range []pdf.Name{"AF", "MCAF"} {
		list := pdf.AsArray(e.edit, d[k])
		if list == nil {
			list = pdf.Array{d[k]}
		}
		if slices.ContainsFunc(list, func(o pdf.Object) bool { // a file specification (7.11.3)
			f := pdf.AsDict(e.edit, o)
			kind := pdf.AsName(e.edit, f["Type"])
			return kind == "Filespec" || kind == "F" || f["EF"] != nil || f["F"] != nil || f["UF"] != nil
		}) {
			d = e.remove(d, whyAttached, k)
		}
	}
	switch pdf.AsName(e.edit, d["S"]) {
	case "GoToR", "GoToE", "Launch", "Thread", "ImportData", "SubmitForm":
		file := pdf.AsDict(e.edit, d["F"])
		if rest := e.remove(file, whyAttached, "EF", "RF"); !same(rest, file) {
			d = with(d, "F", rest)
		}
	}
	return d
}

// removeOfCatalog takes out what stands in the catalog, its names (7.7.2, 7.7.4)
// and its interactive form, of which XFA is a second description (12.7.8).
func (e *editor) removeOfCatalog(d pdf.Dict) pdf.Dict {
	d = e.remove(d, whyViews, "SpiderInfo")
	names := pdf.AsDict(e.edit, d["Names"])
	rest := e.removeTrees(names, whyViews, "AP", "Templates", "Pages", "AlternatePresentations", "IDS", "URLS")
	if !e.opt.KeepAttachments {
		rest = e.removeTrees(rest, whyAttached, "EmbeddedFiles")
		d = e.remove(d, whyAttached, "Collection")
		if pdf.AsName(e.edit, d["PageMode"]) == "UseAttachments" {
			d = without(d, "PageMode")
		}
	}
	switch {
	case same(rest, names):
	case len(rest) == 0:
		d = without(d, "Names")
	default:
		d = with(d, "Names", rest)
	}
	form := pdf.AsDict(e.edit, d["AcroForm"])
	if rest := e.remove(form, whyForm, "XFA"); !same(rest, form) {
		d = with(without(d, "NeedsRendering"), "AcroForm", rest)
	}
	return d
}

// removeTrees takes name trees (7.9.6) out of a dictionary, those that name
// nothing without a word.
func (e *editor) removeTrees(d pdf.Dict, why warning.Warning, keys ...pdf.Name) pdf.Dict {
	for _, k := range keys {
		if e.isEmptyTree(d[k]) {
			d = without(d, k)
		}
	}
	return e.remove(d, why, keys...)
}

// isEmptyTree reports whether a name tree names nothing. One that branches, or is
// too deep to follow, counts as one that does.
func (e *editor) isEmptyTree(o pdf.Object) bool {
	const maxDepth = 32
	for range maxDepth {
		node := pdf.AsDict(e.edit, o)
		kids := pdf.AsArray(e.edit, node["Kids"])
		if node == nil || len(pdf.AsArray(e.edit, node["Names"])) > 0 || len(kids) > 1 {
			return false
		}
		if len(kids) == 0 {
			return true
		}
		o = kids[0]
	}
	return false
}
