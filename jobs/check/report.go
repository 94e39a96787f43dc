package check

import (
	"errors"
	"io"
	"slices"

	"lastroom/jobs/message"
)

// Options are what holds for every line of a file that does not say otherwise.
type Options struct {
	Criteria // run rules nil: Western Electric

	Limits Limits // where a line has neither lower nor upper
	Gauge  Gauge  // where a line has no gauge columns
	Rule   Rule   // the zero Rule is guarded acceptance with 95 % coverage
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
	Readings int             `json:"readings"`
	Counts   map[Verdict]int `json:"counts"`
	Verdicts []Judged        `json:"verdicts"`
	Analysis                 // of the deviations, or of the readings where no nominal is given
	Q        []float64       `json:"q,omitempty"`     // Q statistics of all readings, from the third on
	OneIn    float64         `json:"oneIn,omitempty"` // points between false alarms of the run rules; absent where there is no rule
	Study    *Study          `json:"study,omitempty"` // where there are parts and appraisers
	Notes    []string        `json:"notes,omitempty"` // what was left out, and why
}

// AnalyseFile reads a CSV of readings with limits and a gauge, decides each and analyses all of them, in the
// order of their lines. It is the whole of the command `lastroom check`, less the printing.
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
func AnalyseFile(r io.Reader, o Options) (Report, error) {
	if o.Rule == (Rule{}) {
		o.Rule = Rule{Acceptance: Guarded}
	}
	if o.RunRules == nil {
		o.RunRules = WesternElectric()
	}
	lines, err := readLines(r, o)
	if err != nil {
		return Report{}, err
	}
	report := Report{Readings: len(lines), Counts: map[Verdict]int{In: 0, Out: 0, Close: 0}, Verdicts: []Judged{}}
	if err := report.judge(lines); err != nil {
		return Report{}, err
	}
	readings := make([]Reading, len(lines))
	for i, l := range lines {
		readings[i] = l.Reading
	}
	if report.Analysis, err = Analyse(readings, o.Criteria); err != nil {
		return Report{}, err
	}
	report.Q = QStatistics(report.Analysis.Deviations)
	if oneIn, err := FalseAlarms(o.RunRules); err == nil && finite(oneIn) {
		report.OneIn = oneIn
	}
	if n := without(readings); n > 0 {
		report.note(note("check.note.limits", message.Args{"n": n}))
	}
	for _, err := range report.Analysis.Notes {
		report.note(err)
	}
	report.note(report.NoCapability)
	report.note(report.NoRisks)
	if c := report.Capability; c != nil {
		key, args := c.Trust()
		c.Words = message.Say(message.Default, key, args)
		if last := lines[len(lines)-1]; last.gauge.Resolution > 0 {
			report.note(last.gauge.Feasible(*report.Tolerance, last.Rule, 1))
		}
	}
	report.partial(lines)
	if cells := crossedOf(lines); cells != nil {
		if study, err := CrossedStudy(cells); err == nil {
			report.Study = &study
		} else {
			report.note(err)
		}
	}
	return report, nil
}

// judge decides every line that has a limit.
func (r *Report) judge(lines []line) error {
	var faults []error
	for _, l := range lines {
		if l.Limits == (Limits{}) {
			continue
		}
		result, err := Decide(Estimate{Value: l.Value, U: l.U, DoF: l.DoF}, l.Limits, l.Rule)
		if err != nil {
			faults = append(faults, placed(err, l.number, ""))
			continue
		}
		r.Counts[result.Verdict]++
		r.Verdicts = append(r.Verdicts, Judged{
			Line: l.number, ID: l.id, Nominal: l.Nominal, Result: result, ExpandedU: result.Expanded(), Shown: result.Shown(),
		})
	}
	return errors.Join(faults...)
}

// partial notes the columns that some lines fill and others don't, so that what they are for is left out.
func (r *Report) partial(lines []line) {
	for _, column := range []struct {
		name string
		of   func(line) string
	}{
		{"group", func(l line) string { return l.Group }},
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
			r.note(note("check.note.partial", message.Args{"column": column.name, "line": empty}))
		}
	}
	if first := lines[0]; (first.part == "") != (first.appraiser == "") {
		r.note(note("check.note.crossed", nil))
	}
}

// note adds the sentences of an error that are not there yet; nil adds none.
func (r *Report) note(err error) {
	for _, f := range message.Faults(err) {
		if said := f.Text(message.Default); !slices.Contains(r.Notes, said) {
			r.Notes = append(r.Notes, said)
		}
	}
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
		*cell = append(*cell, l.Value)
	}
	return readings
}
