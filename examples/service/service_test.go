package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"runtime"
	"runtime/metrics"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/sizeply/sizeply/internal/bench"
	"github.com/sizeply/sizeply/internal/testpdf"
	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/sizes"
)

// started is a service of the demo pattern, and its address.
func started(t *testing.T, atOnce, waiting int) (*service, string) {
	t.Helper()
	file, err := os.Open("../../testdata/charts/tollmere.yaml")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	chart, err := sizes.Read(file, "tollmere.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s := newService(chart, atOnce, waiting)
	server := httptest.NewServer(s.handler())
	t.Cleanup(server.Close)
	return s, server.URL
}

// post sends a file and returns the status and the body of the answer.
func post(ctx context.Context, url string, file io.Reader) (int, []byte, error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodPost, url, file)
	if err != nil {
		return 0, nil, err
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		return 0, nil, err
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	return answer.StatusCode, body, err
}

// long reports whether a test may take minutes.
func long() bool { return os.Getenv("SIZEPLY_LONG") != "" }

func demo(t *testing.T) []byte {
	t.Helper()
	data, err := os.ReadFile("../../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// TestAnswers: each kind of error has its own status.
func TestAnswers(t *testing.T) {
	_, url := started(t, 1, 1)
	other := testpdf.Build(testpdf.Doc{Groups: []string{"Size 14"}, Pages: []testpdf.Page{{}}})
	for _, c := range []struct {
		name, query string
		file        []byte
		want        int
		says        string
	}{
		{"a size", "size=14&below=1&above=1", demo(t), http.StatusOK, "%PDF-"},
		{"no such size", "size=15", demo(t), http.StatusBadRequest, "not in the chart"},
		{"no size", "", demo(t), http.StatusBadRequest, "no size is wanted"},
		{"no number", "size=14&below=many", demo(t), http.StatusBadRequest, "many"},
		{"no PDF", "size=14", []byte("a letter"), http.StatusUnprocessableEntity, "not a PDF"},
		{"cut short", "size=14", demo(t)[:20_000], http.StatusUnprocessableEntity, "broken"},
		{"another pattern's", "size=12", other, http.StatusBadRequest, "no layer"},
		{"too large", "size=14", make([]byte, 16<<20+1), http.StatusRequestEntityTooLarge, "too large"},
	} {
		status, body, err := post(context.Background(), url+"/isolate?"+c.query, bytes.NewReader(c.file))
		if err != nil || status != c.want || !strings.Contains(string(body), c.says) {
			t.Errorf("%s: %d %.200q, %v; want %d and %q", c.name, status, body, err, c.want, c.says)
		}
	}
	if got := status(layers.ErrPassword); got != http.StatusForbidden {
		t.Errorf("a password that is missing: %d", got)
	}
	answer, err := http.Get(url + "/health")
	if err != nil || answer.StatusCode != http.StatusOK {
		t.Errorf("health: %v, %v", answer, err)
	}
}

// TestHundredUploads: a hundred uploads at once all get the same bytes, within the
// memory that newService states, and none is kept when they are answered.
func TestHundredUploads(t *testing.T) {
	const uploads, atOnce = 100, 2
	_, url := started(t, atOnce, uploads)
	file := demo(t)
	if long() {
		var sheet bytes.Buffer
		if err := bench.Workloads()[0].Write(&sheet, nil); err != nil {
			t.Fatal(err)
		}
		file = sheet.Bytes()
	}
	peak, stop := watchMemory()
	var wait sync.WaitGroup
	var lock sync.Mutex
	sums := map[string]int{}
	for range uploads {
		wait.Go(func() {
			status, body, err := post(context.Background(), url+"/isolate?size=14&below=1&above=1", bytes.NewReader(file))
			lock.Lock()
			defer lock.Unlock()
			sums[fmt.Sprintf("%d %x %v", status, sha256.Sum256(body), err)]++
		})
	}
	wait.Wait()
	stop()
	t.Logf("%d uploads of %.1f MB: %d MB at most", uploads, float64(len(file))/1e6, peak.Load()>>20)
	if len(sums) != 1 {
		t.Errorf("the answers are %v", sums)
	}
	if peak.Load() > atOnce*256<<20 {
		t.Errorf("%d MB of memory were in use", peak.Load()>>20)
	}
}

// watchMemory looks every few milliseconds how much memory Go has in use, until it is
// stopped.
func watchMemory() (peak *atomic.Uint64, stop func()) {
	peak = &atomic.Uint64{}
	end, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		samples := []metrics.Sample{{Name: "/memory/classes/total:bytes"}, {Name: "/memory/classes/heap/released:bytes"}}
		for {
			metrics.Read(samples)
			peak.Store(max(peak.Load(), samples[0].Value.Uint64()-samples[1].Value.Uint64()))
			select {
			case <-end:
				return
			case <-time.After(5 * time.Millisecond):
			}
		}
	}()
	return peak, func() { close(end); <-ended }
}

// TestBusy: who finds the line full is told to come back, at once.
func TestBusy(t *testing.T) {
	s, url := started(t, 1, 0)
	s.line <- struct{}{}
	status, body, err := post(context.Background(), url+"/isolate?size=14", bytes.NewReader(demo(t)))
	if err != nil || status != http.StatusServiceUnavailable || !strings.Contains(string(body), "try again") {
		t.Errorf("%d %q %v", status, body, err)
	}
	<-s.line
	if status, _, err = post(context.Background(), url+"/isolate?size=14", bytes.NewReader(demo(t))); status != http.StatusOK {
		t.Errorf("afterwards: %d, %v", status, err)
	}
}

// TestNothingStays: after many requests, some of which are given up, there are as
// many goroutines and open files as after a few.
func TestNothingStays(t *testing.T) {
	requests := 100
	if long() {
		requests = 1000
	}
	_, url := started(t, 2, 10)
	file := demo(t)
	run := func(n int) {
		for i := range n {
			ctx, cancel := context.WithCancel(context.Background())
			if i%4 == 3 {
				time.AfterFunc(time.Duration(i%40)*time.Millisecond, cancel)
			}
			status, _, err := post(ctx, url+"/isolate?size=14", bytes.NewReader(file))
			if status != http.StatusOK && !errors.Is(err, context.Canceled) {
				t.Errorf("request %d: %d, %v", i, status, err)
			}
			cancel()
		}
	}
	count := func() (goroutines, files int) {
		http.DefaultClient.CloseIdleConnections()
		entries, _ := os.ReadDir("/proc/self/fd")
		return runtime.NumGoroutine(), len(entries)
	}
	run(20)
	goroutines, files := count()
	run(requests)
	var now, open int
	for range 100 { // connections take a moment to close
		if now, open = count(); now <= goroutines && open <= files {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Errorf("%d requests: %d goroutines, then %d; %d open files, then %d", requests, goroutines, now, files, open)
}
