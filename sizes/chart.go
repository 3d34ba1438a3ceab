package sizes

import (
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/sizeply/sizeply/internal/fault"
)

// A Chart is the size chart of one pattern. Its fields may be filled by hand; [Chart.Check] then
// says whether they make sense. A chart that [Read] returns has been checked.
type Chart struct {
	Name  string   `json:"name,omitempty"`
	Unit  Unit     `json:"unit,omitempty"`  // of the body measurements
	Sizes []Size   `json:"sizes"`           // smallest first
	Names string   `json:"names,omitempty"` // the form of layer names, with {label} in it
	Keep  []string `json:"keep,omitempty"`  // names or globs of layers that every print needs
	Drop  []string `json:"drop,omitempty"`  // names or globs of layers that no print needs
	// Accepted is what a check of the files may find without a word.
	Accepted []Acceptance `json:"accepted,omitempty"`
}

// A Size is one step of the chart.
type Size struct {
	Label  string             `json:"label"`            // as written: "08" and "8" stay apart
	Layers []string           `json:"layers,omitempty"` // names or globs; without any, the label is matched
	Line   *Line              `json:"line,omitempty"`   // nil when not stated
	Body   map[string]float64 `json:"body,omitempty"`   // name of a measurement to its value in the chart's unit
	Ranges map[string]Range   `json:"-"`                // the same for ranges; no name stands in both
}

// A Range is the measurements that a size is for, in the chart's unit.
type Range struct {
	From float64
	To   float64 // more than From
}

// sizeFields are those of a Size that JSON writes as they are.
type sizeFields Size

// MarshalJSON writes a size as [Read] reads it: measurements and ranges under one
// key, body, a range as a text such as "82-90".
func (s Size) MarshalJSON() ([]byte, error) {
	body := map[string]any{}
	for name, value := range s.Body {
		body[name] = value
	}
	for name, r := range s.Ranges {
		body[name] = decimal(r.From) + "-" + decimal(r.To)
	}
	return json.Marshal(struct {
		sizeFields
		Body map[string]any `json:"body,omitempty"`
	}{sizeFields(s), body})
}

// UnmarshalJSON reads what MarshalJSON writes. It does not check the chart, which
// [Chart.Check] does.
func (s *Size) UnmarshalJSON(data []byte) error {
	var read struct {
		sizeFields
		Body map[string]json.RawMessage `json:"body"`
	}
	if err := json.Unmarshal(data, &read); err != nil {
		return err
	}
	*s = Size(read.sizeFields)
	for name, raw := range read.Body {
		var value float64
		var text string
		var r Range
		switch {
		case json.Unmarshal(raw, &value) == nil:
			if s.Body == nil {
				s.Body = map[string]float64{}
			}
			s.Body[name] = value
		case json.Unmarshal(raw, &text) == nil && r.read(text):
			if s.Ranges == nil {
				s.Ranges = map[string]Range{}
			}
			s.Ranges[name] = r
		default:
			return fault.Errorf(fault.ErrBadRequest, `size %q: %s is neither a number nor a range such as "82-90"`,
				s.Label, clip(string(raw)))
		}
	}
	return nil
}

// read reads a range of two plain numbers, "82-90".
func (r *Range) read(text string) bool {
	from, to, _ := strings.Cut(text, "-")
	var errFrom, errTo error
	r.From, errFrom = strconv.ParseFloat(from, 64)
	r.To, errTo = strconv.ParseFloat(to, 64)
	return errFrom == nil && errTo == nil
}

// A Line is the style in which a size is drawn in a file without layers for its sizes.
type Line struct {
	Colour string    `json:"colour,omitempty"` // "#rrggbb", lower case; empty when not stated
	Named  string    `json:"-"`                // the name that the chart gives Colour by, "red"; empty for digits
	Dash   []float64 `json:"dash,omitzero"`    // dashes and gaps in turn, in mm; nil: not stated, empty: solid
	Width  float64   `json:"width,omitempty"`  // in mm; 0 when not stated
	Text   bool      `json:"text,omitempty"`   // text and filled shapes in the colour belong to the size too
}

// lineFields are those of a Line that JSON writes as they are.
type lineFields Line

// MarshalJSON writes a line as [Read] reads it: a colour by its name where the chart has that.
func (l Line) MarshalJSON() ([]byte, error) {
	l.Colour = cmp.Or(l.Named, l.Colour)
	return json.Marshal(lineFields(l))
}

