package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

// hostileNames are layer names that do harm where they are written as they are:
// to a terminal, to a page, to a folder, or by their length.
var hostileNames = []string{
	"Size 8", "Size 10", "\u009b2J\u009d0;title\x07", "a\u009b31mb\u0085c", "right \u202eto left\u202c", "\u2066isolated\u2069\u200f", "two\nlines\t\x00and",
	"\u2028parted\u2029", "\U000e0041tag", strings.Repeat("long ", 2000), strings.Repeat("ß", 10_000), "<script>alert(1)</script><img src=x onerror=y>",
	`&quot;"'` + "`", "../../../up", "NUL", "con.pdf", "COM1 ", "trailing. . .", "/etc/passwd", `C:\file`, "=cmd|' /C calc'!A0", "Size 10\u202e front",
}

// shownTo fails where a text would do something to who looks at it, or has no
// end.
func shownTo(t *testing.T, what, text string) {
	t.Helper()
	for i, line := range strings.Split(text, "\n") {
		at := strings.IndexFunc(line, func(r rune) bool { return !unicode.IsGraphic(r) && r != '\t' })
		if at >= 0 || !utf8.ValidString(line) {
			t.Errorf("%s: line %d holds a character that acts: %q", what, i+1, line[max(0, at-30):min(len(line), max(0, at)+30)])
			return
		}
	}
}

// spoken runs the command here, with what it writes to standard output and to
// standard error apart.
func spoken(t *testing.T, args ...string) (out, said string, status int) {
	t.Helper()
	var o, e bytes.Buffer
	status = Run(context.Background(), append([]string{"sizeply"}, args...), strings.NewReader(""), &o, &e)
	return o.String(), e.String(), status
}

