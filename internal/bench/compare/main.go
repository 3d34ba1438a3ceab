// Command compare writes the workloads of internal/bench and compares whole
// processes on them: the floor, sizeply isolate with its verification, a program
// that embeds the libraries, a plain copy by qpdf, and the same selection by MuPDF and Ghostscript. It prints
// medians, their ratios to the floor, and peak memory. Programs that are not
// installed are skipped, and it says so.
package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"time"

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
	if len(os.Args) == 4 && os.Args[1] == "library" {
		return library(os.Args[2], os.Args[3])
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
	var files []string
	for i := range o.check {
		files = append(files, filepath.Join(folder, fmt.Sprintf("%d.pdf", i+1)))
		if err := copyFile(files[i], in.plain); err != nil {
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

// copyFile copies without holding the file: what this program has of memory
// counts as the peak of the programs that it starts.
func copyFile(to, from string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.Create(to)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Close())
}

// about says when, where and with what it was measured.
func about(out io.Writer) {
	fmt.Fprintf(out, "%s, %s/%s, %d cores, %s\n", time.Now().Format("2 January 2006"), runtime.GOOS, runtime.GOARCH, runtime.NumCPU(), runtime.Version())
	for _, c := range [][]string{{"qpdf", "--version"}, {"mutool", "-v"}, {"gs", "--version"}} {
		said, err := exec.Command(c[0], c[1:]...).CombinedOutput()
		if err != nil && len(said) == 0 {
			continue
		}
		line, _, _ := strings.Cut(string(said), "\n")
		fmt.Fprintf(out, "%s: %s\n", c[0], line)
	}
}

// table prints the results of programs on the same files, the floor first.
func table(out io.Writer, title string, files []string, results []bench.Result) error {
	size := int64(0)
	for _, file := range files {
		info, err := os.Stat(file)
		if err != nil {
			return err
		}
		size += info.Size()
	}
	fmt.Fprintf(out, "\n%s, %s MB\n\n", title, megabytes(size))
	fmt.Fprintf(out, "| program | median s | to the floor | s of all cores | peak MB | to the file | output MB |\n|---|--:|--:|--:|--:|--:|--:|\n")
	floor := bench.Median(results[0].Wall)
	for _, r := range results {
		if r.Failed != nil {
			fmt.Fprintf(out, "| %s | failed: %v |\n", r.Name, r.Failed)
			continue
		}
		wall := bench.Median(r.Wall)
		fmt.Fprintf(out, "| %s | %.3f | %.2f | %.3f | %s | %.2f | %s |\n", r.Name, wall.Seconds(), ratio(wall, floor),
			bench.Median(r.CPU).Seconds(), megabytes(r.Peak), ratio(r.Peak, size), megabytes(r.Output))
	}
	return nil
}

func ratio[N int64 | time.Duration](a, b N) float64 { return float64(a) / float64(b) }

func megabytes(n int64) string { return fmt.Sprintf("%.1f", float64(n)/1e6) }
