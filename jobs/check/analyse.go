package check

import (
	"errors"
	"io"
	"strings"

	"lastroom/jobs/message"
)

// Options are what holds for every line of a file that does not say otherwise.
type Options struct {
	Limits   Limits    // where a line has neither lower nor upper
	Gauge    Gauge     // where a line has no gauge columns
	Rule     Rule      // the zero Rule is guarded acceptance with 95 % coverage
	RunRules []RunRule // nil: Western Electric
	Level    float64   // of the intervals of the capability; 0: 0.95
}

// Judged is the verdict on one line.
type Judged struct {
	Line    int     `json:"line"` // of the file, counted from 1
	ID      string  `json:"id,omitempty"`
	Nominal float64 `json:"nominal,omitempty"`
	Result
	ExpandedU float64 `json:"expanded"` // k·u
	Shown     string  `json:"shown"`    // "118.13 ± 0.30", rounded by the rules of the GUM
}

// Report is all that a file of readings says.
type Report struct {
	Readings   int             `json:"readings"`
	Counts     map[Verdict]int `json:"counts"`
	Verdicts   []Judged        `json:"verdicts"`
	Deviations Summary         `json:"deviations"` // of reading less nominal, or of the readings where no nominal is given
	Chart      *Individuals    `json:"chart,omitempty"`
	Groups     *Subgroups      `json:"groups,omitempty"`       // where there is a group column: means and ranges
	Short      *Individuals    `json:"standardised,omitempty"` // where there are patterns of different spread
	EWMA       *EWMA           `json:"ewma,omitempty"`         // λ = 0.2, L = 3, about the mean
	Q          []float64       `json:"q,omitempty"`            // Q statistics, from the third reading on
	OneIn      float64         `json:"oneIn,omitempty"`        // points between false alarms of the run rules; absent where there is no rule
	Capability *Capability     `json:"capability,omitempty"`
	Risks      *Risks          `json:"risks,omitempty"`
	Study      *Study          `json:"study,omitempty"` // where there are parts and appraisers
	Notes      []string        `json:"notes,omitempty"` // what was left out, and why
}

// Analyse reads a CSV of readings with limits and a gauge and returns verdicts, chart and capability. It
// is the whole of the command `lastroom check`, less the printing.
//
// The first line names the columns, in any order; only reading is needed. Fields are separated by commas,
// by semicolons where the first line holds any (a comma is decimal then), or by tabs. Lines that begin
// with # are skipped. Numbers are read as unit.ParseNumber reads them.
//
//	reading        the value read, in the unit of the check
//	id             a name of the piece, repeated in its verdict
//	nominal        what the piece should read; charts and capability are of reading − nominal
//	lower, upper   the limits of the reading (not of the deviation); an empty cell is no limit
//	resolution     the step of the gauge
//	uncertainty    standard uncertainty of the gauge's calibration
//	repeatability  standard deviation of one reading
//	dof            degrees of freedom of the repeatability (or of u); empty or 0: infinitely many
//	u              standard uncertainty of the reading, in place of the three gauge columns
//	rule           simple or guarded
//	k              coverage factor of a guarded rule (U = k·u), or
//	coverage       the probability that U covers, or
//	risk           the greatest risk of accepting a value that lies outside
//	group          readings of one subgroup carry the same name; subgroups of equal size are charted
//	pattern        pieces of one pattern spread alike; two or more make a standardised chart
//	part           which part of a gauge study was measured, and
//	appraiser      by whom; with both columns the file is analysed as a crossed study too
//
// A cell of the gauge or of the rule that is empty, or a column that is not there, takes its value from
// options. Every line that cannot be read is a fault with its place ("line 3, reading"); nothing is
// returned then. Faults: check.file.empty, check.file.column, check.file.twice, check.file.missing,
// check.file.csv, check.file.long, and those of the functions that it calls.
func Analyse(r io.Reader, o Options) (Report, error) {
	if o.Rule == (Rule{}) {
		o.Rule = Rule{Acceptance: Guarded}
	}
	if o.RunRules == nil {
		o.RunRules = WesternElectric()
	}
	if o.Level == 0 {
		o.Level = DefaultCoverage
	}
	lines, err := readLines(r, o)
	if err != nil {
		return Report{}, err
	}
	report := Report{Readings: len(lines), Counts: map[Verdict]int{In: 0, Out: 0, Close: 0}, Verdicts: []Judged{}}
	if err := report.judge(lines); err != nil {
		return Report{}, err
	}
	if err := report.chart(lines, o); err != nil {
		return Report{}, err
	}
	report.assess(lines, o)
	report.partial(lines)
	if readings := crossedOf(lines); readings != nil {
		if study, err := CrossedStudy(readings); err == nil {
			report.Study = &study
		} else {
			report.told(err)
		}
	}
	return report, nil
}