// TestHostileNames: whatever the layers, the sizes and the files are called, what
// people see of it does nothing and has an end, and programs get the value.
func TestHostileNames(t *testing.T) {
	if testing.Short() {
		t.Skip("starts the command very often")
	}
	dir := t.TempDir()
	input := filepath.Join(dir, "in\x1b[31m\u202e\n"+strings.Repeat("x", 200)+".pdf")
	if err := os.WriteFile(input, named(hostileNames...), 0o600); err != nil {
		t.Skip(err)
	}
	chart := filepath.Join(dir, "chart\u202e.yaml")
	text := "name: \"a\\u202eb\\x1b[2J<b>\"\nunit: cm\nsizes:\n  - {label: \"8\", body: {\"bust\\u202e<b>\": 80}}\n  - {label: \"10\", body: {\"bust\\u202e<b>\": 84}}\n" +
		"  - {label: \"x\\u202e\\x1b[2J<i>\", layers: [\"right*\"], body: {\"bust\\u202e<b>\": 90}}\nnames: \"Size {label}\"\n"
	if err := os.WriteFile(chart, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	mine, all := filepath.Join(dir, "mine\u202e.pdf"), filepath.Join(dir, "all\u009b")
	for _, args := range [][]string{
		{"inspect", input}, {"inspect", input, "--json"}, {"inspect", input, "--chart", chart, "--lines"}, {"inspect", dir + "/no\x1b[31m"},
		{"check", input}, {"check", input, "--chart", chart}, {"check", input, "--json"}, {"check", input, "--sarif"},
		{"draft", input}, {"draft", input, "--lines"}, {"pick", "--chart", chart, "--size", "8", "--above", "5"}, {"pick", "--chart", chart, "--size", "\u202e\x1b"},
		{"pick", "--chart", chart, "--size", "8", "--json"}, {"pick", "--chart", chart, "--body", "bust\u202e=80cm"}, {"pick", "--chart", input, "--size", "8"},
		{"isolate", input, "--layer", hostileNames[2], "--layer", hostileNames[9], "-o", mine}, {"isolate", input, "--layer", hostileNames[2], "--layer", hostileNames[9], "-o", mine},
		{"verify", mine, "--against", input, "--layer", hostileNames[2], "--layer", hostileNames[9]}, {"verify", mine, "--against", input, "--layer", "Size 8", "--json"},
		{"isolate", input, "--layer", "none\u202e\x1b[2J", "-o", mine + "2"}, {"isolate", input, "--layer-id", "9999", "-o", mine + "2"},
		{"isolate", input, "--chart", chart, "--size", "8", "--above", "2", "--dry-run"}, {"isolate", input, "--chart", chart, "--size", "8", "--strict", "--dry-run"},
		{"isolate", input, "--chart", chart, "--size", "8", "--dry-run", "--json"}, {"isolate", input, "--size", "8", "--dry-run"},
		{"isolate", input, "--chart", chart, "--each", "--output-dir", all, "--name", "{size}"}, {"isolate", input, "--chart", chart, "--each", "--output-dir", all, "--json"},
		{"isolate", input, "--layer", "Size 8", "-o", dir + "/\x1b[2J/x.pdf"}, {"\x1b[2J"}, {"inspect", "--\x1b[2J"}, {"preview", input, "--page", "\x1b", "-o", mine + ".png"},
	} {
		what := fmt.Sprintf("%.60q", args)
		out, said, status := spoken(t, args...)
		shownTo(t, what+": standard output", out)
		shownTo(t, what+": standard error", said)
		if status != statusDone && !strings.HasPrefix(said, "sizeply: ") && !slices.Contains(args, "check") {
			t.Errorf("%s: status %d without a sentence: %.300s", what, status, said)
		}
		if slices.Contains(args, "--json") || slices.Contains(args, "--sarif") {
			if !json.Valid([]byte(out)) {
				t.Errorf("%s: no JSON: %.300s", what, out)
			}
			continue
		}
		for _, line := range strings.Split(out+said, "\n") {
			if len(line) > 4100 && args[0] != "draft" { // a chart holds names whole
				t.Errorf("%s: a line of %d bytes: %.300s", what, len(line), line)
			}
		}
	}
	entries, _ := os.ReadDir(all)
	if len(entries) == 0 {
		t.Error("--each wrote no file")
	}
	for _, e := range entries {
		shownTo(t, "the name of a file", e.Name())
	}
}

// TestNamesForPrograms: JSON holds the very names.
func TestNamesForPrograms(t *testing.T) {
	input := filepath.Join(t.TempDir(), "in.pdf")
	if err := os.WriteFile(input, named(hostileNames...), 0o600); err != nil {
		t.Fatal(err)
	}
	out, said, _ := spoken(t, "inspect", input, "--json")
	var res struct{ Layers []struct{ Name string } }
	if err := json.Unmarshal([]byte(out), &res); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	var names []string
	for _, l := range res.Layers {
		names = append(names, l.Name)
	}
	if !slices.Equal(names, hostileNames) {
		t.Errorf("got %.500q", names)
	}
}

// TestHostileFileNames: names of files that are made of names of layers stay in
// their folder, and are such as every usual system takes.
func TestHostileFileNames(t *testing.T) {
	dir := t.TempDir()
	input := filepath.Join(dir, "in.pdf")
	if err := os.WriteFile(input, named(hostileNames...), 0o600); err != nil {
		t.Fatal(err)
	}
	for i, name := range hostileNames {
		folder := filepath.Join(dir, "out", string(rune('a'+i)))
		_, said, status := spoken(t, "isolate", input, "--layer", name, "--output-dir", folder, "--name", "{size}")
		entries, err := os.ReadDir(folder)
		if status != statusDone || err != nil || len(entries) != 1 {
			t.Errorf("%.40q: status %d, %d files, %v: %.300s", name, status, len(entries), err, said)
			continue
		}
		got := entries[0].Name()
		stem := strings.TrimSuffix(got, ".pdf")
		if len(got) > maxFileName || stem == got || device.MatchString(got) || strings.Trim(stem, " .") != stem || strings.ContainsAny(got, `/\:*?"<>|`) {
			t.Errorf("%.40q makes a file called %q", name, got)
		}
		shownTo(t, "the name of a file", got)
	}
	if list, _ := os.ReadDir(dir); len(list) != 2 {
		t.Errorf("beside the folder there is %v", list)
	}
}

// TestHostileReport: the page of preview holds names as text, and nothing that
// acts.
func TestHostileReport(t *testing.T) {
	if testing.Short() {
		t.Skip("it draws")
	}
	dir := t.TempDir()
	input, page, chart := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "page.html"), filepath.Join(dir, "chart.yaml")
	if err := os.WriteFile(input, named(hostileNames...), 0o600); err != nil {
		t.Fatal(err)
	}
	text := "name: \"a\\u202eb<script>\"\nunit: cm\nsizes:\n  - {label: \"8\"}\n  - {label: \"x\\u202e<i>\", layers: [\"right*\"], body: {\"bust\\u202e<b>\": 90}}\n"
	if err := os.WriteFile(chart, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{{}, {"--chart", chart}, {"--chart", chart, "--size", "x\u202e<i>"}} {
		if _, said, status := spoken(t, append([]string{"preview", input, "-o", page, "--force"}, args...)...); status != statusDone {
			t.Fatal(said)
		}
		data, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		shownTo(t, "the page", string(data))
		shownTo(t, "the page's text", html.UnescapeString(string(data)))
		for _, tag := range []string{"<script", "<img src=x", "<i>"} {
			if bytes.Contains(data, []byte(tag)) {
				t.Errorf("the page holds %s", tag)
			}
		}
	}
}
