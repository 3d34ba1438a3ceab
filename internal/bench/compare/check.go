package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/sizeply/sizeply/internal/bench"
)

// compareCheck measures looking at copies of a workload: sizeply check, and what
// reads and inflates them.
func (o *options) compareCheck(self string, binaries []string, w bench.Workload, in inputs) error {
	if o.check < 1 {
		return nil
	}
	folder := filepath.Join(o.folder, w.Name+"-copies")
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	data, err := os.ReadFile(in.plain)
	if err != nil {
		return err
	}
	var files []string
	for i := range o.check {
		files = append(files, filepath.Join(folder, fmt.Sprintf("%d.pdf", i+1)))
		if err := os.WriteFile(files[i], data, 0o666); err != nil {
			return err
		}
	}
	on := func(args ...string) func(string, string) []string {
		return func(string, string) []string { return append(args, files...) }
	}
	list := []bench.Program{{Name: "read and inflate", Command: on(self, "inflate")}}
	for _, b := range binaries {
		list = append(list, bench.Program{Name: "sizeply check", Command: on(b, "check", "--fail-on", "none")})
	}
	results := bench.Race(list, filepath.Join(o.folder, "out.pdf"), o.rounds)
	return table(os.Stdout, fmt.Sprintf("%s: %d copies, pages %d each", w.Name, o.check, w.Pages), files, results)
}
