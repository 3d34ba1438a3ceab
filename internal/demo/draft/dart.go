package draft

// A Dart is a wedge to be sewn shut, from the waist line to its point.
type Dart struct {
	Mouth  [2]Point // on the waist line, the inner leg first
	Point  Point
	Intake float64 // length of the waist line between the legs
	Length float64 // from the middle of the mouth to the point
}

// Legs gives the stitching line: down one leg and up the other.
func (d Dart) Legs() Path { return Polygon(d.Mouth[0], d.Point, d.Mouth[1]) }

// a dartPlan says where on the waist line a dart goes.
type dartPlan struct {
	at     float64 // from the centre along the waist line to the inner leg
	intake float64
	length float64 // in hip depths
}

// on lays the dart into a waist line. The point lies square below the middle
// of the mouth, so that both legs are equally long.
func (plan dartPlan) on(waist Path, hipDepth float64) Dart {
	inner, _ := waist.At(plan.at)
	outer, _ := waist.At(plan.at + plan.intake)
	length := plan.length * hipDepth
	down := outer.Sub(inner).Unit().Left().Times(-length)
	return Dart{
		Mouth:  [2]Point{inner, outer},
		Point:  inner.Towards(outer, 0.5).Add(down),
		Intake: plan.intake,
		Length: length,
	}
}

// closedAt gives what the dart still takes in at a depth below the waist.
func (d Dart) closedAt(depth float64) float64 {
	return d.Intake * max(0, 1-depth/d.Length)
}
