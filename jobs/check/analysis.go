package check

import (
	"strings"

	"lastroom/jobs/message"
)

// Criteria are what a series of readings is analysed by. The zero value judges no run rules.
type Criteria struct {
	RunRules []RunRule
	Level    float64 // of the intervals of the capability; 0: DefaultCoverage
	Baseline int     // readings that set the limits of the charts; 0: Baseline; AllReadings: all of them
}

// The weight λ and the width L of the EWMA chart (NIST/SEMATECH e-Handbook 6.3.2.4 takes 0.2 to 0.3, and 3).
const (
	ewmaWeight = 0.2
	ewmaWidth  = 3
)

// leastReadings is how many readings capability and risks take.
const leastReadings = 3

// Analysis is what a series of readings says. What it cannot say is nil, with the reason beside it or in
// Notes.
type Analysis struct {
	Deviations   []float64    `json:"-"`
	Summary      Summary      `json:"deviations"`             // of the deviations
	Tolerance    *Limits      `json:"tolerance,omitempty"`    // of the deviation, where all readings have the same
	Chart        *Individuals `json:"chart,omitempty"`        // of the deviations
	EWMA         *EWMA        `json:"ewma,omitempty"`         // of the deviations, about the chart's centre
	Groups       *Subgroups   `json:"groups,omitempty"`       // where there are subgroups: means and ranges
	Standardised *Individuals `json:"standardised,omitempty"` // where there are several patterns, each by its own spread
	Capability   *Capability  `json:"capability,omitempty"`
	Risks        *Risks       `json:"risks,omitempty"` // of readings of the uncertainty and the rule of the last

	NoCapability error   `json:"-"` // why there is none
	NoRisks      error   `json:"-"`
	Notes        []error `json:"-"` // on charts that are not there, or not as they might be
}

// Analyse computes charts, capability and risks of readings in the order in which they were made. Faults:
// check.reading.number (a value that is not finite), check.rule.unknown.
func Analyse(readings []Reading, c Criteria) (Analysis, error) {
	values := Deviations(readings)
	a := Analysis{Deviations: values, Summary: Summarise(values)}
	if len(values) < 2 {
		a.note("check.note.chart", message.Args{"n": len(values)})
		if err := enough(values, 0); err != nil {
			return Analysis{}, err
		}
		if _, err := Signals(nil, c.RunRules); err != nil {
			return Analysis{}, err
		}
	} else if err := a.chart(readings, c); err != nil {
		return Analysis{}, err
	}
	a.assess(readings, c)
	return a, nil
}

func note(key string, args message.Args) error {
	return &message.Fault{Kind: message.Invalid, Key: key, Args: args}
}

func (a *Analysis) note(key string, args message.Args) { a.Notes = append(a.Notes, note(key, args)) }

// chart adds the charts of at least two readings.
func (a *Analysis) chart(readings []Reading, c Criteria) error {
	chart, err := MonitoringChart(readings, c)
	if err != nil {
		return err
	}
	a.Chart = &chart
	if chart.Sigma > 0 {
		ewma, err := EWMAChart(a.Deviations, chart.X.Centre, chart.Sigma, ewmaWeight, ewmaWidth)
		if err != nil {
			return err
		}
		a.EWMA = &ewma
	}
	if groups := groupsOf(readings, a.Deviations); len(groups) > 1 {
		if sub, err := RangeChart(groups, c.RunRules); err == nil {
			a.Groups = &sub
		} else {
			a.Notes = append(a.Notes, err)
		}
	}
	return a.standardise(readings, c)
}

