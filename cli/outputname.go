package cli

import (
	"path/filepath"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// defaultName is the template of output names where none is given.
const defaultName = "{file}-{size}"

// nameHelp describes the template.
const nameHelp = "{file} is the input's name without its ending, {size} the wanted sizes (or layers), " +
	"{chart} the chart's name; .pdf is added"

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
	const ending = ".pdf"
	name := fileName(strings.TrimSuffix(b.String(), ending), ending)
	if name == ending {
		return "", usagef("--name %q: that leaves no name", template)
	}
	return name, nil
}

// maxFileName is how many bytes a file name may have on the usual file systems.
const maxFileName = 255

// fileName makes one name of a text, without folders, that every usual system
// takes. The text is cut where it and its ending are too long together; without
// anything that may stay the ending is all.
func fileName(text, ending string) string {
	text = strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) || strings.ContainsRune(`/\:*?"<>|`, r) {
			return '_'
		}
		return r
	}, text)
	const ends = " ." // neither hidden nor with an end that Windows takes off
	text = strings.Trim(text, ends)
	if device.MatchString(text) {
		text = "_" + text
	}
	if most := maxFileName - len(ending); len(text) > most {
		for !utf8.RuneStart(text[most]) {
			most--
		}
		text = strings.TrimRight(text[:most], ends)
	}
	return text + ending
}

// device matches what Windows takes for a device, whatever the ending, so that
// what is written to it is lost (Microsoft, "Naming Files, Paths, and Namespaces").
var device = regexp.MustCompile(`(?i)^(con|prn|aux|nul|conin\$|conout\$|(com|lpt)[0-9¹²³]) *(\.|$)`)

// stem is the name of a file without folder and ending.
func stem(name string) string {
	base := filepath.Base(name)
	if ext := filepath.Ext(base); strings.EqualFold(ext, ".pdf") {
		base = strings.TrimSuffix(base, ext)
	}
	return base
}
