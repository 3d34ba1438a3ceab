// Command secondreader looks at a PDF file with a reader that has nothing to do
// with the one that sizeply uses: unipdf. It lists the layers, and for each page
// the operators and the layers that its content names, and fails where content
// names a layer that the file does not list.
//
//	secondreader FILE.pdf
//
// unipdf is a commercial library: it wants a licence code, which is read from
// the environment variable UNIDOC_LICENSE_API_KEY. So it is no part of sizeply
// and has this module to itself.
package main

import (
	"fmt"
	"io"
	"log"
	"maps"
	"os"
	"slices"
	"strings"

	"github.com/unidoc/unipdf/v3/common/license"
	"github.com/unidoc/unipdf/v3/model"
)

// licenceVariable is the environment variable that holds the licence code.
const licenceVariable = "UNIDOC_LICENSE_API_KEY"

func main() {
	log.SetFlags(0)
	if len(os.Args) != 2 {
		log.Fatal("usage: secondreader FILE.pdf")
	}
	code := os.Getenv(licenceVariable)
	if code == "" {
		log.Fatalf("unipdf needs a licence code: set %s", licenceVariable)
	}
	if err := license.SetMeteredKey(code); err != nil {
		log.Fatal(err)
	}
	if err := look(os.Args[1], os.Stdout); err != nil {
		log.Fatal(err)
	}
}

// look lists what a file holds.
func look(name string, out io.Writer) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	defer f.Close()
	r, err := model.NewPdfReader(f)
	if err != nil {
		return err
	}
	layers, err := listed(r)
	if err != nil {
		return err
	}
	fmt.Fprintf(out, "layers: %s\n", strings.Join(slices.Sorted(maps.Values(layers)), ", "))
	count, err := r.GetNumPages()
	if err != nil {
		return err
	}
	for n := 1; n <= count; n++ {
		page, err := r.GetPage(n)
		if err != nil {
			return fmt.Errorf("page %d: %w", n, err)
		}
		p := &pageReader{layers: layers, operators: map[string]int{}, named: map[string]int{}}
		if err := p.page(page); err != nil {
			return fmt.Errorf("page %d: %w", n, err)
		}
		p.write(out, n)
	}
	return nil
}
