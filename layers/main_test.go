package layers

import (
	"testing"

	"go.uber.org/goleak"
)

// TestMain fails where a goroutine outlives the tests: none may outlive the call
// that began it.
func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }
