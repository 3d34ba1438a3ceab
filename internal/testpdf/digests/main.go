// Digests runs the command on many files in many ways and prints what each run
// wrote as one number, or compares two builds of the command: a change of the
// inside that shall change nothing outside is held against the build before it.
// See .ci/digests, which calls it.
//
//	digests BINARY             a line for each case: its digest and its name
//	digests -compare OLD NEW   the cases in which two builds differ, and how
//
// A digest is the SHA-256 of the standard output, the exit status and the file
// written; what is said on standard error may change.
package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
)

func main() {
	compared := flag.Bool("compare", false, "compare two builds")
	flag.Parse()
	want := 1
	if *compared {
		want = 2
	}
	if flag.NArg() != want {
		flag.Usage()
		os.Exit(2)
	}
	same, err := run(flag.Args())
	if err != nil {
		fmt.Fprintln(os.Stderr, "digests:", err)
		os.Exit(2)
	}
	if !same {
		os.Exit(1)
	}
}

// run goes through all files with one build or two, and reports whether they
// agree in all.
func run(builds []string) (bool, error) {
	for i, b := range builds {
		full, err := filepath.Abs(b)
		if err != nil {
			return false, err
		}
		builds[i] = full
	}
	dir, err := os.MkdirTemp("", "digests")
	if err != nil {
		return false, err
	}
	defer os.RemoveAll(dir)
	files, err := prepare(filepath.Join(dir, "in"), len(builds) > 1)
	if err != nil {
		return false, err
	}
	work := make(chan file)
	var mu sync.Mutex
	var list []outcome
	var wait sync.WaitGroup
	for i := range 2 { // two files at a time: as many as a small machine has cores
		desk := filepath.Join(dir, fmt.Sprint("desk", i))
		if err := os.Mkdir(desk, 0o755); err != nil {
			return false, err
		}
		wait.Go(func() {
			for f := range work {
				found := look(f, desk, builds)
				mu.Lock()
				list = append(list, found...)
				mu.Unlock()
			}
		})
	}
	for _, f := range files {
		work <- f
	}
	close(work)
	wait.Wait()
	return report(list, len(builds) > 1), nil
}

// report prints the cases, sorted, and reports whether the builds agree.
func report(list []outcome, compared bool) bool {
	slices.SortFunc(list, func(a, b outcome) int { return strings.Compare(a.name, b.name) })
	if !compared {
		for _, o := range list {
			fmt.Printf("%x  %s\n", o.by[0].digest(), o.name)
		}
		return true
	}
	different := 0
	for _, o := range list {
		if what := o.by[0].against(o.by[1]); what != "" {
			different++
			fmt.Printf("%s: %s\n", o.name, what)
			keep(o)
		}
	}
	fmt.Printf("%d of %d cases differ\n", different, len(list))
	return different == 0
}

// outcome is what each build made of one case.
type outcome struct {
	name string
	by   []result
}

// result is what one run of the command wrote.
type result struct {
	stdout, stderr, written []byte
	status                  int
}

func (r result) digest() [32]byte {
	h := sha256.New()
	fmt.Fprintf(h, "%d %d %d\n", r.status, len(r.stdout), len(r.written))
	h.Write(r.stdout)
	h.Write(r.written)
	return [32]byte(h.Sum(nil))
}

// against says in what two results differ, "" where they are equal.
func (r result) against(s result) string {
	var what []string
	if r.status != s.status {
		what = append(what, fmt.Sprintf("exit status %d, now %d (%s)", r.status, s.status, bytes.TrimSpace(s.stderr)))
	}
	if !bytes.Equal(r.stdout, s.stdout) {
		what = append(what, fmt.Sprintf("standard output %d bytes, now %d", len(r.stdout), len(s.stdout)))
	}
	if !bytes.Equal(r.written, s.written) {
		what = append(what, fmt.Sprintf("file %d bytes, now %d", len(r.written), len(s.written)))
	}
	return strings.Join(what, "; ")
}

// keep puts what the builds wrote in a case into the folder SIZEPLY_KEEP, where
// that is set.
func keep(o outcome) {
	dir := os.Getenv("SIZEPLY_KEEP")
	if dir == "" {
		return
	}
	base := strings.Map(func(r rune) rune {
		if strings.ContainsRune(`/\: *"`, r) {
			return '_'
		}
		return r
	}, o.name)
	for i, r := range o.by {
		build := []string{"old", "new"}[i]
		for end, data := range map[string][]byte{"stdout": r.stdout, "stderr": r.stderr, "pdf": r.written} {
			if err := os.WriteFile(filepath.Join(dir, base+"."+build+"."+end), data, 0o644); err != nil {
				fmt.Fprintln(os.Stderr, "digests:", err)
			}
		}
	}
}

// start runs a build with arguments in a folder, in which it may write out.pdf.
func start(build, desk string, args []string) result {
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, build, args...)
	cmd.Dir = desk
	cmd.Env = append(os.Environ(), "NO_COLOR=1", "SIZEPLY_PASSWORD=")
	var out, words bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &words
	err := cmd.Run()
	r := result{stdout: out.Bytes(), stderr: words.Bytes()}
	var exit *exec.ExitError
	switch {
	case errors.As(err, &exit):
		r.status = exit.ExitCode()
	case err != nil:
		r.status, r.stderr = -2, []byte(err.Error())
	}
	name := filepath.Join(desk, "out.pdf")
	if data, err := os.ReadFile(name); err == nil {
		r.written = data
		os.Remove(name)
	}
	return r
}
