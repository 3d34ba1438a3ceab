package sizes

import (
	"encoding/json"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
)

// beyondSchema are the cases of readErrors that chart.schema.json accepts, with
// the reason why it cannot do better.
var beyondSchema = map[string]string{
	"invisible label":               "what is seen is not a matter of patterns",
	"name that is not seen":         "what is seen is not a matter of patterns",
	"label twice":                   "compares values that are written in two ways",
	"label twice in another case":   "compares values that are written in two ways",
	"measurement twice":             "compares names that are written in two ways",
	"measurement in the wrong unit": "depends on the unit",
	"measurement in metres":         "depends on the unit",
	"division by zero":              "is arithmetic",
	"range backwards":               "is arithmetic",
	"range of two units":            "compares two parts of a text",
	"from large to small":           "compares sizes",
	"colour is no word for one":     "is a list of words",
	"broken glob":                   "has a grammar of its own",
	"broken glob under keep":        "has a grammar of its own",
	"keep and drop":                 "compares two lists",
	"layers and drop":               "compares two lists",
	"anchor":                        "is gone before a schema sees it",
	"tag":                           "is gone before a schema sees it",
	"directive":                     "is gone before a schema sees it",
	"two documents":                 "is gone before a schema sees it",
}

// schemaGood are charts that both the schema and the reader accept.
var schemaGood = []struct{ name, text string }{
	{"everything", fullChart},
	{"the least", "sizes: [{label: 8}]"},
	{"labels that YAML takes for something else", "sizes: [{label: 8}, {label: 38.5}, {label: yes}, {label: true}, {label: 2024-01-02}, {label: XXL}]"},
	{"empty lists", "sizes: [{label: 8, layers: [], body: {}}]\nkeep: []\ndrop: []"},
	{"unit in words", "unit: Inches\nsizes: [{label: 8}]"},
	{"fractions", "unit: in\nsizes: [{label: 8, body: {bust: 36 1/2, waist: 28-1/4, hip: 38½, wrist: 6 1 / 2}}]"},
	{"units of their own", "sizes: [{label: 8, body: {bust: 80 cm, waist: 24 1/2 in, hip: '36½\"', arm: 250mm}}]"},
	{"ranges", "unit: cm\nsizes: [{label: S, body: {bust: 82-90, waist: 66 – 74, hip: 90 to 98, arm: 26..28.5, leg: 70~75}}]"},
	{"ranges with units", "sizes: [{label: S, body: {bust: 82-90 cm, waist: 26 1/2-28 in, hip: 90cm-98cm}}]"},
	{"solid line", "sizes: [{label: 8, line: {dash: []}}]"},
	{"three digits of a colour", "sizes: [{label: 8, line: {color: '#0AF'}}]"},
	{"colours by name", "sizes: [{label: 8, line: {colour: red}}, {label: 10, line: {colour: Dunkelblau}}, {label: 12, line: {color: 'vert foncé'}}]"},
	{"lengths in mm", "sizes: [{label: 8, line: {dash: [6 mm, 1/2], width: 0.5mm}}]"},
	{"text with the line", "sizes: [{label: 8, line: {colour: '#0af', text: true}}, {label: 10, line: {dash: [], text: false}}]"},
	{"numbers as layers", "sizes: [{label: 8, layers: [8, 08, 8.0]}]\nkeep: [1]"},
	{"JSON", `{"unit": "cm", "sizes": [{"label": "8", "body": {"bust": 80}}]}`},
}

// What the schema accepts the reader accepts, and the other way round.
func TestSchemaAgreesWithTheReader(t *testing.T) {
	schema := readSchema(t)
	for _, c := range schemaGood {
		if _, err := Read(strings.NewReader(c.text), "chart.yaml"); err != nil {
			t.Errorf("%s: the reader says %v", c.name, err)
		}
		if why := schema.violation(t, c.text); why != "" {
			t.Errorf("%s: the schema says %s", c.name, why)
		}
	}
	for _, c := range readErrors {
		why := schema.violation(t, c.text)
		reason, beyond := beyondSchema[c.name]
		switch {
		case beyond && why != "":
			t.Errorf("%s: the schema refuses it (%s), so the entry %q is out of date", c.name, why, reason)
		case !beyond && why == "":
			t.Errorf("%s: the schema accepts what the reader refuses:\n%.300s", c.name, c.text)
		}
	}
}

// Each key that the reader knows is in the schema and no other, with the same
// required ones.
func TestSchemaHasTheKeysOfTheReader(t *testing.T) {
	schema := readSchema(t)
	places := map[string]string{
		"the chart": "{%s: x}", "a size": "{sizes: [{%s: x}]}", "a line": "{sizes: [{label: 8, line: {%s: x}}]}",
	}
	defs := schema.root["$defs"].(map[string]any)
	objects := map[string]any{"the chart": schema.root, "a size": defs["size"], "a line": defs["line"]}
	for what, form := range places {
		properties := objects[what].(map[string]any)["properties"].(map[string]any)
		for _, key := range []string{"name", "unit", "sizes", "names", "keep", "drop", "label", "layers", "line", "body", "colour", "color", "dash", "width", "text", "id"} {
			_, err := Read(strings.NewReader(fmt.Sprintf(form, key)), "chart.yaml")
			unknown := err != nil && strings.Contains(err.Error(), "has nothing called")
			if _, has := properties[key]; has == unknown {
				t.Errorf("%s: key %q: in the schema %t, unknown to the reader %t", what, key, has, unknown)
			}
		}
	}
}

