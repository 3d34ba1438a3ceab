// Command service isolates sizes over HTTP: a model for a print service that embeds
// the libraries.
//
//	service -chart chart.yaml -listen localhost:8080
//	curl --data-binary @skirt.pdf 'localhost:8080/isolate?size=14&below=1&above=1' > mine.pdf
package main

import (
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"io"
	"log"
	"net/http"
	"os"
	"strconv"
	"time"

	"github.com/sizeply/sizeply/layers"
	"github.com/sizeply/sizeply/layers/pattern"
	"github.com/sizeply/sizeply/sizes"
)

// A service answers requests for sizes of the patterns of one chart.
type service struct {
	chart *sizes.Chart
	open  layers.OpenOptions // its MaxFileBytes bounds an upload
	time  time.Duration      // for one request
	slots chan struct{}      // as many requests at a time; the others wait in line
	line  chan struct{}      // and as many of those; who comes then is told to come back
}

// newService makes a service that works on some requests at a time and lets some wait.
// Memory is at most that of the limits, about 256 MiB, for each that is worked on, and
// nothing for those that wait: their upload is read when it is their turn.
func newService(chart *sizes.Chart, atOnce, waiting int) *service {
	return &service{
		chart: chart,
		open: layers.OpenOptions{MaxFileBytes: 16 << 20, MaxStreamBytes: 16 << 20, MaxPageBytes: 4 << 20,
			MaxObjects: 100_000, MaxObjectBytes: 3 << 20},
		time:  30 * time.Second,
		slots: make(chan struct{}, atOnce),
		line:  make(chan struct{}, atOnce+waiting),
	}
}

func (s *service) handler() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("POST /isolate", s.isolate)
	mux.HandleFunc("GET /health", func(w http.ResponseWriter, _ *http.Request) {
		_ = json.NewEncoder(w).Encode(map[string]int{"working": len(s.slots), "line": len(s.line)})
	})
	return mux
}

// isolate answers with the checked PDF, and tells what to look at in headers.
func (s *service) isolate(w http.ResponseWriter, r *http.Request) {
	ctx, cancel := context.WithTimeout(r.Context(), s.time)
	defer cancel()
	result, err := s.result(ctx, w, r)
	if err != nil {
		if errors.Is(err, errBusy) {
			w.Header().Set("Retry-After", "5")
		}
		http.Error(w, err.Error(), status(err))
		return
	}
	for _, warning := range result.Report.Warnings {
		w.Header().Add("Pattern-Warning", strconv.QuoteToASCII(warning.Text))
	}
	for _, note := range result.Choice.Pick.Notes {
		w.Header().Add("Pattern-Warning", strconv.QuoteToASCII(note.Text))
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Length", strconv.Itoa(len(result.Data)))
	_, _ = w.Write(result.Data) // a client that went away
}

var errBusy = errors.New("too many requests are waiting: try again in a few seconds")

// result waits for its turn, reads the upload and isolates.
func (s *service) result(ctx context.Context, w http.ResponseWriter, r *http.Request) (*pattern.Result, error) {
	var want pattern.Want
	var below, above error
	query := r.URL.Query()
	want.Sizes.Labels = query["size"]
	want.Sizes.Below, below = strconv.Atoi(cmp.Or(query.Get("below"), "0"))
	want.Sizes.Above, above = strconv.Atoi(cmp.Or(query.Get("above"), "0"))
	if err := cmp.Or(below, above); err != nil {
		return nil, errors.Join(layers.ErrBadRequest, err)
	}
	select {
	case s.line <- struct{}{}:
		defer func() { <-s.line }()
	default:
		return nil, errBusy
	}
	select {
	case s.slots <- struct{}{}:
		defer func() { <-s.slots }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	data, err := io.ReadAll(http.MaxBytesReader(w, r.Body, s.open.MaxFileBytes))
	if err != nil {
		return nil, err
	}
	return pattern.Isolate(ctx, layers.Bytes(data), s.chart, want, &pattern.Options{Open: &s.open})
}

// status is the answer to an error.
func status(err error) int {
	var upload *http.MaxBytesError
	switch {
	case errors.Is(err, errBusy), errors.Is(err, context.DeadlineExceeded):
		return http.StatusServiceUnavailable
	case errors.Is(err, layers.ErrTooLarge), errors.As(err, &upload):
		return http.StatusRequestEntityTooLarge
	case errors.Is(err, layers.ErrBadFile):
		return http.StatusUnprocessableEntity
	case errors.Is(err, layers.ErrForbidden):
		return http.StatusForbidden
	case errors.Is(err, layers.ErrBadRequest), errors.Is(err, context.Canceled): // nobody reads the latter
		return http.StatusBadRequest
	}
	return http.StatusInternalServerError
}

func main() {
	chartName := flag.String("chart", "chart.yaml", "the chart of the patterns")
	address := flag.String("listen", "localhost:8080", "where to listen")
	flag.Parse()
	file, err := os.Open(*chartName)
	if err != nil {
		log.Fatal(err)
	}
	chart, err := sizes.Read(file, *chartName)
	if err != nil {
		log.Fatal(err)
	}
	server := &http.Server{Addr: *address, Handler: newService(chart, 2, 100).handler(),
		ReadHeaderTimeout: 10 * time.Second, ReadTimeout: 2 * time.Minute, WriteTimeout: 5 * time.Minute}
	log.Fatal(server.ListenAndServe())
}
