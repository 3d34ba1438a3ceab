package pattern

import "github.com/sizeply/sizeply/layers/warning"

// The codes of the warnings of a choice.
const (
	ChartOrder    warning.Code = "chart-order"    // the chart lists sizes otherwise than their names or outlines say
	SeveralPapers warning.Code = "several-papers" // sizes are on pages for different paper
	LinesRemoved  warning.Code = "lines-removed"  // lines outside of the pieces go with the line of a size
	TextsRemoved  warning.Code = "texts-removed"  // texts that name no size go with the line of one
)