// A schemaFile is chart.schema.json with just as much of JSON Schema (draft
// 2020-12) as it uses. A keyword that is not implemented here fails the test.
type schemaFile struct{ root map[string]any }

func readSchema(t *testing.T) schemaFile {
	t.Helper()
	data, err := os.ReadFile("chart.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	var s schemaFile
	if err := json.Unmarshal(data, &s.root); err != nil {
		t.Fatal(err)
	}
	return s
}

// violation says what is wrong with a text, "" for nothing. A text that is no
// YAML is wrong too.
func (s schemaFile) violation(t *testing.T, text string) string {
	t.Helper()
	if len(text) > 1<<15 || strings.Count(text, "[")+strings.Count(text, "{") > 1000 || strings.Count(text, "- ") > 2000 || strings.Contains(text, strings.Repeat(" ", 300)) {
		return "not for a YAML reader without limits"
	}
	var value any
	if err := yaml.Unmarshal([]byte(text), &value); err != nil {
		return "no YAML"
	}
	data, err := json.Marshal(value) // into the data model of JSON
	if err != nil {
		return "not JSON"
	}
	value = nil
	if err := json.Unmarshal(data, &value); err != nil {
		t.Fatal(err)
	}
	return s.check(t, s.root, value, "")
}

// check holds a value against a schema (JSON Schema Core 10, Validation 6) and
// returns the first keyword that fails, with its place.
func (s schemaFile) check(t *testing.T, schema map[string]any, value any, at string) string {
	t.Helper()
	keywords := make([]string, 0, len(schema))
	for k := range schema {
		keywords = append(keywords, k)
	}
	slices.Sort(keywords)
	for _, k := range keywords {
		if why := s.keyword(t, schema, k, value, at); why != "" {
			return why
		}
	}
	return ""
}

func (s schemaFile) keyword(t *testing.T, schema map[string]any, k string, value any, at string) string {
	t.Helper()
	arg := schema[k]
	fail := func(bad bool) string {
		if bad {
			return fmt.Sprintf("%s at %q", k, at)
		}
		return ""
	}
	sub := func(arg any, value any) bool { return s.check(t, arg.(map[string]any), value, at) == "" }
	object, isObject := value.(map[string]any)
	array, isArray := value.([]any)
	text, isText := value.(string)
	number, isNumber := value.(float64)
	switch k {
	case "$schema", "$defs", "$comment", "title", "description", "then":
	case "$ref":
		name := strings.TrimPrefix(arg.(string), "#/$defs/")
		return s.check(t, s.root["$defs"].(map[string]any)[name].(map[string]any), value, at)
	case "type":
		return fail(!hasType(arg, value))
	case "const":
		return fail(value != arg)
	case "anyOf":
		return fail(!slices.ContainsFunc(arg.([]any), func(a any) bool { return sub(a, value) }))
	case "not":
		return fail(sub(arg, value))
	case "if":
		return fail(sub(arg, value) && !sub(schema["then"], value))
	case "pattern":
		return fail(isText && !regexp.MustCompile(arg.(string)).MatchString(text))
	case "maxLength":
		return fail(isText && utf8.RuneCountInString(text) > int(arg.(float64)))
	case "minimum":
		return fail(isNumber && number < arg.(float64))
	case "exclusiveMinimum":
		return fail(isNumber && number <= arg.(float64))
	case "maximum":
		return fail(isNumber && number > arg.(float64))
	case "minItems":
		return fail(isArray && len(array) < int(arg.(float64)))
	case "maxItems":
		return fail(isArray && len(array) > int(arg.(float64)))
	case "contains":
		return fail(isArray && !slices.ContainsFunc(array, func(v any) bool { return sub(arg, v) }))
	case "items":
		for i, v := range array {
			if why := s.check(t, arg.(map[string]any), v, fmt.Sprintf("%s[%d]", at, i)); why != "" {
				return why
			}
		}
	case "minProperties":
		return fail(isObject && len(object) < int(arg.(float64)))
	case "required":
		return fail(isObject && slices.ContainsFunc(arg.([]any), func(a any) bool { _, ok := object[a.(string)]; return !ok }))
	case "propertyNames":
		for name := range object {
			if !sub(arg, name) {
				return fail(true)
			}
		}
	case "properties":
		for name, a := range arg.(map[string]any) {
			if v, ok := object[name]; ok {
				if why := s.check(t, a.(map[string]any), v, at+"."+name); why != "" {
					return why
				}
			}
		}
	case "additionalProperties":
		known, _ := schema["properties"].(map[string]any)
		for name, v := range object {
			if _, ok := known[name]; ok {
				continue
			}
			if arg == false {
				return fail(true)
			}
			if why := s.check(t, arg.(map[string]any), v, at+"."+name); why != "" {
				return why
			}
		}
	default:
		t.Fatalf("keyword %q is not implemented in this test", k)
	}
	return ""
}

func hasType(arg, value any) bool {
	var is string
	switch value.(type) {
	case map[string]any:
		is = "object"
	case []any:
		is = "array"
	case string:
		is = "string"
	case float64:
		is = "number"
	case bool:
		is = "boolean"
	}
	if list, ok := arg.([]any); ok {
		return slices.Contains(list, any(is))
	}
	return arg == is
}
