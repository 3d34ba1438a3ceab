package layers

import (
	"testing"

	"go.uber.org/goleak"

	"github.com/sizeply/sizeply/internal/pdf"
)

// TestMain fails where a goroutine outlives the tests: none may outlive the call
// that began it.
func TestMain(m *testing.M) {
	pdf.Poisoned = true
	goleak.VerifyTestMain(m)
}