// judge decides every line that has a limit.
func (r *Report) judge(lines []line) error {
	var faults []error
	without := 0
	for _, l := range lines {
		if !l.hasLimit {
			without++
			continue
		}
		result, err := Decide(Estimate{Value: l.value, U: l.u, DoF: l.dof}, l.limits, l.rule)
		if err != nil {
			faults = append(faults, placed(err, l.number, ""))
			continue
		}
		r.Counts[result.Verdict]++
		r.Verdicts = append(r.Verdicts, Judged{
			Line: l.number, ID: l.id, Nominal: l.nominal, Result: result, ExpandedU: result.Expanded(), Shown: result.Shown(),
		})
	}
	if without > 0 {
		r.note("check.note.limits", message.Args{"n": without})
	}
	return errors.Join(faults...)
}

// chart draws the charts of the deviations that the lines allow.
func (r *Report) chart(lines []line, o Options) error {
	values := deviationsOf(lines)
	r.Deviations = Summarise(values)
	if price, err := FalseAlarms(o.RunRules); err == nil && finite(price) {
		r.OneIn = price
	}
	if len(values) < 2 {
		r.note("check.note.chart", message.Args{"n": len(values)})
		_, err := Signals(nil, o.RunRules) // an unknown rule is told even where nothing is charted
		return err
	}
	chart, err := IndividualsChart(values, o.RunRules)
	if err != nil {
		return err
	}
	r.Chart, r.Q = &chart, QStatistics(values)
	if chart.Sigma > 0 {
		if ewma, err := EWMAChart(values, chart.X.Centre, chart.Sigma, 0.2, 3); err == nil {
			r.EWMA = &ewma
		}
	}
	if groups := groupsOf(lines, values); len(groups) > 1 {
		if sub, err := RangeChart(groups, o.RunRules); err == nil {
			r.Groups = &sub
		} else {
			r.told(err)
		}
	}
	return r.standardise(lines, values, o)
}

// standardise charts the deviations by the spread of their patterns, where there are at least two.
func (r *Report) standardise(lines []line, values []float64, o Options) error {
	by := map[string][]float64{}
	pieces := make([]Piece, len(lines))
	for i, l := range lines {
		by[l.pattern] = append(by[l.pattern], values[i])
		pieces[i] = Piece{Reading: values[i], Pattern: l.pattern}
	}
	if len(by) < 2 {
		return nil
	}
	sigma, pooled := PatternSpreads(by)
	if sigma == nil {
		r.note("check.note.pattern", nil)
		return nil
	}
	if len(pooled) > 0 {
		r.note("check.note.pooled", message.Args{"patterns": strings.Join(pooled, ", ")})
	}
	z, err := Standardised(pieces, sigma)
	if err != nil {
		return err
	}
	short, err := StandardisedChart(z, o.RunRules)
	if err != nil {
		return err
	}
	r.Short = &short
	return nil
}

