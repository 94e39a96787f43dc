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

// RadiusOfHollow is the radius of a hollow of depth d on a blade of thickness w: (w²/4 + d²) / 2d.
func RadiusOfHollow(d, w unit.Length) unit.Length {
	if d <= 0 {
		return 0
	}
	return (w*w/4 + d*d) / (2 * d)
}

// EdgeAngle is how steeply a hollow meets the line across both edges: asin(w/2R).
func EdgeAngle(r, w unit.Length) unit.Angle {
	if r <= 0 || w <= 0 || w > 2*r {
		return 0
	}
	return unit.Degrees(math.Asin(float64(w / (2 * r))))
}

// UnevenEdges is by how much one edge stands higher when a hollow of radius r lies e beside the middle
// of a blade of thickness w, and how much a straight bar laid across the edges rises over 100 mm.
func UnevenEdges(r, w, e unit.Length) (difference, over100 unit.Length) {
	if r <= 0 || w <= 0 || w/2+unit.Length(math.Abs(float64(e))) > r {
		return 0, 0
	}
	near, far := float64(w/2-e), float64(w/2+e)
	rr := float64(r * r)
	difference = unit.Length(math.Sqrt(rr-near*near) - math.Sqrt(rr-far*far))
	return difference, 100 * difference / w
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

// RolledPitch is by how much the boot turns when the contact moves x along a rocker of radius r.
func RolledPitch(x, r unit.Length) unit.Angle {
	if r <= 0 {
		return 0
	}
	return unit.Degrees(float64(x / r))
}

// LineOf is how a holder stands, from its offsets at the front and rear stations, span apart: the angle
// to the boot's line and the mean offset, both positive towards the big toe.
func LineOf(front, rear, span unit.Length) (turn unit.Angle, shift unit.Length) {
	if span <= 0 {
		return 0, 0
	}
	return unit.Degrees(math.Atan2(float64(front-rear), float64(span))), (front + rear) / 2
}