// standardise charts the deviations by the spread of their patterns, where there are at least two.
func (a *Analysis) standardise(readings []Reading, c Criteria) error {
	by := map[string][]float64{}
	for i, r := range readings {
		by[r.Pattern] = append(by[r.Pattern], a.Deviations[i])
	}
	if len(by) < 2 {
		return nil
	}
	sigma, pooled := PatternSpreads(by)
	if sigma == nil {
		a.note("check.note.pattern", nil)
		return nil
	}
	if len(pooled) > 0 {
		a.note("check.note.pooled", message.Args{"patterns": strings.Join(pooled, ", ")})
	}
	z, err := Standardised(readings, sigma)
	if err != nil {
		return err
	}
	chart, err := StandardisedChart(z, c.RunRules)
	if err != nil {
		return err
	}
	a.Standardised = &chart
	return nil
}

// assess adds capability and risks, or why there are none.
func (a *Analysis) assess(readings []Reading, c Criteria) {
	neither := func(key string, args message.Args) {
		a.NoCapability = note(key, args)
		a.NoRisks = a.NoCapability
	}
	tolerance, ok := commonTolerance(readings)
	switch {
	case !ok && without(readings) == len(readings):
		neither("check.note.limits", message.Args{"n": len(readings)})
		return
	case !ok:
		neither("check.note.capability.limits", nil)
		return
	}
	a.Tolerance = &tolerance
	a.emptyZone(readings[len(readings)-1])
	if len(readings) < leastReadings {
		neither("check.note.capability.few", message.Args{"n": len(readings)})
		return
	}
	level := c.Level
	if level == 0 {
		level = DefaultCoverage
	}
	var capability Capability
	var err error
	if a.Groups != nil {
		capability, err = AssessGroups(groupsOf(readings, a.Deviations), tolerance, level)
	} else {
		capability, err = Assess(a.Deviations, tolerance, level)
	}
	if err != nil {
		a.NoCapability = err
	} else {
		a.Capability = &capability
	}
	a.risks(readings, tolerance)
}

// emptyZone notes that no reading of the last one's uncertainty and rule could be in.
func (a *Analysis) emptyZone(last Reading) {
	if last.U == 0 {
		return
	}
	if z, err := ZoneOf(last.U, last.DoF, *a.Tolerance, last.Rule); err == nil && z.empty {
		a.note("check.note.zone", message.Args{"width": text(a.Tolerance.Width()), "u": text(rounded(z.k*z.u, 2))})
	}
}

// risks are those of the last reading's rule, from the readings that were taken as it was: with the same
// uncertainty, under the same rule.
func (a *Analysis) risks(readings []Reading, tolerance Limits) {
	last := readings[len(readings)-1]
	if last.U == 0 {
		a.NoRisks = note("check.note.risk.exact", nil)
		return
	}
	var alike []float64
	for i, r := range readings {
		if r.U == last.U && r.DoF == last.DoF && r.Rule == last.Rule {
			alike = append(alike, a.Deviations[i])
		}
	}
	if len(alike) < leastReadings {
		a.NoRisks = note("check.note.risk.gauge", message.Args{"n": len(alike)})
		return
	}
	risks, own, err := RisksOf(alike, tolerance, last.Rule, last.U, last.DoF)
	switch {
	case err != nil:
		a.NoRisks = err
	case !own:
		a.NoRisks = note("check.note.risk.own", nil)
	default:
		a.Risks = &risks
		if len(alike) < len(readings) {
			a.note("check.note.risk.some", message.Args{"n": len(alike), "all": len(readings)})
		}
	}
}

// without is how many readings have no limits.
func without(readings []Reading) int {
	n := 0
	for _, r := range readings {
		if r.Limits == (Limits{}) {
			n++
		}
	}
	return n
}

// groupsOf gathers the deviations by subgroup, in the order in which the subgroups first appear; nil where a
// reading is in none.
func groupsOf(readings []Reading, values []float64) [][]float64 {
	at := map[string]int{}
	var groups [][]float64
	for i, r := range readings {
		if r.Group == "" {
			return nil
		}
		n, seen := at[r.Group]
		if !seen {
			n = len(groups)
			at[r.Group], groups = n, append(groups, nil)
		}
		groups[n] = append(groups[n], values[i])
	}
	return groups
}
