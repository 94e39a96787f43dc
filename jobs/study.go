package jobs

import (
	"math"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
)

// StudyPlanned is the order in which the readings of a gauge study are to be taken.
type StudyPlanned struct {
	Study  string              `json:"study"` // its key
	Gauge  string              `json:"gauge"`
	Parts  int                 `json:"parts"`
	People []string            `json:"people"` // keys of those who measure
	Trials int                 `json:"trials"`
	Order  []check.Measurement `json:"turns"`
}

// StudyRead is what one person read in one trial: the measurements from From on. What was read from there on
// before is replaced.
type StudyRead struct {
	Study  string    `json:"study"`
	From   int       `json:"from"`
	Values []float64 `json:"values"`
}

// GaugeStudy is a study as far as it has come.
type GaugeStudy struct {
	StudyPlanned
	Planned Signature
	Values  []float64   // of the measurements taken so far, in their order
	Readers []Signature // who entered readings, and when
	Adopted *Signature  // who took the result over; nil until then
}

// Complete says whether every reading was taken.
func (g GaugeStudy) Complete() bool { return len(g.Values) == len(g.Order) }

// Block is the measurements that one person makes in one trial, from the given one on.
func (g GaugeStudy) Block(from int) []check.Measurement {
	if from < 0 || from >= len(g.Order) {
		return nil
	}
	end := from
	for end < len(g.Order) && g.Order[end].Appraiser == g.Order[from].Appraiser && g.Order[end].Trial == g.Order[from].Trial {
		end++
	}
	return g.Order[from:end]
}

// Next is the index of the first measurement that is still to be made.
func (g GaugeStudy) Next() int { return len(g.Values) }

// Before is where the last block that was read begins: the one that can be entered anew.
func (g GaugeStudy) Before() (from int, ok bool) {
	if len(g.Values) == 0 {
		return 0, false
	}
	last := g.Order[len(g.Values)-1]
	for from = len(g.Values) - 1; from > 0 && g.Order[from-1].Appraiser == last.Appraiser && g.Order[from-1].Trial == last.Trial; from-- {
	}
	return from, true
}

// Analyse is the study by both methods; it is refused until every reading was taken.
func (g GaugeStudy) Analyse() (check.Study, error) {
	if !g.Complete() {
		return check.Study{}, refuse("study.incomplete", message.Args{"found": len(g.Values), "want": len(g.Order)})
	}
	readings := make([][][]float64, g.Parts)
	for p := range readings {
		readings[p] = make([][]float64, len(g.People))
		for a := range readings[p] {
			readings[p][a] = make([]float64, g.Trials)
		}
	}
	for i, m := range g.Order {
		readings[m.Part][m.Appraiser][m.Trial] = g.Values[i]
	}
	return check.CrossedStudy(readings)
}

// Result is what the study makes of its gauge.
func (g GaugeStudy) Result() (Studied, check.Study, error) {
	s, err := g.Analyse()
	if err != nil {
		return Studied{}, s, err
	}
	used := s.Used()
	return Studied{
		Gauge: g.Gauge, Study: g.Study, Repeatability: math.Sqrt(used.Repeatability), DoF: used.DF,
		Reproducibility: math.Sqrt(used.Appraiser + used.Interaction),
	}, s, nil
}

// MayRead refuses readings from a place in the order on where they are not the next ones, nor those entered
// last anew, or the result was taken over.
func (g GaugeStudy) MayRead(from int) error {
	before, again := g.Before()
	if g.Adopted != nil || from != g.Next() && !(again && from == before) {
		return refuse("study.past", message.Args{"study": g.Study})
	}
	return nil
}

// MayAdopt is what the gauge becomes by this study. It is refused where that was taken over before, a newer
// study of the gauge is among all, or readings are missing.
func (g GaugeStudy) MayAdopt(all []GaugeStudy) (Studied, error) {
	if g.Adopted != nil {
		return Studied{}, refuse("study.adopted", message.Args{"study": g.Study})
	}
	for _, other := range all {
		if other.Gauge == g.Gauge && other.Planned.At.After(g.Planned.At) {
			return Studied{}, refuse("study.older", message.Args{"study": g.Study, "newer": other.Study})
		}
	}
	result, _, err := g.Result()
	return result, err
}

func (s *State) Study(key string) (GaugeStudy, error) {
	g, ok := s.Studies[key]
	if !ok {
		return GaugeStudy{}, unknown("study.unknown", message.Args{"found": key})
	}
	return g, nil
}
