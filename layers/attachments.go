package layers

import (
	"slices"

	"github.com/sizeply/sizeply/internal/pdf"
)

// attachments are the keys of a dictionary that attach files to what it
// describes (14.13 of ISO 32000-2): AF, and MCAF in property lists.
func (s *scrubber) attachments(d pdf.Dict) (keys []pdf.Name) {
	for _, k := range []pdf.Name{"AF", "MCAF"} {
		list := pdf.AsArray(s.edit, d[k])
		if list == nil {
			list = pdf.Array{d[k]}
		}
		if slices.ContainsFunc(list, s.isFile) {
			keys = append(keys, k)
		}
	}
	return keys
}

// isFile tells whether an object is a file specification (7.11.3).
func (s *scrubber) isFile(o pdf.Object) bool {
	d := pdf.AsDict(s.edit, o)
	name := pdf.AsName(s.edit, d["Type"])
	return name == "Filespec" || name == "F" || d["EF"] != nil || d["F"] != nil || d["UF"] != nil
}

// embedded takes the file out of an action that leads to one within the
// document (12.6.4.3 to 12.6.4.6). What plays sound and video keeps its files.
func (s *scrubber) embedded(d pdf.Dict) pdf.Dict {
	switch pdf.AsName(s.edit, d["S"]) {
	case "GoToR", "GoToE", "Launch", "Thread", "ImportData", "SubmitForm":
	default:
		return d
	}
	file := pdf.AsDict(s.edit, d["F"])
	rest := s.drop(file, whyAttached, "EF", "RF")
	if sameMap(rest, file) {
		return d
	}
	d = d.Clone()
	d["F"] = rest
	return d
}
