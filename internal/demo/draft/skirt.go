package draft

// A Skirt is the draft of one size.
type Skirt struct {
	Body        Body
	Front, Back Panel
	FrontFacing Facing
	BackFacing  Facing
	Pocket      Pocket
}

// New drafts the skirt for a body. It fails where the hip is not enough
// larger than the waist to be shaped with darts.
func New(b Body) (Skirt, error) {
	if err := b.check(); err != nil {
		return Skirt{}, err
	}
	s := Skirt{Body: b, Front: frontPanel(b), Back: backPanel(b)}
	s.FrontFacing = facingOf(s.Front)
	s.BackFacing = facingOf(s.Back)
	s.Pocket = pocketOf(b, s.Front)
	return s, nil
}
