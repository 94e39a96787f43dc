package jobs

import (
	"context"
	"slices"
	"strconv"
	"strings"
	"time"

	"lastroom/jobs/code"
	"lastroom/jobs/message"
	"lastroom/jobs/plan"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// Proposal is what a change of spec would mean, before anybody confirms it (ISO 9001:2015, 8.2.4 and
// 8.5.6).
type Proposal struct {
	Differences []spec.Difference
	Touched     []spec.Touch
	Redo        []string // finished operations that must be done again
	Findings    []spec.Finding
	Before      plan.Forecast
	After       plan.Forecast
}

// Propose says what a change would mean, and changes nothing.
func (w *Workshop) Propose(ctx context.Context, number int, changed spec.Spec) (Proposal, error) {
	j, err := w.Job(number)
	if err != nil {
		return Proposal{}, err
	}
	p, next, err := w.propose(j, w.Customer(j), changed, w.Now())
	if err != nil || next == nil {
		return p, err
	}
	open := w.planJobs()
	for i := range open {
		if open[i].Number == number {
			open[i] = next.planJob(w.shop, w.Paces())
		}
	}
	floor := w.shop.Floor()
	forecasts, err := floor.Forecast(ctx, open, w.Now(), w.planOptions(w.toldLast(open)))
	if err != nil {
		return Proposal{}, err
	}
	for _, f := range forecasts {
		if f.Job == number {
			p.After = f
		}
	}
	p.Before = w.Outlook().Jobs[number]
	return p, nil
}

// propose is the proposal without its forecasts, and the job as it would be; nil where a finding says
// that it cannot be built.
func (w *Workshop) propose(j *Job, c spec.Customer, changed spec.Spec, at time.Time) (Proposal, *Job, error) {
	if !j.Open() {
		return Proposal{}, nil, j.mayMove(w.shop.Zone)
	}
	if j.Sheet.Number >= code.MaxSheet {
		return Proposal{}, nil, refuse("change.full", message.Args{"job": j.Number, "most": code.MaxSheet})
	}
	p := Proposal{Differences: spec.Diff(j.Sheet.Spec, changed, &w.shop.Catalogue)}
	if len(p.Differences) == 0 {
		return Proposal{}, nil, refuse("change.none", message.Args{"job": j.Number})
	}
	p.Findings = spec.Review(spec.Order{Customer: c, WantedBy: j.Wanted, Spec: changed}, &w.shop.Catalogue, spec.Dates{})
	if spec.Stops(p.Findings) {
		return p, nil, nil
	}
	sheet, err := NewSheet(w.shop, j.Number, j.Sheet.Number+1, at, changed)
	if err != nil {
		return p, nil, err
	}
	sheet.Reference, sheet.Changes = j.Sheet.Reference, p.Differences
	if p.Touched, err = spec.Touched(j.Sheet.Spec, changed, &w.shop.Catalogue); err != nil {
		return Proposal{}, nil, err
	}
	p.Redo = spec.Redo(p.Touched, j.finished())
	next, err := j.with(Event{At: at, Body: Changed{Sheet: sheet, Redo: p.Redo}})
	return p, next, err
}

// finished are the operations that are done and not to be done again.
func (j *Job) finished() []string {
	var done []string
	for _, op := range j.Sheet.Route {
		ahead := false
		for _, s := range j.Steps[min(j.At, len(j.Steps)):] {
			ahead = ahead || s.Operation == op.Key
		}
		if !ahead {
			done = append(done, op.Key)
		}
	}
	return done
}

// Change puts the next sheet of a job in force. Every finding of its review needs a reason, as an
// order's does.
func (w *Workshop) Change(ctx context.Context, r Request, number int, changed spec.Spec, reason string, answers map[string]string) (*Job, error) {
	return w.onJob(ctx, r, shop.TakeOrders, number, func(j *Job, at time.Time) ([]Body, error) {
		if err := needText("reason", reason); err != nil {
			return nil, err
		}
		p, next, err := w.propose(j, w.customers[j.Customer], changed, at)
		if err != nil {
			return nil, err
		}
		passed, err := pass(p.Findings, answers, r.By.Key)
		if err != nil {
			return nil, err
		}
		sheet := next.Sheet
		sheet.Passed = passed
		return []Body{Changed{Sheet: sheet, Reason: strings.TrimSpace(reason), Redo: p.Redo}}, nil
	})
}

// Alteration is one thing that a change touched, in words.
type Alteration struct {
	Field    string
	Foot     spec.Foot // Both where it is the same on either foot, or for the pair
	From, To string    // empty where there was nothing, or is nothing more

	kind string // of the sentence: change, change.item, change.remark
	lang message.Language
}

// Alterations says differences in a language; what changed alike on both feet is said once.
func Alterations(lang message.Language, all []spec.Difference) []Alteration {
	var said []Alteration
	for _, d := range all {
		one := alteration(lang, d)
		other := one
		other.Foot = spec.Left
		if at := slices.Index(said, other); at >= 0 && one.Foot == spec.Right {
			said[at].Foot = spec.Both
			continue
		}
		said = append(said, one)
	}
	return said
}

func alteration(lang message.Language, d spec.Difference) Alteration {
	a := Alteration{lang: lang, Field: fieldName(lang, d), Foot: footOf(d.Path), From: withUnit(d, d.From), To: withUnit(d, d.To), kind: "change"}
	switch {
	case d.At != "":
		a.Field, a.Foot, a.kind = d.At, d.Foot, "change.item"
		if d.Work == spec.RemarkWork {
			a.kind = "change.remark"
		}
		if a.Foot == "" {
			a.Foot = spec.Both
		}
	case ofPattern(d):
		for _, text := range []*string{&a.From, &a.To} {
			if *text == "" {
				*text = message.Say(lang, "change.usual", nil)
			}
		}
	}
	return a
}

// ofPattern says that a field which says nothing means the pattern's own, not that there is none.
func ofPattern(d spec.Difference) bool {
	own := []spec.Work{
		spec.ShellStiffness, spec.ShellToeBox, spec.InsideLiner, spec.InsideTongue, spec.BladeHolder, spec.BladeRunner,
		spec.BladeHollow, spec.BladeRocker, spec.FinishLacing,
	}
	return slices.Contains(own, d.Work) && !strings.HasPrefix(d.Path, "blade.alignment")
}

// String is "boot height, step above the base: 6 mm instead of 3 mm", "right, inner ankle bone, outwards
// 4 mm over 40 mm: new".
func (a Alteration) String() string {
	args := message.Args{"field": a.Field, "from": a.From, "to": a.To}
	one := a.Foot == spec.Left || a.Foot == spec.Right
	switch {
	case a.kind == "change" && one:
		args["field"] = a.Field + ", " + footIn(a.lang, a.Foot)
	case a.kind == "change.item" || a.kind == "change.remark" && one:
		args["field"] = footIn(a.lang, a.Foot) + ", " + a.Field
	}
	switch {
	case a.From == "":
		return message.Say(a.lang, a.kind+".new", args)
	case a.To == "":
		return message.Say(a.lang, a.kind+".gone", args)
	}
	return message.Say(a.lang, a.kind+".instead", args)
}

// footOf is the foot that a path names; Both where it names none.
func footOf(path string) spec.Foot {
	for _, part := range strings.Split(path, ".") {
		if f := spec.Foot(part); f == spec.Left || f == spec.Right {
			return f
		}
	}
	return spec.Both
}

// fieldName is what a form calls the field of a path; the path itself in words where no form has it.
func fieldName(lang message.Language, d spec.Difference) string {
	var parts []string
	for _, part := range strings.Split(d.Path, ".") {
		if f := spec.Foot(part); f != spec.Left && f != spec.Right {
			name, _, _ := strings.Cut(part, "[")
			parts = append(parts, name)
		}
	}
	key := "spec.label." + strings.Join(parts, ".")
	if ok := message.Has(lang, key); ok {
		return message.Say(lang, key, nil)
	}
	if d.Work != "" && len(parts) <= 2 {
		return message.Say(lang, "work."+string(d.Work), nil)
	}
	return strings.ReplaceAll(strings.Join(parts, " "), "_", " ")
}

// withUnit puts the unit to a length that stands alone, as sheets had it that were sealed before lengths
// were said with their unit: a spec holds millimetres.
func withUnit(d spec.Difference, text string) string {
	lengths := []spec.Work{spec.ShellHeight, spec.LastVolume, spec.BladeHollow, spec.BladeRocker, spec.BladePitch}
	if _, err := strconv.ParseFloat(text, 64); err != nil || !slices.Contains(lengths, d.Work) {
		return text
	}
	return text + " mm"
}
