package warning_test

import (
	"fmt"

	"github.com/sizeply/sizeply/layers/warning"
)

func ExampleNew() {
	w := warning.New(warning.UnlistedLayers, []string{"Size 12"}, "layer %q is missing from the list", "Size 12")
	fmt.Println(w.Code, w.About, w.Text)
	// Output: unlisted-layers [Size 12] layer "Size 12" is missing from the list
}
