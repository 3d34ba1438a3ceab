package pattern

import "github.com/sizeply/sizeply/layers/warning"

// The codes of the warnings of a choice.
const (
	ChartOrder    warning.Code = "chart-order"    // the chart lists sizes otherwise than their names or outlines say
	SeveralPapers warning.Code = "several-papers" // sizes are on pages for different paper
)
