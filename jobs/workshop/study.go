package workshop

import (
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"slices"
	"strconv"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/unit"
)

// Studies are the studies of a gauge, the newest first.
func (w *Workshop) Studies(gauge string) []jobs.GaugeStudy {
	w.mu.RLock()
	defer w.mu.RUnlock()
	var all []jobs.GaugeStudy
	for _, g := range w.state.Studies {
		if g.Gauge == gauge {
			all = append(all, g)
		}
	}
	slices.SortFunc(all, func(a, b jobs.GaugeStudy) int { return b.Planned.At.Compare(a.Planned.At) })
	return all
}

// PlanStudy plans a crossed study of a gauge: people by their keys. One that is not finished is left as
// it is, and can no longer be taken over.
func (w *Workshop) PlanStudy(ctx context.Context, r Request, gauge string, parts int, people []string, trials int) error {
	_, err := w.write(ctx, r, shop.KeepGauges, func(time.Time) (ruling, error) {
		if _, err := w.state.Gauge(w.shop, gauge); err != nil {
			return ruling{}, err
		}
		for i, key := range people {
			if _, ok := w.shop.Person(key); !ok || slices.Contains(people[:i], key) {
				return ruling{}, &message.Fault{Kind: message.Invalid, Key: "study.person", Where: "people", Args: message.Args{"found": key}}
			}
		}
		var seed [32]byte
		if _, err := io.ReadFull(w.options.Random, seed[:]); err != nil {
			return ruling{}, err
		}
		order, err := check.PlanStudy(parts, len(people), trials, rand.New(rand.NewChaCha8(seed)))
		if err != nil {
			return ruling{}, err
		}
		count := 1
		for _, g := range w.state.Studies {
			if g.Gauge == gauge {
				count++
			}
		}
		return ruling{bodies: []jobs.Body{jobs.StudyPlanned{
			Study: fmt.Sprintf("%s-%d", gauge, count), Gauge: gauge, Parts: parts, People: people, Trials: trials, Order: order,
		}}}, nil
	})
	return err
}

// ReadStudy takes the readings of one block, as they were typed: the next one, or the last one anew.
// Faults name reading-{index} of the measurement.
func (w *Workshop) ReadStudy(ctx context.Context, r Request, study string, from int, typed []string) error {
	_, err := w.write(ctx, r, shop.WorkSteps, func(time.Time) (ruling, error) {
		g, err := w.state.Study(study)
		if err != nil {
			return ruling{}, err
		}
		if err := g.MayRead(from); err != nil {
			return ruling{}, err
		}
		of, err := w.state.Gauge(w.shop, g.Gauge)
		if err != nil {
			return ruling{}, err
		}
		block := g.Block(from)
		if len(typed) != len(block) || len(block) == 0 {
			return ruling{}, refuse("study.past", message.Args{"study": study})
		}
		read := jobs.StudyRead{Study: study, From: from, Values: make([]float64, len(block))}
		var faults []error
		for i, text := range typed {
			var err error
			read.Values[i], err = unit.ParseNumber(text, of.Unit)
			for _, f := range message.Faults(err) {
				f.Where = "reading-" + strconv.Itoa(from+i)
				faults = append(faults, f)
			}
		}
		return ruling{bodies: []jobs.Body{read}}, errors.Join(faults...)
	})
	return err
}

// AdoptStudy makes the result of a complete study the gauge's from now on. Only the newest study of a
// gauge can be taken over, once.
func (w *Workshop) AdoptStudy(ctx context.Context, r Request, study string) error {
	_, err := w.write(ctx, r, shop.KeepGauges, func(time.Time) (ruling, error) {
		g, err := w.state.Study(study)
		if err != nil {
			return ruling{}, err
		}
		result, err := g.MayAdopt(slices.Collect(maps.Values(w.state.Studies)))
		return ruling{bodies: []jobs.Body{result}}, err
	})
	return err
}
