package spec

import (
	"math"

	"lastroom/jobs/unit"
)

// SizeSystem is a way of numbering sizes.
type SizeSystem string

// The systems. Mondopoint counts millimetres of foot (ISO 9407); the others count the length of a last
// that is two of their units longer than the foot (ISO 19407).
const (
	Mondopoint   SizeSystem = "mondopoint"
	ParisPoint   SizeSystem = "paris-point"   // 20/3 mm, from zero
	English      SizeSystem = "english"       // barleycorns of 25.4/3 mm, from 25 of them
	EnglishChild SizeSystem = "english-child" // barleycorns from 12
	USMen        SizeSystem = "us-men"        // English + 1
	USWomen      SizeSystem = "us-women"      // English + 2 (ISO tables; + 1.5 is common in the trade)
	USChild      SizeSystem = "us-child"      // English child + 1/3
)

// SizeSystems are all of them.
var SizeSystems = [7]SizeSystem{Mondopoint, ParisPoint, English, EnglishChild, USMen, USWomen, USChild}

// The units of the systems, exact.
const (
	BarleyCorn unit.Length = 25.4 / 3
	ParisUnit  unit.Length = 20.0 / 3
)

// counted says how a system counts: the length of its unit, and the number that stands for a foot of
// length zero. ISO 19407 as open converters carry it; there is no exact conversion, only this alignment.
func (s SizeSystem) counted() (by unit.Length, zero float64, ok bool) {
	switch s {
	case Mondopoint:
		return 1, 0, true
	case ParisPoint:
		return ParisUnit, 2, true
	case English:
		return BarleyCorn, 2 - 25, true
	case EnglishChild:
		return BarleyCorn, 2 - 12, true
	case USMen:
		return BarleyCorn, 2 - 25 + 1, true
	case USWomen:
		return BarleyCorn, 2 - 25 + 2, true
	case USChild:
		return BarleyCorn, 2 - 12 + 1.0/3, true
	}
	return 0, 0, false
}

// Foot is the length of the foot that the size is for; a street size is moved by the workshop's offset.
// It is zero for a system that is not known.
func (s Size) Foot(how Sizes) unit.Length {
	by, zero, ok := s.System.counted()
	if !ok {
		return 0
	}
	foot := unit.Length(s.Value-zero) * by
	if s.Street {
		foot += how.StreetOffset
	}
	return foot
}

// Sized is what a spec's size means in the workshop: the foot that the pattern's size is for, and the length of
// its last. Both are zero where the catalogue has no such pattern or size.
func Sized(s Spec, c *Catalogue) (foot, last unit.Length) {
	m, _ := resolve(s, c)
	return m.size.Foot, m.size.Last
}

// fit finds the size of the pattern nearest to a foot length; of two as near, the longer. It is not ok
// where the nearest is farther than half a step of the pattern's sizes.
func (p Pattern) fit(foot unit.Length) (PatternSize, bool) {
	best, off := -1, math.Inf(1)
	step := unit.Length(math.Inf(1))
	for i, s := range p.Sizes {
		if i > 0 {
			step = min(step, unit.Length(math.Abs(float64(s.Foot-p.Sizes[i-1].Foot))))
		}
		d := math.Abs(float64(s.Foot - foot))
		if d < off-negligible || (d < off+negligible && s.Foot > p.Sizes[best].Foot) {
			best, off = i, d
		}
	}
	if best < 0 {
		return PatternSize{}, false
	}
	if math.IsInf(float64(step), 1) || step == 0 {
		step = mondopointStep
	}
	return p.Sizes[best], off <= float64(step)/2+negligible
}

const (
	mondopointStep = 5    // mm; ISO/TS 19407 range 1
	negligible     = 1e-6 // mm; lengths nearer than this are one
)
