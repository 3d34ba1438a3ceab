package bench

import (
	"fmt"
	"os"
	"testing"
)

// TestMain leaves the tests of this package to .ci/long: they write and read
// large files, and nothing that is shipped depends on them.
func TestMain(m *testing.M) {
	if os.Getenv("SIZEPLY_LONG") != "1" {
		fmt.Println("not tested: takes long; set SIZEPLY_LONG=1 to test it")
		return
	}
	m.Run()
}
