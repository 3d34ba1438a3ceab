package layout

import (
	"encoding/json"
	"errors"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// licences are the words by which the text of a licence is known, under its name
// in the SPDX list. All of a row must be there.
var licences = map[string][]string{
	"Apache-2.0":   {"Apache License", "Version 2.0"},
	"MIT":          {"Permission is hereby granted, free of charge", "THE SOFTWARE IS PROVIDED \"AS IS\""},
	"BSD-3-Clause": {"Redistribution and use in source and binary forms", "Neither the name"},
	"BSD-2-Clause": {"Redistribution and use in source and binary forms"},
	"Unlicense":    {"free and unencumbered software released into the public domain"},
	"ISC":          {"Permission to use, copy, modify, and/or distribute this software"},
	"MPL":          {"Mozilla Public License"},
	"GPL":          {"GNU GENERAL PUBLIC LICENSE"},
	"LGPL":         {"GNU LESSER GENERAL PUBLIC LICENSE"},
	"AGPL":         {"GNU AFFERO GENERAL PUBLIC LICENSE"},
	"EPL":          {"Eclipse Public License"},
}

// fitting are the licences whose code may go into a program under Apache-2.0
// without further duties than to keep their text.
var fitting = []string{"Apache-2.0", "MIT", "BSD-3-Clause", "BSD-2-Clause", "Unlicense", "ISC"}

// Where a module is used.
const (
	shipped = "command and libraries"
	tested  = "tests"
)

// usedModule is a row of the table of licences.
type usedModule struct{ Use, Licence string }

// TestLicences holds every module that is linked against the table of
// licences.md: one that is new, gone or under another licence fails, and so does
// a licence that does not fit.
func TestLicences(t *testing.T) {
	got, want := modules(t), table(t)
	for _, path := range slices.Sorted(maps.Keys(got)) {
		m := got[path]
		for _, id := range strings.Split(m.Licence, ", ") {
			if !slices.Contains(fitting, id) {
				t.Errorf("%s is under %q, which does not fit Apache-2.0", path, m.Licence)
			}
		}
		if m != want[path] {
			t.Errorf("%s: licences.md says %v; it should have the row\n| %s | %s | %s |", path, want[path], path, m.Use, m.Licence)
		}
	}
	for path := range want {
		if _, used := got[path]; !used {
			t.Errorf("%s stands in licences.md, and nothing uses it", path)
		}
	}
}

// TestLicenceOf: a licence is known by its text, several in one file too, and
// what is none is none.
func TestLicenceOf(t *testing.T) {
	for text, want := range map[string]string{
		"Apache License\n   Version 2.0, January 2004":                             "Apache-2.0",
		"Redistribution and use in source\nand binary forms ... Neither the\nname": "BSD-3-Clause",
		"Redistribution and use in source and binary forms, with or without":       "BSD-2-Clause",
		"GNU AFFERO GENERAL PUBLIC LICENSE Version 3":                              "AGPL",
		"Mozilla Public License Version 2.0":                                       "MPL",
		"All rights reserved.":                                                     "",
		"Permission is hereby granted, free of charge, ... THE SOFTWARE IS PROVIDED \"AS IS\" ... Apache License, Version 2.0": "Apache-2.0, MIT",
	} {
		if got := licenceOf(text); got != want {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
	}
}

// licenceOf names the licences that a text holds.
func licenceOf(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	var found []string
	for id, marks := range licences {
		if !slices.ContainsFunc(marks, func(m string) bool { return !strings.Contains(text, m) }) {
			found = append(found, id)
		}
	}
	if slices.Contains(found, "BSD-3-Clause") {
		found = slices.DeleteFunc(found, func(id string) bool { return id == "BSD-2-Clause" })
	}
	slices.Sort(found)
	return strings.Join(found, ", ")
}

// modules are those that the packages of the project are built from.
func modules(t *testing.T) map[string]usedModule {
	t.Helper()
	all := map[string]usedModule{}
	for path, dir := range linked(t, "-test", "./...") {
		all[path] = usedModule{tested, licenceIn(t, path, dir)}
	}
	for path := range linked(t, "./cli/sizeply", "./layers/...", "./sizes/...") {
		all[path] = usedModule{shipped, all[path].Licence}
	}
	return all
}

// linked asks the go command for the modules behind packages, and their folders.
func linked(t *testing.T, args ...string) map[string]string {
	t.Helper()
	cmd := exec.Command("go", append([]string{"list", "-deps", "-json=Module"}, args...)...)
	cmd.Dir, cmd.Stderr = "../..", os.Stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	found := map[string]string{}
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p struct {
			Module *struct {
				Path, Dir string
				Main      bool
			}
		}
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			return found
		} else if err != nil {
			t.Fatal(err)
		}
		if p.Module != nil && !p.Module.Main {
			found[p.Module.Path] = p.Module.Dir
		}
	}
}

// licenceIn reads the files of a module that hold a licence.
func licenceIn(t *testing.T, path, dir string) string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatalf("the source of %s is not at hand: %v", path, err)
	}
	var text strings.Builder
	for _, e := range entries {
		name := strings.ToLower(e.Name())
		if e.Type().IsRegular() && (strings.HasPrefix(name, "licen") || strings.HasPrefix(name, "copying") || strings.HasPrefix(name, "unlicense")) {
			data, err := os.ReadFile(filepath.Join(dir, e.Name()))
			if err != nil {
				t.Fatal(err)
			}
			text.Write(data)
		}
	}
	return licenceOf(text.String())
}

// table reads the rows of licences.md.
func table(t *testing.T) map[string]usedModule {
	t.Helper()
	text, err := os.ReadFile("licences.md")
	if err != nil {
		t.Fatal(err)
	}
	rows := map[string]usedModule{}
	for line := range strings.Lines(string(text)) {
		cells := strings.Split(strings.Trim(line, "| \n"), " | ")
		if len(cells) == 3 && strings.Contains(cells[0], ".") {
			rows[cells[0]] = usedModule{cells[1], cells[2]}
		}
	}
	return rows
}
