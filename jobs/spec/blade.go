package spec

import (
	"math"

	"lastroom/jobs/unit"
)

// The geometry of a blade. A hollow is a circular groove of radius R across a blade of thickness w, a
// rocker a circular profile along it; all of it is the geometry of a circular segment (machinists'
// handbooks). Impossible arguments, such as a blade wider than the groove's diameter, give zero.

// sagitta is the height of a segment of radius r over a chord c.
func sagitta(r, c unit.Length) unit.Length {
	if r <= 0 || c <= 0 || c > 2*r {
		return 0
	}
	// c²/4 / (R + √(R² - c²/4)) is R - √(R² - c²/4) without its cancellation.
	q := float64(c * c / 4)
	return unit.Length(q / (float64(r) + math.Sqrt(float64(r*r)-q)))
}

// HollowDepth is how deep a hollow of radius r is on a blade of thickness w.
func HollowDepth(r, w unit.Length) unit.Length { return sagitta(r, w) }

// EdgeAngle is how steeply a hollow meets the line across both edges: asin(w/2R).
func EdgeAngle(r, w unit.Length) unit.Angle {
	if r <= 0 || w <= 0 || w > 2*r {
		return 0
	}
	return unit.Degrees(math.Asin(float64(w / (2 * r))))
}

// ContactLength is how much of a rocker of radius r lies in flat ice that it is sunk into by depth.
func ContactLength(r, depth unit.Length) unit.Length {
	if r <= 0 || depth <= 0 || depth > r {
		return 0
	}
	return unit.Length(2 * math.Sqrt(float64(2*r*depth-depth*depth)))
}

// RockerRise is what a three-point gauge of that chord reads on a rocker of radius r.
func RockerRise(r, chord unit.Length) unit.Length { return sagitta(r, chord) }

// PitchOf is how much higher the heel stands than the toe, as an angle; apart is measured along the ground.
func PitchOf(heel, toe, apart unit.Length) unit.Angle {
	if apart <= 0 {
		return 0
	}
	return unit.Degrees(math.Atan(float64((heel - toe) / apart)))
}
