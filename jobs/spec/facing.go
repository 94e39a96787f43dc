package spec

import (
	"math"

	"lastroom/jobs/unit"
)

// Eyelet is where the edge that carries one pair of eyelets runs, against the pattern's line.
type Eyelet struct {
	Number     int         `json:"number"` // from the toe end, from 1
	Inner      unit.Length `json:"inner"`  // + is higher
	Outer      unit.Length `json:"outer"`
	Difference unit.Length `json:"difference"` // inner less outer
}

// eyelets lists one boot's eyelets. Between a moved eyelet and one that is not, the edge runs straight.
func (m *made) eyelets(f Foot) []Eyelet {
	all := make([]Eyelet, m.size.Eyelets)
	for i := range all {
		all[i].Number = i + 1
	}
	for _, cut := range m.spec.Shell.Facing {
		if !cut.Foot.Has(f) {
			continue
		}
		for n := max(cut.From, 1); n <= min(cut.To, len(all)); n++ {
			if cut.Side == Inner {
				all[n-1].Inner += cut.By
			} else {
				all[n-1].Outer += cut.By
			}
		}
	}
	for i := range all {
		all[i].Difference = all[i].Inner - all[i].Outer
	}
	return all
}

// EyeletSpacing is how far apart k eyelets lie on an edge with a margin at either end.
func EyeletSpacing(edge, low, high unit.Length, k int) unit.Length {
	if k < 2 {
		return 0
	}
	return (edge - low - high) / unit.Length(k-1)
}

// EdgeGain is by how much a facing at an angle above horizontal grows when its boot is raised, and how
// far forward its end comes.
func EdgeGain(raise unit.Length, slope unit.Angle) (longer, forward unit.Length) {
	if slope <= 0 || slope >= 180 {
		return 0, 0
	}
	return raise / unit.Length(math.Sin(slope.Radians())), raise / unit.Length(math.Tan(slope.Radians()))
}

// spacing of the eyelets of one boot of the pattern's size.
func (m *made) spacing() unit.Length {
	return EyeletSpacing(m.size.FacingLength, m.pattern.Facing.MarginLow, m.pattern.Facing.MarginHigh, m.size.Eyelets)
}

// transition is how steeply the edge runs between a moved eyelet and the next that is not.
func (m *made) transition(by unit.Length) unit.Angle {
	if s := m.spacing(); s > 0 {
		return unit.Degrees(math.Atan(math.Abs(float64(by / s))))
	}
	return 90
}
