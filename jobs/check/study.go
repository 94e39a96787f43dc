package check

import (
	"math"
	"math/rand/v2"
	"strconv"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"lastroom/jobs/message"
)

// Measurement is one that a gauge study asks for.
type Measurement struct {
	Part      int `json:"part"` // counted from 0
	Appraiser int `json:"appraiser"`
	Trial     int `json:"trial"`
}

// PlanStudy is the order in which the readings of a crossed study are taken: every part by every
// appraiser in every trial, the parts of a trial in random order and one appraiser after the other, so that nobody
// remembers what was read before. At least 2 parts, 2 appraisers and 2 trials (check.study.small).
func PlanStudy(parts, appraisers, trials int, random *rand.Rand) ([]Measurement, error) {
	if err := studySize(parts, appraisers, trials); err != nil {
		return nil, err
	}
	var order []Measurement
	for trial := range trials {
		for appraiser := range appraisers {
			for _, part := range random.Perm(parts) {
				order = append(order, Measurement{Part: part, Appraiser: appraiser, Trial: trial})
			}
		}
	}
	return order, nil
}

func studySize(parts, appraisers, trials int) error {
	if parts < 2 || appraisers < 2 || trials < 2 || parts > 100 || appraisers > 25 || trials > 25 {
		return &message.Fault{
			Kind: message.Invalid, Key: "check.study.size", Where: "study",
			Args: message.Args{"parts": parts, "appraisers": appraisers, "trials": trials},
		}
	}
	return nil
}

// Source is one row of an analysis of variance.
type Source struct {
	SS float64 `json:"ss"` // sum of squares
	DF float64 `json:"df"` // degrees of freedom
	MS float64 `json:"ms"` // mean square
	F  float64 `json:"f,omitempty"`
	P  float64 `json:"p,omitempty"` // upper tail of F
}

// Components are variances of one reading by where they come from. A negative estimate is set to 0 and
// named in Nought.
type Components struct {
	Repeatability float64  `json:"repeatability"` // of one appraiser on one part ("equipment variation")
	Interaction   float64  `json:"interaction"`
	Appraiser     float64  `json:"appraiser"`
	Part          float64  `json:"part"`
	GRR           float64  `json:"grr"` // repeatability, interaction and appraiser together
	Total         float64  `json:"total"`
	PercentGRR    float64  `json:"percentGrr"` // 100·√(GRR/Total)
	Categories    int      `json:"categories"` // distinct categories of parts ("ndc"): ⌊√2·sd(part)/sd(GRR)⌋
	DF            float64  `json:"df"`         // degrees of freedom of the repeatability
	Nought        []string `json:"nought,omitempty"`
}

// ByRange is the range method of the Measurement Systems Analysis reference manual, as standard
// deviations, with exact constants in place of the manual's rounded ones.
type ByRange struct {
	MeanRange  float64 `json:"meanRange"`
	UpperRange float64 `json:"upperRange"` // a range above it asks for a second look
	EV         float64 `json:"ev"`         // repeatability
	AV         float64 `json:"av"`         // reproducibility
	GRR        float64 `json:"grr"`
	PV         float64 `json:"pv"` // between parts
	TV         float64 `json:"tv"`
	PercentGRR float64 `json:"percentGrr"`
	Categories int     `json:"categories"` // ⌊1.41·PV/GRR⌋
	AVNought   bool    `json:"avNought,omitempty"`
}

// Study is a crossed gauge study, analysed both ways. The two give different percentages of the same
// data, and both are right.
type Study struct {
	Parts       int        `json:"parts"`
	Appraisers  int        `json:"appraisers"`
	Trials      int        `json:"trials"`
	Mean        float64    `json:"mean"`
	Part        Source     `json:"part"`
	Appraiser   Source     `json:"appraiser"`
	Interaction Source     `json:"interaction"`
	Error       Source     `json:"error"`
	Total       Source     `json:"total"`
	Components  Components `json:"components"` // with the interaction
	Pooled      Components `json:"pooled"`     // interaction pooled into the error
	Pool        bool       `json:"pool"`       // the interaction is not significant (p > 0.25, common practice): use Pooled
	Lower       float64    `json:"lower"`      // 95 % interval on the standard deviation of repeatability, exact, by the error alone: see Interval
	Upper       float64    `json:"upper"`
	Range       ByRange    `json:"range"`
}