// UnmarshalJSON reads what MarshalJSON writes. A text that is no colour is left to [Chart.Check].
func (l *Line) UnmarshalJSON(data []byte) error {
	if err := json.Unmarshal(data, (*lineFields)(l)); err != nil {
		return err
	}
	l.Named = ""
	if len(Colour(l.Colour)) > 0 {
		l.setColour(l.Colour)
	}
	return nil
}

// An Acceptance says that something a check of the files found is meant to be so, and why.
type Acceptance struct {
	Finding string `json:"finding"`         // the id of what was found, such as "layer-empty"
	Layer   string `json:"layer,omitempty"` // a name or glob; empty for any layer
	File    string `json:"file,omitempty"`  // a name or glob, without folders; empty for any file
	Reason  string `json:"reason"`
}

// Covers reports whether the acceptance is about that finding in that layer of
// that file. Names are compared as [Chart.Match] does; a file is named without folders.
func (a Acceptance) Covers(finding, file, layer string) bool {
	covers := func(entry, name string) bool {
		p, _ := newPattern(entry)
		return entry == "" || p.exact == fold(name) || p.matches(newFolded(name))
	}
	return a.Finding == finding && covers(a.File, file) && covers(a.Layer, layer)
}

// Labels returns the labels of the chart, smallest size first.
func (c *Chart) Labels() []string {
	return each(c.Sizes, func(s Size) string { return s.Label })
}

// Neighbours returns the labels of a size and of as many sizes below and above it, in chart order.
// At the ends of the chart there are fewer; a negative number counts as none. The label may be in
// any usual spelling, as in [Chart.Resolve], but must be that of one size.
func (c *Chart) Neighbours(label string, below, above int) ([]string, error) {
	found, err := c.Resolve(label)
	if err != nil {
		return nil, err
	}
	if len(found) > 1 {
		return nil, &AmbiguousSizeError{Want: label, Fits: found}
	}
	labels := c.Labels()
	at := slices.Index(labels, found[0])
	from, to := window(at, below, above, len(labels))
	return labels[from:to], nil
}

// window returns the half-open range of positions around at, cut to n.
func window(at, below, above, n int) (from, to int) {
	below, above = max(below, 0), max(above, 0)
	return at - min(below, at), at + min(above, n-1-at) + 1
}

// labelField stands for the label in [Chart].Names.
const labelField = "{label}"

// Check says what makes no sense in a chart that was filled by hand: no sizes, two labels that no
// name could tell apart, an unknown unit, a broken glob, a layer name in two lists, a measurement
// or a line that cannot be. It finds one thing at a time and names its place, as in
// "sizes[3].label". [Read] has checked the charts that it returns.
func (c *Chart) Check() error {
	if p := c.problem(); p != nil {
		return fault.Errorf(fault.ErrBadRequest, "chart: %s: %s", p.path, p.message)
	}
	return nil
}

// A problem is what is wrong at a place of a chart.
type problem struct{ path, message string }

func problemf(path, format string, args ...any) *problem {
	return &problem{path, fmt.Sprintf(format, args...)}
}

// sizePath names the place of a size or of what it has.
func sizePath(i int, rest string) string { return fmt.Sprintf("sizes[%d]%s", i, rest) }

// problem returns the first problem of a chart, nil for none.
func (c *Chart) problem() *problem {
	if p := checkText("name", "name of the chart", c.Name); p != nil && c.Name != "" {
		return p
	}
	if c.Unit != "" && !knownUnit(c.Unit) {
		return problemf("unit", "%q is no unit of a chart; write cm, mm or in", string(c.Unit))
	}
	for _, check := range []func() *problem{
		c.checkLabels, c.checkNames, c.checkLists, c.checkLines, c.checkBodies, c.checkOrder, c.checkAccepted,
	} {
		if p := check(); p != nil {
			return p
		}
	}
	return nil
}

func (c *Chart) checkLabels() *problem {
	if len(c.Sizes) == 0 {
		return problemf("sizes", `the chart has no sizes; list them smallest first, each with a label: {label: "8"}`)
	}
	if len(c.Sizes) > maxSizes {
		return problemf("sizes", "%d sizes are more than the %d a chart may have", len(c.Sizes), maxSizes)
	}
	seen := map[string]string{}
	for i, size := range c.Sizes {
		path, key := sizePath(i, ".label"), fold(size.Label)
		if p := checkText(path, "label", size.Label); p != nil {
			return p
		}
		if first, ok := seen[key]; ok {
			return problemf(path, "label %q reads the same as label %q of an earlier size; "+
				"give each size a label of its own", size.Label, first)
		}
		seen[key] = size.Label
	}
	return nil
}

