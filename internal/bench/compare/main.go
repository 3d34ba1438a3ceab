// Command compare writes the workloads of internal/bench and compares whole
// processes on them: the floor, sizeply isolate with its verification, a plain
// copy by qpdf, and the same selection by MuPDF and Ghostscript. It prints
// medians, their ratios to the floor, and peak memory. Programs that are not
// installed are skipped, and it says so.
package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/sizeply/sizeply/internal/bench"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "compare:", err)
		os.Exit(1)
	}
}

// options are what the command was told.
type options struct {
	folder, sizeply, workloads string
	rounds, slow, check        int
}

func run() error {
	// The command calls itself for what takes memory or is measured.
	if len(os.Args) == 4 && os.Args[1] == "floor" {
		return bench.Floor(os.Args[2], os.Args[3])
	}
	if len(os.Args) > 2 && os.Args[1] == "inflate" {
		_, err := bench.Inflate(os.Args[2:]...)
		return err
	}
	if len(os.Args) == 5 && os.Args[1] == "write" {
		return write(os.Args[2], os.Args[3], os.Args[4] == "off")
	}
	var o options
	flag.StringVar(&o.folder, "folder", "", "write the workloads here and leave them; else in a folder that goes")
	flag.StringVar(&o.sizeply, "sizeply", "", "sizeply programs to measure, separated by commas; else the one of this module is built")
	flag.StringVar(&o.workloads, "workloads", "one,ten,forty,eighty,forms,tiles", "which to measure")
	flag.IntVar(&o.rounds, "rounds", 5, "how often each program runs")
	flag.IntVar(&o.slow, "slow", 3, "how often MuPDF and Ghostscript run, which take long; 0 leaves them out")
	flag.IntVar(&o.check, "check", 0, "measure sizeply check on this many copies of each workload too")
	flag.Parse()
	if o.folder == "" {
		folder, err := os.MkdirTemp("", "sizeply-bench-")
		if err != nil {
			return err
		}
		defer os.RemoveAll(folder)
		o.folder = folder
	}
	return o.compare()
}

// compare measures one workload after another.
func (o *options) compare() error {
	self, err := os.Executable()
	if err != nil {
		return err
	}
	binaries, err := o.binaries()
	if err != nil {
		return err
	}
	about(os.Stdout)
	for _, name := range strings.Split(o.workloads, ",") {
		w, err := workload(name)
		if err != nil {
			return err
		}
		in, err := o.prepare(self, w)
		if err != nil {
			return err
		}
		results := bench.Race(o.programs(self, binaries, in), filepath.Join(o.folder, "out.pdf"), o.rounds)
		title := fmt.Sprintf("%s: pages %d", w.Name, w.Pages)
		if err := table(os.Stdout, title, []string{in.plain}, results); err != nil {
			return err
		}
		if err := o.compareCheck(self, binaries, w, in); err != nil {
			return err
		}
	}
	return nil
}

func workload(name string) (bench.Workload, error) {
	list := bench.Workloads()
	i := slices.IndexFunc(list, func(w bench.Workload) bool { return w.Name == name })
	if i < 0 {
		return bench.Workload{}, fmt.Errorf("there is no workload %q", name)
	}
	return list[i], nil
}

// write writes a workload to a file, unless that is there.
func write(name, file string, off bool) error {
	w, err := workload(name)
	if err != nil {
		return err
	}
	if _, err := os.Stat(file); err == nil {
		return nil
	}
	var hidden []string
	if off {
		hidden = slices.DeleteFunc(bench.Layers(), func(l string) bool { return slices.Contains(bench.Kept(), l) })
	}
	f, err := os.Create(file)
	if err != nil {
		return err
	}
	return errors.Join(w.Write(f, hidden), f.Close())
}
