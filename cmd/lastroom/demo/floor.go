package demo

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// worker is who works at a station, on the i-th of its places.
func worker(station string, i int) string {
	at := map[string][]string{"heat-moulding": {"ask"}, "lasting": {"runa", "tove", "odd"}, "holder-mounting": {"tove"}, "finishing": {"odd", "ask"}, "qc": {"ylva"}}
	return at[station][i%len(at[station])]
}

// dispatch starts what can be started: at each open station with a free place, the pair promised first.
func (h *history) dispatch() error {
	for _, st := range h.w.Shop().Stations {
		if !st.Hours.Open(h.now) {
			h.plan(st.Hours.NextOpen(h.now), func() error { return nil })
			continue
		}
		if st.Key == "qc" && h.until.Sub(h.now) < atQC {
			continue // so that pairs wait for whoever looks at the demo
		}
		for h.busy[st.Key] < st.Places {
			ready := h.ready(st.Key)
			if len(ready) == 0 {
				break
			}
			if err := h.start(st, ready[0]); err != nil {
				return err
			}
		}
	}
	return nil
}

func (h *history) ready(station string) []*jobs.Job {
	var ready []*jobs.Job
	for _, j := range h.w.OpenJobs() {
		if j.MayStart(station, h.now, h.w.Shop().Zone) == nil {
			ready = append(ready, j)
		}
	}
	slices.SortStableFunc(ready, func(a, b *jobs.Job) int {
		switch {
		case a.Promise.Day < b.Promise.Day:
			return -1
		case a.Promise.Day > b.Promise.Day:
			return 1
		}
		return a.Number - b.Number
	})
	return ready
}

// start begins a step and plans its confirmations, readings and end over the working time that it takes.
func (h *history) start(st shop.Station, j *jobs.Job) error {
	step, _ := j.Current()
	op, _, _ := j.Sheet.Operation(step.Operation)
	who := worker(st.Key, h.busy[st.Key])
	if _, err := h.w.Start(h.ctx, h.by(who), j.Number, j.Sheet.Number, st.Key); err != nil {
		return err
	}
	h.busy[st.Key]++
	minutes := op.Minutes * math.Exp(op.Spread*h.random.NormFloat64())
	if step.Foot != spec.Both {
		minutes *= 0.6
	}
	do := j.Instructions(step)
	for i, one := range do {
		at := st.Hours.Add(h.now, minutes*0.8*float64(i+1)/float64(len(do)+1))
		h.plan(at, func() error {
			_, err := h.w.Confirm(h.ctx, h.by(who), j.Number, h.sheet(j), st.Key, one.ID)
			return passOver(err)
		})
	}
	h.plan(st.Hours.Add(h.now, minutes*0.9), func() error { return passOver(h.read(j.Number, st.Key, who)) })
	h.plan(st.Hours.Add(h.now, minutes), func() error { return h.end(j.Number, st, who) })
	return nil
}

// sheet is the number of the sheet in force: the desk brings a new one to the bench.
func (h *history) sheet(j *jobs.Job) int {
	now, err := h.w.Job(j.Number)
	if err != nil {
		return j.Sheet.Number
	}
	return now.Sheet.Number
}

// passOver lets pass that something was refused: the pair was put on hold, changed or scrapped meanwhile.
func passOver(err error) error {
	if len(message.Faults(err)) > 0 {
		return nil
	}
	return err
}

// read takes every reading that the current step still wants. A boot may be found too high; what is too
// close to call or out at a bench is put right and read again.
func (h *history) read(number int, station, who string) error {
	j, err := h.w.Job(number)
	if err != nil {
		return err
	}
	step, _ := j.Current()
	done := map[string]bool{}
	for _, c := range j.MissingChecks(step) {
		group := jobs.GroupOf(c)
		if c.Rule == spec.Match || done[group] {
			continue
		}
		done[group] = true
		high := j.Final(step) && c.Quantity == spec.BootHeight && c.Foot == spec.Right && step.Round == 1 && number%outHeight == 0
		for try := range 4 {
			typed := h.reading(c, try, high)
			gauges := h.w.Shop().GaugesOf(c.Gauge)
			gauge := gauges[min(try, len(gauges)-1)]
			if j, err = h.w.Read(h.ctx, h.by(who), number, j.Sheet.Number, station, group, gauge.Key, typed); err != nil {
				return err
			}
			step, _ = j.Current()
			if high || accepted(j, step, group) {
				break
			}
			h.set(h.now.Add(time.Minute))
		}
	}
	return nil
}

