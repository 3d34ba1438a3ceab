package main

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"time"

	"github.com/sizeply/sizeply/internal/bench"
)

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
