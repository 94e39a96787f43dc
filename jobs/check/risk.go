package check

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/integrate/quad"
)

// Risks are the two ways a decision goes wrong over a stream of pieces (JCGM 106:2012, 9.5).
type Risks struct {
	N             int     `json:"n,omitempty"`   // how many readings they are computed from
	Consumer      float64 `json:"consumer"`      // ratio of all pieces that are accepted and out of limits
	Producer      float64 `json:"producer"`      // of all pieces that are not accepted and within limits
	GivenAccepted float64 `json:"givenAccepted"` // of the accepted pieces that are out of limits
}

// GlobalRisks computes the risks of accepting what reads within acceptance, when the pieces are normal
// with mean and sd (above 0) and the readings with standard uncertainty u (0 or more): the history of the
// shop is where mean and sd come from. It integrates prior × probability of acceptance over the true
// values outside the limits, and prior × probability of no acceptance over those inside.
func GlobalRisks(mean, sd float64, limits, acceptance Limits, u float64) (Risks, error) {
	for field, v := range map[string]float64{"mean": mean, "sd": sd, "u": u} {
		if !finite(v) || field == "sd" && v <= 0 || field == "u" && v < 0 {
			return Risks{}, reading(field, v)
		}
	}
	if err := limits.Review(); err != nil {
		return Risks{}, err
	}
	lower, upper := limits.ends()
	from, to := acceptance.ends()
	if from > to { // nothing is accepted
		below, above := SharesOutside(limits, mean, sd)
		return Risks{Producer: 1 - below - above}, nil
	}
	accept := func(x float64) float64 { return conformance(x, u, 0, from, to) } // P(reading within | true x)
	prior := func(x float64) float64 { return normal.Prob((x-mean)/sd) / sd }
	var r Risks
	var accepted float64
	edges := []float64{mean - 9*sd, mean + 9*sd}
	for _, v := range []float64{lower, upper, from - 8*u, from, from + 8*u, to - 8*u, to, to + 8*u} {
		if v > edges[0] && v < edges[1] {
			edges = append(edges, v)
		}
	}
	slices.Sort(edges)
	for i := 1; i < len(edges); i++ {
		a, b := edges[i-1], edges[i]
		if b <= a {
			continue
		}
		yes := quad.Fixed(func(x float64) float64 { return prior(x) * accept(x) }, a, b, 80, nil, 0)
		accepted += yes
		if middle := a + (b-a)/2; middle < lower || middle > upper {
			r.Consumer += yes
		} else {
			r.Producer += quad.Fixed(func(x float64) float64 { return prior(x) * (1 - accept(x)) }, a, b, 80, nil, 0)
		}
	}
	if accepted > 0 {
		r.GivenAccepted = r.Consumer / accepted
	}
	return r, nil
}

// RisksOf are the risks of a rule from the shop's own readings: their spread less that of the gauge is
// the pieces' own (JCGM 106:2012, 7.2 and A.4). Where the gauge explains all of the spread (own is false),
// the pieces count as spread by a tenth of u.
func RisksOf(readings []float64, l Limits, rule Rule, u, dof float64) (risks Risks, own bool, err error) {
	if err := enough(readings, 3); err != nil {
		return Risks{}, false, err
	}
	z, err := ZoneOf(u, dof, l, rule)
	if err != nil {
		return Risks{}, false, err
	}
	s := Summarise(readings)
	variance := s.SD*s.SD - u*u
	own = variance > 0
	sd := math.Sqrt(math.Max(variance, 0.01*u*u))
	if sd == 0 { // neither the pieces nor the gauge vary
		return Risks{}, false, nil
	}
	if z.empty { // nothing is accepted
		below, above := SharesOutside(l, s.Mean, sd)
		return Risks{N: s.N, Producer: 1 - below - above}, own, nil
	}
	risks, err = GlobalRisks(s.Mean, sd, l, limitsOf(z.aLow, z.aHigh), u)
	risks.N = s.N
	return risks, own, err
}