// checkText refuses a text that is empty to the eye or too long.
func checkText(path, what, text string) *problem {
	if fold(text) == "" {
		return problemf(path, "the %s is empty; write it out or leave the entry away", what)
	}
	if !utf8.ValidString(text) {
		return problemf(path, "the %s is not UTF-8", what)
	}
	if len(text) > maxTextBytes {
		return problemf(path, "the %s has %d bytes, more than the %d it may have", what, len(text), maxTextBytes)
	}
	return nil
}

func (c *Chart) checkNames() *problem {
	if c.Names == "" {
		return nil
	}
	rest := strings.Replace(c.Names, labelField, "", 1)
	switch {
	case len(c.Names) > maxTextBytes, !utf8.ValidString(c.Names):
		return checkText("names", "form", c.Names)
	case rest == c.Names:
		return problemf("names", `%q says nowhere where the label goes; write {label} there, as in "Size {label}"`,
			c.Names)
	case strings.ContainsAny(rest, "{}"):
		return problemf("names", "%q has more braces than those of one {label}, the only field there is", c.Names)
	}
	return nil
}

// A list is one list of layer names of a chart.
type list struct {
	path, key string
	entries   []string
}

// checkLists refuses what is no name and no glob, and then an entry in two lists of which one says
// the opposite of the other. Several sizes may have the same entry.
func (c *Chart) checkLists() *problem {
	var lists []list
	for i, size := range c.Sizes {
		lists = append(lists, list{sizePath(i, ".layers"), "layers", size.Layers})
	}
	lists = append(lists, list{"drop", "drop", c.Drop}, list{"keep", "keep", c.Keep})
	count := 0
	for _, list := range lists {
		if count += len(list.entries); count > maxPatterns {
			return problemf(list.path, "the lists of layers have more than %d entries together", maxPatterns)
		}
		for i, text := range list.entries {
			path := fmt.Sprintf("%s[%d]", list.path, i)
			if p := checkPattern(path, "layer name", text, "cannot be read as a layer name"); p != nil {
				return p
			}
		}
	}
	seen := map[string]string{}
	for _, list := range lists {
		for i, text := range list.entries {
			key := fold(text)
			if other, ok := seen[key]; ok && other != list.key {
				path := fmt.Sprintf("%s[%d]", list.path, i)
				return problemf(path, "%q stands under %s and under %s; keep one of the two", text, other, list.key)
			}
			seen[key] = list.key
		}
	}
	return nil
}

// checkPattern refuses a text that is no name and no glob.
func checkPattern(path, what, text, fault string) *problem {
	if p := checkText(path, what, text); p != nil {
		return p
	}
	if _, err := newPattern(text); err != nil {
		return problemf(path, "%q %s: %v", text, fault, err)
	}
	return nil
}

func (c *Chart) checkLines() *problem {
	for i, size := range c.Sizes {
		if l := size.Line; l != nil {
			if p := l.problem(sizePath(i, ".line")); p != nil {
				return p
			}
		}
	}
	return nil
}

func (l *Line) problem(path string) *problem {
	cannot := func(length float64) bool { return math.IsNaN(length) || length < 0 || length > maxMeasure }
	normal, ok := colourOf(l.Colour)
	switch {
	case l.Colour == "" && l.Dash == nil && l.Width == 0:
		return problemf(path, "the line says nothing; give it a colour, a dash or a width, or leave it away")
	case l.Text && l.Colour == "":
		return problemf(path+".text", "text is told apart by its colour; give the line a colour, or leave text away")
	case l.Colour != "" && (!ok || normal != l.Colour):
		return problemf(path+".colour", noColour, l.Colour)
	case l.Named != "" && !l.isNamed():
		return problemf(path+".colour", "%q is no name of the colour %q", l.Named, l.Colour)
	case cannot(l.Width):
		return problemf(path+".width", "a width of %v mm cannot be drawn; write millimetres, as in 0.5", l.Width)
	case len(l.Dash) > maxDash:
		return problemf(path+".dash", "%d lengths are more than the %d a dash may have", len(l.Dash), maxDash)
	}
	sum := 0.0
	for i, length := range l.Dash {
		if cannot(length) {
			path := fmt.Sprintf("%s.dash[%d]", path, i)
			return problemf(path, "a dash of %v mm cannot be drawn; write millimetres, as in [6, 2]", length)
		}
		sum += length
	}
	if len(l.Dash) > 0 && sum == 0 {
		return problemf(path+".dash", "dashes and gaps of 0 mm draw nothing; write [] for a solid line")
	}
	return nil
}

