package content

import "fmt"

// DamageKind is what is wrong with a part of a stream.
type DamageKind uint8

// The kinds of damage.
const (
	// StrayBytes begin no token: a closing bracket without an opening one.
	StrayBytes DamageKind = iota + 1
	// UnclosedOperand is a string, array or dictionary that runs to the end
	// of the stream.
	UnclosedOperand
	// LeftOver are operands at the end of the stream without an operator.
	LeftOver
	// TooManyOperands is an operation whose first operands were dropped.
	TooManyOperands
	// ImageWithoutData is an inline image without ID.
	ImageWithoutData
	// ImageEndGuessed is an inline image whose length could not be measured.
	// Its EI is the first that is followed by operations.
	ImageEndGuessed
	// ImageUnclosed is an inline image that runs to the end of the stream.
	ImageUnclosed
)

// String returns the kind in words.
func (k DamageKind) String() string {
	names := [...]string{
		StrayBytes:       "stray bytes",
		UnclosedOperand:  "operand not closed",
		LeftOver:         "operands without an operator",
		TooManyOperands:  "too many operands",
		ImageWithoutData: "inline image without data",
		ImageEndGuessed:  "end of inline image guessed",
		ImageUnclosed:    "inline image not closed",
	}
	if k == 0 || int(k) >= len(names) {
		return "unknown damage"
	}
	return names[k]
}

// Damage is a part of a stream that is not as it should be.
type Damage struct {
	Kind       DamageKind
	Start, End int
}

// String returns one line for a report.
func (d Damage) String() string {
	return fmt.Sprintf("%v at bytes %d to %d", d.Kind, d.Start, d.End)
}

// maxDamage bounds what a broken stream can make the scanner remember.
const maxDamage = 100

// Damaged returns what was found wrong so far, in the order in which it was
// found, at most 100 parts.
func (s *Scanner) Damaged() []Damage { return s.damage }

// DamageCount returns how many parts were found wrong so far, those that
// Damaged leaves out included.
func (s *Scanner) DamageCount() int { return s.damageCount }

func (s *Scanner) report(kind DamageKind, start, end int) {
	if n := len(s.damage); n > 0 && kind == StrayBytes {
		if last := &s.damage[n-1]; last.Kind == kind && last.End == start {
			last.End = end
			return
		}
	}
	s.damageCount++
	if len(s.damage) < maxDamage {
		s.damage = append(s.damage, Damage{kind, start, end})
	}
}