// Used is the set of components that Pool chooses.
func (s Study) Used() Components {
	if s.Pool {
		return s.Pooled
	}
	return s.Components
}

// Interval is the exact 95 % interval on the standard deviation of the repeatability of Used.
func (s Study) Interval() (lower, upper float64) {
	return deviationInterval(math.Sqrt(s.Used().Repeatability), s.Used().DF, 0.95)
}

// CrossedStudy analyses readings[part][appraiser][trial], all of one unit and complete, by variance
// components (expected mean squares of the crossed random model) and by ranges. Faults: check.study.size,
// check.study.uneven, check.reading.number, check.study.spread.
func CrossedStudy(readings [][][]float64) (Study, error) {
	s := Study{Parts: len(readings)}
	if s.Parts > 0 {
		s.Appraisers = len(readings[0])
	}
	if s.Appraisers > 0 {
		s.Trials = len(readings[0][0])
	}
	if err := studySize(s.Parts, s.Appraisers, s.Trials); err != nil {
		return Study{}, err
	}
	byPart, byAppraiser := make([]float64, s.Parts), make([]float64, s.Appraisers)
	n := float64(s.Parts * s.Appraisers * s.Trials)
	for p, part := range readings {
		for a := range s.Appraisers {
			where := "part " + strconv.Itoa(p+1) + ", appraiser " + strconv.Itoa(a+1)
			if len(part) != s.Appraisers || len(part[a]) != s.Trials {
				return Study{}, &message.Fault{Kind: message.Invalid, Key: "check.study.uneven", Where: where}
			}
			for _, v := range part[a] {
				if !finite(v) {
					return Study{}, reading(where, v)
				}
				s.Mean += v / n
				byPart[p] += v / float64(s.Appraisers*s.Trials)
				byAppraiser[a] += v / float64(s.Parts*s.Trials)
			}
		}
	}
	s.variances(readings, byPart, byAppraiser)
	if s.Total.SS == 0 || s.Error.SS == 0 {
		return Study{}, &message.Fault{Kind: message.Invalid, Key: "check.study.spread", Where: "study"}
	}
	s.Range = byRange(readings, byPart, byAppraiser)
	return s, nil
}