// noColour is what is said of a text that is no colour.
const noColour = `%q is no colour; write its name, such as red or dark blue, ` +
	`or six hexadecimal digits in quotes, as in "#d7263d"`

// isNamed reports whether the name of the line's colour is one.
func (l *Line) isNamed() bool {
	return slices.ContainsFunc(Colour(l.Named), func(c NamedColour) bool { return c.Values[0] == l.Colour })
}

// setColour reads a colour in digits or by its name, and reports whether it is one.
func (l *Line) setColour(text string) bool {
	var ok bool
	if l.Colour, ok = colourOf(text); ok {
		return true
	}
	named := Colour(text)
	if len(named) == 0 {
		return false
	}
	l.Colour, l.Named = named[0].Values[0], text
	return true
}

// colourOf reads "#rgb" or "#rrggbb" and writes "#rrggbb" in lower case.
func colourOf(s string) (string, bool) {
	s = strings.ToLower(s)
	if len(s) != 4 && len(s) != 7 || s[0] != '#' || strings.Trim(s[1:], "0123456789abcdef") != "" {
		return "", false
	}
	if len(s) == 4 {
		s = string([]byte{'#', s[1], s[1], s[2], s[2], s[3], s[3]})
	}
	return s, true
}

func (c *Chart) checkBodies() *problem {
	for i, size := range c.Sizes {
		path := sizePath(i, ".body")
		if len(size.Body)+len(size.Ranges) > 0 && c.Unit == "" {
			return problemf(path, `a measurement here has no unit; write "unit: cm", mm or in at the top of the chart`)
		}
		seen := map[string]string{}
		for _, name := range slices.Sorted(maps.Keys(size.Body)) {
			if p := c.checkMeasure(path+"."+name, name, seen, size.Body[name]); p != nil {
				return p
			}
		}
		for _, name := range slices.Sorted(maps.Keys(size.Ranges)) {
			r := size.Ranges[name]
			if p := c.checkMeasure(path+"."+name, name, seen, r.From, r.To); p != nil {
				return p
			}
		}
	}
	return nil
}

// checkMeasure refuses what no body measures, a range that runs backwards, and a
// name that stands already.
func (c *Chart) checkMeasure(path, name string, seen map[string]string, ends ...float64) *problem {
	if p := checkText(path, "name of the measurement", name); p != nil {
		return p
	}
	if first, ok := seen[fold(name)]; ok {
		return problemf(path, "%q and %q are the same measurement; keep one of the two", first, name)
	}
	seen[fold(name)] = name
	for i, value := range ends {
		if i > 0 && !(ends[0] < value) {
			return problemf(path, "%s runs from %v to %v; write the smaller end of a range first, as in 82-90",
				name, ends[0], value)
		}
		if !(value > 0) {
			return problemf(path, "%s is %v; a measurement is more than 0, and is left away where there is none",
				name, value)
		}
		if bound := (Measure{value, c.Unit}).beyond(); bound != "" {
			return problemf(path, "%s is %v %s, %s; is the unit right?", name, value, c.Unit, bound)
		}
	}
	return nil
}

// checkOrder refuses a chart that runs from large to small: wherever two sizes
// in a row have a measurement in common it falls, and nowhere does one rise.
func (c *Chart) checkOrder() *problem {
	falls := false
	var before map[string]float64
	for _, size := range c.Sizes {
		middles := map[string]float64{} // by folded name, of a range its middle
		for name, value := range size.Body {
			middles[fold(name)] = value
		}
		for name, r := range size.Ranges {
			middles[fold(name)] = (r.From + r.To) / 2
		}
		for name, value := range middles {
			was, ok := before[name]
			if ok && value > was {
				return nil
			}
			falls = falls || ok && value < was
		}
		before = middles
	}
	if !falls {
		return nil
	}
	return problemf("sizes",
		"the sizes run from large to small; list the smallest first, since the order says what is below and above")
}

func (c *Chart) checkAccepted() *problem {
	if len(c.Accepted) > maxPatterns {
		return problemf("accepted", "more than %d findings are accepted", maxPatterns)
	}
	for i, a := range c.Accepted {
		path := fmt.Sprintf("accepted[%d]", i)
		if p := checkText(path+".finding", "finding", a.Finding); p != nil {
			return p
		}
		if p := checkText(path+".reason", "reason", a.Reason); p != nil {
			return p
		}
		for _, field := range [][2]string{{"layer", a.Layer}, {"file", a.File}} {
			p := checkPattern(path+"."+field[0], field[0]+" name", field[1], "is no glob")
			if p != nil && field[1] != "" {
				return p
			}
		}
	}
	return nil
}
