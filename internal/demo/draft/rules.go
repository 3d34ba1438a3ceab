package draft

import "fmt"

// A Body is one size of the chart, in millimetres.
type Body struct {
	Label      string
	Waist, Hip float64
}

// The drafting rules. The measurements are those of the chart; how they
// become a skirt is common practice of flat pattern cutting, in which every
// school has numbers of its own. None of the numbers below is taken from a
// published system: common practice, no source.
const (
	waistEase = 10.0 // whole girth; enough to breathe and sit
	hipEase   = 40.0 // whole girth; a skirt that skims

	hipShift   = 5.0  // each quarter: the front is wider, so the seam sits back
	waistShift = 10.0 // each quarter: leaves the larger dart intake to the back

	sideShare      = 0.6   // share of a quarter's intake that the side seam takes
	innerBackShare = 0.55  // share of the back dart intake in the inner dart
	leastIntake    = 32.0  // a quarter's intake below which darts would vanish
	mostIntake     = 110.0 // and above which they would meet

	leastWaist, mostHip = 400.0, 2000.0 // bodies beyond these are taken for slips

	backDrop = 10.0 // the centre back waist lies lower than the centre front

	frontDartLength = 0.45 // of the hip depth
	innerDartLength = 0.68 // of the hip depth, back
	outerDartLength = 0.60 // of the hip depth, back

	belowHip = 1.9 // length below the hip line, in hip depths: to the knee

	facingDepth = 70.0

	pocketStart = 40.0 // from the waist down the side seam to the opening
	pocketAbove = 20.0 // from the waist to the upper end of the bag
	pocketBelow = 30.0 // the bag goes on below the opening
	pocketHip   = 10.0 // opening = pocketLeast + hip / pocketHip
	pocketLeast = 60.0
)

// ZipAboveHip is the height of the zip's end above the hip line, the same in
// every size; the zip itself is cut to length. Common practice, no source.
const ZipAboveHip = 20.0

// check refuses a body that these rules cannot dress.
func (b Body) check() error {
	if !(b.Waist >= leastWaist && b.Hip <= mostHip) {
		return fmt.Errorf("size %q: waist %g mm and hip %g mm: the rules need a waist of %g or more and a hip of %g or less",
			b.Label, b.Waist, b.Hip, leastWaist, mostHip)
	}
	if !(b.intake() >= leastIntake && b.intake() <= mostIntake) {
		return fmt.Errorf("size %q: hip %g mm less waist %g mm is %g mm: the rules need %g to %g",
			b.Label, b.Hip, b.Waist, b.Hip-b.Waist, leastIntake*4-hipEase+waistEase, mostIntake*4-hipEase+waistEase)
	}
	return nil
}

// intake is what a quarter must lose between hip and waist.
func (b Body) intake() float64 { return b.hipQuarter() - b.waistQuarter() }

// hipQuarter and waistQuarter: girth and ease are shared among four quarters.
func (b Body) hipQuarter() float64   { return (b.Hip + hipEase) / 4 }
func (b Body) waistQuarter() float64 { return (b.Waist + waistEase) / 4 }

// hipDepth is the height of the waist above the hip line: 20 cm in small
// sizes, and a fourteenth of what the hip gains on top.
func (b Body) hipDepth() float64 { return 140 + b.Hip/14 }

// flare is what the side seam gains in width below the hip line: a fifth of
// the quarter hip, so that the stride keeps its share in every size.
func (b Body) flare() float64 { return b.hipQuarter() / 5 }

// sideIntake is the part of the intake at the side seam, before the waist
// line is trued; the darts get the rest.
func (b Body) sideIntake() float64 { return sideShare * b.intake() }

// sideRise lifts the waist at the side seam, where the way over the hip is
// longer: a third of the side seam's intake.
func (b Body) sideRise() float64 { return b.sideIntake() / 3 }

// frontDart and backDarts are the intakes of the darts of a quarter.
func (b Body) frontDart() float64 {
	return b.intake() - b.sideIntake() + hipShift - waistShift
}

func (b Body) backDarts() (inner, outer float64) {
	all := b.intake() - b.sideIntake() - hipShift + waistShift
	return innerBackShare * all, (1 - innerBackShare) * all
}

// frontDartAt is the way from the centre front to the dart along the waist
// line: a tenth of the waist and a little more.
func (b Body) frontDartAt() float64 { return b.Waist/10 + 5 }

// pocketOpening is the length of the pocket opening along the side seam.
func (b Body) pocketOpening() float64 { return pocketLeast + b.Hip/pocketHip }
