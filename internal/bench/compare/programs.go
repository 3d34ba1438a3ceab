package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/sizeply/sizeply/internal/bench"
	"github.com/sizeply/sizeply/layers/pattern"
)

// inputs are the files of one workload: as it is, and with what goes switched
// off, for programs that keep what is shown.
type inputs struct{ plain, off string }

// prepare writes the files of a workload.
func (o *options) prepare(self string, w bench.Workload) (inputs, error) {
	in := inputs{filepath.Join(o.folder, w.Name+".pdf"), filepath.Join(o.folder, w.Name+"-off.pdf")}
	for _, args := range [][]string{{"write", w.Name, in.plain, "on"}, {"write", w.Name, in.off, "off"}} {
		if said, err := exec.Command(self, args...).CombinedOutput(); err != nil {
			return in, fmt.Errorf("writing the workload %s: %w: %s", w.Name, err, said)
		}
	}
	return in, nil
}

// binaries are the sizeply programs to measure.
func (o *options) binaries() ([]string, error) {
	if o.sizeply != "" {
		return strings.Split(o.sizeply, ","), nil
	}
	file, err := filepath.Abs(filepath.Join(o.folder, "sizeply"))
	if err != nil {
		return nil, err
	}
	build := exec.Command("go", "build", "-o", file, "github.com/sizeply/sizeply/cli/sizeply")
	if said, err := build.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("building sizeply: %w: %s", err, said)
	}
	return []string{file}, nil
}

// programs are the runners of a race, without those that are not installed.
func (o *options) programs(self string, binaries []string, in inputs) []bench.Program {
	list := []bench.Program{{Name: "floor", Input: in.plain, Command: func(in, out string) []string {
		return []string{self, "floor", in, out}
	}}}
	for i, b := range binaries {
		name := "sizeply isolate"
		if i > 0 {
			name += fmt.Sprintf(" (%d)", i+1)
		}
		list = append(list, bench.Program{Name: name, Input: in.plain, Command: func(in, out string) []string {
			return isolate(b, in, out)
		}})
	}
	list = append(list, bench.Program{Name: "libraries", Input: in.plain, Command: func(in, out string) []string {
		return []string{self, "library", in, out}
	}})
	for _, p := range o.others(in) {
		tool := p.Command("", "")[0]
		if _, err := exec.LookPath(tool); err != nil {
			fmt.Fprintf(os.Stderr, "compare: %s is not installed; it is skipped\n", tool)
			continue
		}
		list = append(list, p)
	}
	return list
}

// library isolates as a program does that embeds the libraries and leaves the garbage
// collector as it is.
func library(in, out string) error {
	f, err := os.Open(in)
	if err != nil {
		return err
	}
	defer f.Close()
	res, err := pattern.Isolate(context.Background(), f, nil, pattern.Want{Layers: bench.Kept()}, nil)
	if err != nil {
		return err
	}
	return os.WriteFile(out, res.Data, 0o666)
}

// isolate keeps the layers of the measurement.
func isolate(binary, in, out string) []string {
	args := []string{binary, "isolate", in, "-o", out}
	for _, name := range bench.Kept() {
		args = append(args, "--layer", name)
	}
	return args
}

// others are programs with other jobs that come near: qpdf copies the file as
// it is, MuPDF and Ghostscript draw what is shown into a new one.
func (o *options) others(in inputs) []bench.Program {
	list := []bench.Program{{Name: "qpdf, plain copy", Input: in.plain, Command: func(in, out string) []string {
		return []string{"qpdf", in, out}
	}}}
	if o.slow == 0 {
		return list
	}
	return append(list,
		bench.Program{Name: "mutool convert", Input: in.off, Rounds: o.slow, Command: func(in, out string) []string {
			return []string{"mutool", "convert", "-O", "compress", "-o", out, in}
		}},
		bench.Program{Name: "Ghostscript pdfwrite", Input: in.off, Rounds: o.slow, Command: func(in, out string) []string {
			return []string{"gs", "-q", "-dNOPAUSE", "-dBATCH", "-sDEVICE=pdfwrite", "-o", out, in}
		}})
}
