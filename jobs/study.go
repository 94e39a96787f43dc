package jobs

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"time"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/unit"
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

// Studies are the studies of a gauge, the newest first.
func (w *Workshop) Studies(gauge string) []GaugeStudy {
	w.mu.RLock()
	defer w.mu.RUnlock()
	var all []GaugeStudy
	for _, g := range w.state.Studies {
		if g.Gauge == gauge {
			all = append(all, g)
		}
	}
	slices.SortFunc(all, func(a, b GaugeStudy) int { return b.Planned.At.Compare(a.Planned.At) })
	return all
}

func (s *State) Study(key string) (GaugeStudy, error) {
	g, ok := s.Studies[key]
	if !ok {
		return GaugeStudy{}, unknown("study.unknown", message.Args{"found": key})
	}
	return g, nil
}

// PlanStudy plans a crossed study of a gauge: people by their keys. One that is not finished is left as
// it is, and can no longer be taken over.
func (w *Workshop) PlanStudy(ctx context.Context, r Request, gauge string, parts int, people []string, trials int) error {
	_, err := w.write(ctx, r, shop.KeepGauges, func(time.Time) (decided, error) {
		if _, err := w.state.Gauge(w.shop, gauge); err != nil {
			return decided{}, err
		}
		for i, key := range people {
			if _, ok := w.shop.Person(key); !ok || slices.Contains(people[:i], key) {
				return decided{}, &message.Fault{Kind: message.Invalid, Key: "study.person", Where: "people", Args: message.Args{"found": key}}
			}
		}
		var seed [32]byte
		if _, err := io.ReadFull(w.options.Random, seed[:]); err != nil {
			return decided{}, err
		}
		order, err := check.PlanStudy(parts, len(people), trials, rand.New(rand.NewChaCha8(seed)))
		if err != nil {
			return decided{}, err
		}
		count := 1
		for _, g := range w.state.Studies {
			if g.Gauge == gauge {
				count++
			}
		}
		return decided{bodies: []Body{StudyPlanned{
			Study: fmt.Sprintf("%s-%d", gauge, count), Gauge: gauge, Parts: parts, People: people, Trials: trials, Order: order,
		}}}, nil
	})
	return err
}

// ReadStudy takes the readings of one block, as they were typed: the next one, or the last one anew.
// Faults name reading-{index} of the measurement.
func (w *Workshop) ReadStudy(ctx context.Context, r Request, study string, from int, typed []string) error {
	_, err := w.write(ctx, r, shop.WorkSteps, func(time.Time) (decided, error) {
		g, err := w.state.Study(study)
		if err != nil {
			return decided{}, err
		}
		if err := g.MayRead(from); err != nil {
			return decided{}, err
		}
		of, err := w.state.Gauge(w.shop, g.Gauge)
		if err != nil {
			return decided{}, err
		}
		block := g.Block(from)
		if len(typed) != len(block) || len(block) == 0 {
			return decided{}, refuse("study.past", message.Args{"study": study})
		}
		read := StudyRead{Study: study, From: from, Values: make([]float64, len(block))}
		var faults []error
		for i, text := range typed {
			var err error
			read.Values[i], err = unit.ParseNumber(text, of.Unit)
			for _, f := range message.Faults(err) {
				f.Where = "reading-" + strconv.Itoa(from+i)
				faults = append(faults, f)
			}
		}
		return decided{bodies: []Body{read}}, errors.Join(faults...)
	})
	return err
}

// AdoptStudy makes the result of a complete study the gauge's from now on. Only the newest study of a
// gauge can be taken over, once.
func (w *Workshop) AdoptStudy(ctx context.Context, r Request, study string) error {
	_, err := w.write(ctx, r, shop.KeepGauges, func(time.Time) (decided, error) {
		g, err := w.state.Study(study)
		if err != nil {
			return decided{}, err
		}
		result, err := g.MayAdopt(slices.Collect(maps.Values(w.state.Studies)))
		return decided{bodies: []Body{result}}, err
	})
	return err
}
