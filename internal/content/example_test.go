package content_test

import (
	"fmt"

	"github.com/sizeply/sizeply/internal/content"
)

// The lines of a stream with their widths on the page.
func Example() {
	stream := []byte("q 2 0 0 2 0 0 cm 0.5 w 10 10 m 60 10 l S Q 5 5 20 20 re f")
	machine := content.NewMachine(content.Identity(), content.NewRect(0, 0, 595, 842))
	var op content.Operation
	for s := content.NewScanner(stream); s.Next(&op); {
		if op.Op == content.OpStroke {
			width := machine.State.LineWidth * machine.State.CTM.MaxScale()
			fmt.Println(machine.Path.Extent(), width)
		}
		machine.Apply(&op)
	}
	// Output: {20 20 120 20} 1
}
