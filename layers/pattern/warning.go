package pattern

import "github.com/sizeply/sizeply/layers/warning"

// The codes of the warnings of a choice.
const (
	ChartOrder warning.Code = "chart-order" // the chart lists sizes otherwise than their names or outlines say
)
