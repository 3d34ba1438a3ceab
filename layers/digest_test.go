package layers

import (
	"bytes"
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"testing"

	"github.com/sizeply/sizeply/internal/testpdf"
)

// TestDigest: the same input gives the same bytes, however many cores there
// are. The digest of all output is logged, so that machines of several kinds
// can be compared (.ci/long does).
func TestDigest(t *testing.T) {
	if testing.Short() {
		t.Skip("heavy, and each part of it runs in a lighter test")
	}
	skirt, err := os.ReadFile("../testdata/tollmere-skirt.pdf")
	if err != nil {
		t.Fatal(err)
	}
	files := [][]byte{skirt}
	for _, c := range contentCases {
		files = append(files, c.build())
	}
	for seed := range uint64(60) {
		files = append(files, testpdf.RandomWith(seed, testpdf.RandomOptions{Everything: true}).Bytes)
	}
	once := digest(t, files)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if again := digest(t, files); again != once {
		t.Errorf("on one core the output is another: %s, %s", again, once)
	}
	t.Logf("digest %s", once)
}

// digest hashes what isolating gives of each file, and its errors.
func digest(t *testing.T, files [][]byte) string {
	t.Helper()
	sum := sha256.New()
	for i, file := range files {
		doc := open(t, file)
		sel := randomSelection(uint64(i), len(doc.Layers()))
		for _, flatten := range []bool{false, true} {
			var out bytes.Buffer
			_, err := doc.Isolate(context.Background(), &out, sel, &IsolateOptions{Flatten: flatten, AcceptDamage: true})
			var width *UnknownWidthError
			if err != nil && !errors.As(err, &width) {
				t.Fatalf("file %d: %v", i, err)
			}
			if err != nil {
				fmt.Fprintln(sum, err)
				continue
			}
			if _, err := io.Copy(sum, &out); err != nil {
				t.Fatal(err)
			}
		}
	}
	return fmt.Sprintf("%x", sum.Sum(nil))
}