// assess adds capability and risks, where all deviations have the same limits.
func (r *Report) assess(lines []line, o Options) {
	values := deviationsOf(lines)
	limits, any := relative(lines[0]), false
	for _, l := range lines {
		any = any || l.hasLimit
	}
	if !any {
		return // judge has said that there are no limits
	}
	for _, l := range lines {
		if !l.hasLimit || !equal(relative(l), limits) {
			r.note("check.note.capability.limits", nil)
			return
		}
	}
	first := lines[0]
	if first.u > 0 {
		if z, err := ZoneOf(first.u, first.dof, limits, first.rule); err == nil && z.empty {
			r.note("check.note.zone", message.Args{"width": text(limits.Width()), "u": text(rounded(z.k*z.u, 2))})
		}
	}
	if len(values) < 3 {
		r.note("check.note.capability.few", message.Args{"n": len(values)})
		return
	}
	var c Capability
	var err error
	if r.Groups != nil {
		c, err = AssessGroups(groupsOf(lines, values), limits, o.Level)
	} else {
		c, err = Assess(values, limits, o.Level)
	}
	if err != nil {
		r.told(err)
		return
	}
	r.Capability = &c
	if first.gauge.Resolution > 0 {
		if err := first.gauge.Feasible(limits, first.rule, 1); err != nil {
			r.told(err)
		}
	}
	if first.u == 0 {
		r.note("check.note.risk.exact", nil)
		return
	}
	for _, l := range lines {
		if l.u != first.u || l.dof != first.dof || l.rule != first.rule {
			r.note("check.note.risk.gauge", nil)
			return
		}
	}
	risks, own, err := RisksOf(values, limits, first.rule, first.u, first.dof)
	switch {
	case err != nil:
		r.told(err)
	case !own:
		r.note("check.note.risk.own", nil)
	default:
		r.Risks = &risks
	}
}

// partial notes the columns that some lines fill and others don't, so that what they are for is left out.
func (r *Report) partial(lines []line) {
	for _, column := range []struct {
		name string
		of   func(line) string
	}{
		{"group", func(l line) string { return l.group }},
		{"part", func(l line) string { return l.part }},
		{"appraiser", func(l line) string { return l.appraiser }},
	} {
		empty, filled := 0, 0
		for _, l := range lines {
			if column.of(l) == "" {
				if empty == 0 {
					empty = l.number
				}
			} else {
				filled++
			}
		}
		if empty > 0 && filled > 0 {
			r.note("check.note.partial", message.Args{"column": column.name, "line": empty})
		}
	}
	if first := lines[0]; (first.part == "") != (first.appraiser == "") {
		r.note("check.note.crossed", nil)
	}
}

// told notes what was refused, in words.
func (r *Report) told(err error) {
	for _, f := range message.Faults(err) {
		r.Notes = append(r.Notes, f.Text(message.Default))
	}
}

func (r *Report) note(key string, args message.Args) {
	r.Notes = append(r.Notes, message.Say(message.Default, key, args))
}

func deviationsOf(lines []line) []float64 {
	d := make([]float64, len(lines))
	for i, l := range lines {
		d[i] = snap(l.value - l.nominal)
	}
	return d
}

// crossedOf gathers the readings by part and appraiser, in the order in which they first appear; nil where
// a line names none.
func crossedOf(lines []line) [][][]float64 {
	parts, appraisers := map[string]int{}, map[string]int{}
	number := func(at map[string]int, name string) int {
		n, seen := at[name]
		if !seen {
			n = len(at)
			at[name] = n
		}
		return n
	}
	for _, l := range lines {
		if l.part == "" || l.appraiser == "" {
			return nil
		}
		number(parts, l.part)
		number(appraisers, l.appraiser)
	}
	readings := make([][][]float64, len(parts))
	for p := range readings {
		readings[p] = make([][]float64, len(appraisers))
	}
	for _, l := range lines {
		cell := &readings[parts[l.part]][appraisers[l.appraiser]]
		*cell = append(*cell, l.value)
	}
	return readings
}

// relative are the limits of the deviation.
func relative(l line) Limits {
	lower, upper := l.limits.ends()
	return limitsOf(snap(lower-l.nominal), snap(upper-l.nominal))
}

func equal(a, b Limits) bool {
	same := func(x, y *float64) bool {
		if x == nil || y == nil {
			return x == y
		}
		return !below(*x, *y) && !above(*x, *y)
	}
	return same(a.Lower, b.Lower) && same(a.Upper, b.Upper)
}

// groupsOf gathers the deviations by group, in the order in which the groups first appear.
func groupsOf(lines []line, values []float64) [][]float64 {
	at := map[string]int{}
	var groups [][]float64
	for i, l := range lines {
		if l.group == "" {
			return nil
		}
		n, seen := at[l.group]
		if !seen {
			n = len(groups)
			at[l.group], groups = n, append(groups, nil)
		}
		groups[n] = append(groups[n], values[i])
	}
	return groups
}
