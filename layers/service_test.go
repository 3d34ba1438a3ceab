package layers

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// request does for one client what a service does: it opens, isolates and checks a
// file that is in memory.
func request(file []byte, opt *OpenOptions) error {
	ctx := context.Background()
	doc, err := Open(ctx, bytes.NewReader(file), opt)
	if err != nil {
		return err
	}
	if _, err := doc.Inspect(ctx); err != nil {
		return err
	}
	var out bytes.Buffer
	report, err := doc.Isolate(ctx, &out, Selection{Layers: []int{0}}, nil)
	if err != nil {
		return err
	}
	return report.Check(ctx, bytes.NewReader(out.Bytes()))
}

// TestSoak: after many requests memory and goroutines are what they were after
// some.
func TestSoak(t *testing.T) {
	requests := 100
	if long() {
		requests = 1000
	} else if testing.Short() {
		t.Skip("takes many requests")
	}
	file, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	run := func(n int) (heap uint64, goroutines int) {
		for range n {
			if err := request(file, nil); err != nil {
				t.Fatal(err)
			}
		}
		runtime.GC()
		runtime.GC() // what the first finalised
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return m.HeapAlloc, runtime.NumGoroutine()
	}
	const warm = 20
	before, goroutines := run(warm)
	after, now := run(requests)
	t.Logf("%d requests: heap %d kB, then %d kB; %d goroutines, then %d", requests, before>>10, after>>10, goroutines, now)
	if after > before+1<<20 {
		t.Errorf("the heap grew by %d kB", (after-before)>>10)
	}
	if now > goroutines {
		t.Errorf("there are %d goroutines, and were %d", now, goroutines)
	}
}

// small are the limits for which the comment of [OpenOptions] names a bound on
// memory.
var small = OpenOptions{
	MaxFileBytes: 16 << 20, MaxStreamBytes: 16 << 20, MaxPageBytes: 4 << 20, MaxObjects: 100_000, MaxObjectBytes: 3 << 20,
}

const (
	smallVariable = "SIZEPLY_SMALL_FILE"
	smallMemory   = 256 << 20
)

// TestSmallLimits: one request, in a process of its own, stays within the memory
// that the limits are documented to keep to, whatever the file. SIZEPLY_LONG=1 takes
// all files, else it is one in thirty-two.
func TestSmallLimits(t *testing.T) {
	if name := os.Getenv(smallVariable); name != "" {
		file, err := os.ReadFile(name)
		if err == nil {
			err = request(file, &small)
		}
		fmt.Println(err)
		testpdf.SayPeak()
		return
	}
	if testing.Short() {
		t.Skip("takes a process for each file")
	}
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	most, files := int64(0), 0
	for i, h := range testpdf.HostileFiles {
		if i%32 != 0 && !long() {
			continue
		}
		files++
		name := filepath.Join(t.TempDir(), "hostile.pdf")
		if err := os.WriteFile(name, h.File(), 0o600); err != nil {
			t.Fatal(err)
		}
		cmd := exec.Command(program, "-test.run=^TestSmallLimits$")
		cmd.Env = append(os.Environ(), smallVariable+"="+name)
		ownPeak := testpdf.AskPeak(t, cmd)
		out, err := cmd.CombinedOutput()
		text, _, _ := strings.Cut(string(out), "\n")
		peak := ownPeak()
		most = max(most, peak)
		if err != nil || peak > smallMemory {
			t.Errorf("%s: %v, %d MB: %s", h.Name, err, peak>>20, text)
		}
	}
	t.Logf("%d files, at most %d MB", files, most>>20)
}

const (
	touchVariable = "SIZEPLY_TOUCH"
	touchBegin    = "/sizeply-begins-here"
	touchEnd      = "/sizeply-ends-here"
)

// TestNothingTouched: between reading the input and writing the output no system
// call names a file, as strace tells.
func TestNothingTouched(t *testing.T) {
	file := testpdf.Build(testpdf.Doc{Groups: []string{"A", "B"}, Pages: []testpdf.Page{{Content: "P1 /OC /B BDC BT /F 9 Tf (x) Tj ET EMC"}}})
	if os.Getenv(touchVariable) != "" {
		_, _ = os.Stat(touchBegin)
		err := request(file, nil)
		_, _ = os.Stat(touchEnd)
		if err != nil {
			t.Fatal(err)
		}
		return
	}
	testpdf.Tool(t, "strace")
	trace := filepath.Join(t.TempDir(), "trace")
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("strace", "-f", "-e", "trace=%file,%network,%process", "-o", trace, program, "-test.run=^TestNothingTouched$")
	cmd.Env = append(os.Environ(), touchVariable+"=1")
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Skipf("strace cannot run here: %v: %s", err, out)
	}
	calls, err := os.ReadFile(trace)
	if err != nil {
		t.Fatal(err)
	}
	_, rest, begun := strings.Cut(string(calls), touchBegin)
	within, _, ended := strings.Cut(rest, touchEnd)
	if !begun || !ended {
		t.Fatalf("the calls are not those of the test: %.1000s", calls)
	}
	lines := strings.Split(within, "\n") // the first and the last are those of the test
	for _, line := range lines[1 : len(lines)-1] {
		if strings.Contains(line, "\"") {
			t.Errorf("a file is named: %s", line)
		}
	}
}