func accepted(j *jobs.Job, step jobs.Step, group string) bool {
	for _, c := range j.Checks(step) {
		if jobs.GroupOf(c) == group && !step.Accepted(c.ID) {
			return false
		}
	}
	return true
}

// reading is what a gauge shows: near nominal, nearer at each further try.
func (h *history) reading(c spec.Check, try int, high bool) []string {
	off := (c.Upper - c.Lower) / 2 * 0.28 * h.random.NormFloat64() / float64(1+2*try)
	if high {
		off = c.Upper - c.Nominal + 1.5 + 1.5*h.random.Float64()
	}
	typed := make([]string, len(c.Inputs()))
	for i := range typed {
		v := 0.0
		switch c.Rule {
		case spec.Value:
			v = c.Nominal + off
		case spec.Gain:
			v = float64(i%len(c.Readings)) * (c.Nominal + off)
		default:
			v = 0.25 * h.random.NormFloat64() / float64(1+2*try)
		}
		typed[i] = fmt.Sprintf("%.2f", v)
	}
	return typed
}

// end finishes a step, or at the last one decides: release, rework, or now and then a concession.
func (h *history) end(number int, st shop.Station, who string) error {
	h.busy[st.Key]--
	j, err := h.w.Job(number)
	if err != nil {
		return err
	}
	step, ok := j.Current()
	if !ok || j.Station(step) != st.Key || step.Started == nil || j.Hold != nil || !j.Open() {
		return nil
	}
	for _, one := range j.MissingInstructions(step) {
		if j, err = h.w.Confirm(h.ctx, h.by(who), number, j.Sheet.Number, st.Key, one.ID); err != nil {
			return passOver(err)
		}
	}
	if err := passOver(h.read(number, st.Key, who)); err != nil {
		return err
	}
	if j, err = h.w.Job(number); err != nil {
		return err
	}
	step, _ = j.Current()
	switch {
	case number == jobs.FirstJob+6 && st.Key == "heat-moulding":
		_, err = h.w.Decide(h.ctx, h.by("birk"), st.Key, jobs.Nonconformity{
			Job: number, Foot: spec.Left, Found: "shell split at the heel in the oven", Disposition: jobs.Scrap, Cause: "material",
		}, "")
	case !j.Final(step):
		_, err = h.w.FinishWith(h.ctx, h.by(who), number, j.Sheet.Number, st.Key, lots(j, step))
		if err == nil {
			h.wake(number)
		}
	case len(j.MissingChecks(step)) == 0:
		_, err = h.w.Release(h.ctx, h.by(who), number, j.Sheet.Number, st.Key)
	default:
		err = h.nonconforming(j, step, st, who)
	}
	return passOver(err)
}

// lots are those in use at a step: a tin or a roll lasts for some twelve pairs.
func lots(j *jobs.Job, step jobs.Step) map[string]string {
	op, _, _ := j.Sheet.Operation(step.Operation)
	in := map[string]string{}
	for _, m := range op.Materials {
		in[m.Key] = fmt.Sprintf("%s-26%02d", strings.ToUpper(m.Key[:1]), 1+(j.Number-jobs.FirstJob)/12)
	}
	return in
}

// wake looks at the floor again when the pair has rested.
func (h *history) wake(number int) {
	if j, err := h.w.Job(number); err == nil {
		if step, ok := j.Current(); ok && !step.RestUntil.IsZero() {
			h.plan(step.RestUntil, func() error { return nil })
		}
	}
}

func (h *history) nonconforming(j *jobs.Job, step jobs.Step, st shop.Station, who string) error {
	n := jobs.Nonconformity{Job: j.Number, Foot: spec.Both}
	for _, c := range j.MissingChecks(step) {
		result, _, ok := step.Latest(c.ID)
		if !ok {
			continue
		}
		n.Checks = append(n.Checks, c.ID)
		if c.Foot != spec.Both && result.Verdict == check.Out {
			n.Foot, n.Found = c.Foot, fmt.Sprintf("%s, %s boot: %.1f mm over", c.Text(message.Default), c.Foot, result.Value-c.Upper)
		}
	}
	if n.Found == "" {
		n.Found = "left and right differ"
	}
	if h.random.IntN(4) == 0 {
		n.Disposition = jobs.Concession
		if _, err := h.w.Decide(h.ctx, h.by(who), st.Key, n, "the customer, by telephone"); err != nil {
			return err
		}
		_, err := h.w.Release(h.ctx, h.by(who), j.Number, j.Sheet.Number, st.Key)
		return err
	}
	n.Disposition, n.To = jobs.Rework, "lasting"
	_, err := h.w.Decide(h.ctx, h.by(who), st.Key, n, "")
	return err
}
