package artwork

import "github.com/sizeply/sizeply/internal/demo/draft"

// Sides of the test squares, in millimetres.
const (
	SquareMetric = 50.0     // 5 cm
	SquareInches = 2 * 25.4 // 2 in
)

// testSquares puts two squares to be measured after printing.
func (s *sheet) testSquares() {
	s.testSquare(draft.Point{X: textX, Y: 255}, SquareMetric, "5 cm")
	s.testSquare(draft.Point{X: textX + 75, Y: 255}, SquareInches, "2 in")
}

func (s *sheet) testSquare(corner draft.Point, side float64, measure string) {
	middle := corner.Add(draft.Point{X: side / 2, Y: side / 2})
	s.put(layerSquares,
		Rectangle{corner, side, side, plain},
		s.centred("Test square", middle.Add(draft.Point{Y: 4}), 5, ink),
		s.centred(measure+" × "+measure, middle.Sub(draft.Point{Y: 5}), 5, ink))
}