// variances fills in the analysis of variance and what follows from it.
func (s *Study) variances(readings [][][]float64, byPart, byAppraiser []float64) {
	parts, appraisers, trials := float64(s.Parts), float64(s.Appraisers), float64(s.Trials)
	greatest := 0.0
	for p, part := range readings {
		s.Part.SS += appraisers * trials * square(byPart[p]-s.Mean)
		for a, cell := range part {
			mean := stat.Mean(cell, nil)
			s.Interaction.SS += trials * square(mean-byPart[p]-byAppraiser[a]+s.Mean)
			for _, v := range cell {
				s.Error.SS += square(v - mean)
				s.Total.SS += square(v - s.Mean)
				greatest = math.Max(greatest, math.Abs(v))
			}
		}
	}
	for _, mean := range byAppraiser {
		s.Appraiser.SS += parts * trials * square(mean-s.Mean)
	}
	// What is left of equal readings by rounding is nothing: a part in 10¹² of the largest reading.
	noise := parts * appraisers * trials * square(1e-12*greatest)
	for _, source := range []*Source{&s.Part, &s.Appraiser, &s.Interaction, &s.Error, &s.Total} {
		if source.SS <= noise {
			source.SS = 0
		}
	}
	s.Part.DF, s.Appraiser.DF = parts-1, appraisers-1
	s.Interaction.DF, s.Error.DF = (parts-1)*(appraisers-1), parts*appraisers*(trials-1)
	s.Total.DF = parts*appraisers*trials - 1
	for _, source := range []*Source{&s.Part, &s.Appraiser, &s.Interaction, &s.Error} {
		source.MS = source.SS / source.DF
	}
	if s.Error.MS == 0 {
		return
	}
	ratio := func(top *Source, bottom Source) {
		if top.F = top.MS / bottom.MS; !math.IsInf(top.F, 0) && !math.IsNaN(top.F) {
			top.P = distuv.F{D1: top.DF, D2: bottom.DF}.Survival(top.F)
		}
	}
	ratio(&s.Interaction, s.Error)
	if s.Interaction.MS > 0 {
		ratio(&s.Part, s.Interaction)
		ratio(&s.Appraiser, s.Interaction)
	}
	s.Pool = s.Interaction.P > 0.25
	s.Components = s.components(s.Error, s.Interaction.MS, (s.Interaction.MS-s.Error.MS)/trials)
	pooled := Source{SS: s.Error.SS + s.Interaction.SS, DF: s.Error.DF + s.Interaction.DF}
	pooled.MS = pooled.SS / pooled.DF
	s.Pooled = s.components(pooled, pooled.MS, 0)
	s.Lower, s.Upper = deviationInterval(math.Sqrt(s.Error.MS), s.Error.DF, 0.95)
}

// components solves the expected mean squares for the variances; below is the mean square that those of
// part and appraiser are held against.
func (s *Study) components(repeat Source, below, interaction float64) Components {
	c := Components{Repeatability: repeat.MS, DF: repeat.DF}
	atLeastNought := func(name string, v float64) float64 {
		if v < 0 {
			c.Nought = append(c.Nought, name)
			return 0
		}
		return v
	}
	c.Interaction = atLeastNought("interaction", interaction)
	c.Appraiser = atLeastNought("appraiser", (s.Appraiser.MS-below)/float64(s.Parts*s.Trials))
	c.Part = atLeastNought("part", (s.Part.MS-below)/float64(s.Appraisers*s.Trials))
	c.GRR = c.Repeatability + c.Interaction + c.Appraiser
	c.Total = c.GRR + c.Part
	c.PercentGRR = 100 * math.Sqrt(c.GRR/c.Total)
	c.Categories = int(math.Sqrt(2 * c.Part / c.GRR))
	return c
}

func byRange(readings [][][]float64, byPart, byAppraiser []float64) ByRange {
	parts, trials := len(readings), len(readings[0][0])
	var r ByRange
	for _, part := range readings {
		for _, cell := range part {
			r.MeanRange += spread(cell) / float64(parts*len(byAppraiser))
		}
	}
	c := ConstantsFor(trials)
	r.UpperRange = c.UpperR * r.MeanRange
	r.EV = r.MeanRange / c.D2
	av := square(spread(byAppraiser)/singleRange(len(byAppraiser))) - r.EV*r.EV/float64(parts*trials)
	r.AVNought = av < 0
	r.AV = math.Sqrt(math.Max(av, 0))
	r.GRR = math.Hypot(r.EV, r.AV)
	r.PV = spread(byPart) / singleRange(parts)
	r.TV = math.Hypot(r.GRR, r.PV)
	if r.TV > 0 {
		r.PercentGRR = 100 * r.GRR / r.TV
	}
	if r.GRR > 0 {
		r.Categories = int(1.41 * r.PV / r.GRR)
	}
	return r
}

// deviationInterval is the exact chi-square interval of level on a standard deviation.
func deviationInterval(sd, dof, level float64) (lower, upper float64) {
	chi := distuv.ChiSquared{K: dof}
	return sd * math.Sqrt(dof/chi.Quantile((1+level)/2)), sd * math.Sqrt(dof/chi.Quantile((1-level)/2))
}

func square(v float64) float64 { return v * v }
