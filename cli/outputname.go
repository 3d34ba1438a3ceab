package cli

import (
	"path/filepath"
	"strings"
	"unicode"
)

// defaultName is the template of output names where none is given.
const defaultName = "{file}-{size}"

// nameHelp describes the template.
const nameHelp = "{file} is the input's name without its ending, {size} the wanted sizes (or layers), {chart} the chart's name; .pdf is added"

// outputName makes a file name from a template and the values of its
// placeholders. What cannot stand in a file name on every system becomes "_".
func outputName(template string, values map[string]string) (string, error) {
	var b strings.Builder
	for rest := template; rest != ""; {
		text, after, open := strings.Cut(rest, "{")
		b.WriteString(text)
		if !open {
			break
		}
		key, tail, closed := strings.Cut(after, "}")
		v, known := values[key]
		if !closed || !known {
			return "", usagef("--name %q: {%s} is no placeholder; %s", template, key, nameHelp)
		}
		b.WriteString(v)
		rest = tail
	}
	name := fileName(strings.TrimSuffix(b.String(), ".pdf"))
	if name == "" {
		return "", usagef("--name %q: that leaves no name", template)
	}
	return name + ".pdf", nil
}

// fileName makes one name of a text, without folders.
func fileName(s string) string {
	const most = 120 // file systems end at 255 bytes
	s = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) || strings.ContainsRune(`/\:*?"<>|`, r) {
			return '_'
		}
		return r
	}, s)
	if r := []rune(s); len(r) > most {
		s = string(r[:most])
	}
	return strings.Trim(s, " .") // neither hidden nor without an end
}

// stem is the name of a file without folder and ending.
func stem(name string) string {
	base := filepath.Base(name)
	if ext := filepath.Ext(base); strings.EqualFold(ext, ".pdf") {
		base = strings.TrimSuffix(base, ext)
	}
	return base
}
