// Command generate writes the demo patterns into the testdata folder named
// by its argument, from the chart it finds there.
package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"

	"github.com/sizeply/sizeply/internal/demo"
	"github.com/sizeply/sizeply/sizes"
)

func main() {
	if len(os.Args) != 2 {
		fmt.Fprintln(os.Stderr, "usage: generate TESTDATA")
		os.Exit(2)
	}
	if err := generate(os.Args[1]); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

func generate(testdata string) error {
	path := filepath.Join(testdata, "charts", "tollmere.yaml")
	file, err := os.Open(path)
	if err != nil {
		return err
	}
	defer file.Close()
	chart, err := sizes.Read(file, path)
	if err != nil {
		return err
	}
	bodies, err := demo.Bodies(chart)
	if err != nil {
		return err
	}
	for _, f := range demo.Files() {
		var file bytes.Buffer
		if err := f.Write(&file, bodies); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(testdata, f.Name), file.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}
