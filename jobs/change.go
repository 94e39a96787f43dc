package jobs

import (
	"slices"
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

// MayChange says whether the pair's spec can change at all: it is open, and there is a number for its next sheet.
func (j *Job) MayChange(zone *time.Location) error {
	if !j.Open() {
		return j.mayMove(zone)
	}
	if j.Sheet.Number >= code.MaxSheet {
		return refuse("change.full", message.Args{"job": j.Number, "most": code.MaxSheet})
	}
	return nil
}

// Propose is the proposal without its forecasts, and the job as it would be; nil where a finding says
// that it cannot be built.
func (j *Job) Propose(s *shop.Shop, c spec.Customer, changed spec.Spec, at time.Time) (Proposal, *Job, error) {
	if err := j.MayChange(s.Zone); err != nil {
		return Proposal{}, nil, err
	}
	p := Proposal{Differences: spec.Diff(j.Sheet.Spec, changed, &s.Catalogue)}
	if len(p.Differences) == 0 {
		return Proposal{}, nil, refuse("change.none", message.Args{"job": j.Number})
	}
	p.Findings = spec.Review(spec.Order{Customer: c, WantedBy: j.Wanted, Spec: changed}, &s.Catalogue, spec.Dates{})
	if spec.Stops(p.Findings) {
		return p, nil, nil
	}
	sheet, err := NewSheet(s, j.Number, j.Sheet.Number+1, at, changed)
	if err != nil {
		return p, nil, err
	}
	sheet.Reference, sheet.Changes = j.Sheet.Reference, p.Differences
	if p.Touched, err = spec.Touched(j.Sheet.Spec, changed, &s.Catalogue); err != nil {
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

// Change makes the next sheet of the pair. The act's sheet is the one that the change was made from.
func (j *Job) Change(a Act, s *shop.Shop, c spec.Customer, changed spec.Spec, reason string, answers map[string]string) ([]Body, error) {
	if err := j.SheetInForce(a.Sheet); err != nil {
		return nil, err
	}
	if err := NeedText("reason", reason); err != nil {
		return nil, err
	}
	p, next, err := j.Propose(s, c, changed, a.At)
	if err != nil {
		return nil, err
	}
	passed, err := Pass(p.Findings, answers, a.By)
	if err != nil {
		return nil, err
	}
	made := next.Sheet
	made.Passed = passed
	return []Body{Changed{Sheet: made, Reason: strings.TrimSpace(reason), Redo: p.Redo}}, nil
}

// Alteration is one thing that a change touched, in words.
type Alteration struct {
	Field    string
	Foot     spec.Foot // Both where it is the same on either foot, or for the pair
	From, To string    // empty where there was nothing, or is nothing more

	whole string
}

// String is "boot height, step above the base: 6 mm instead of 3 mm", "right, inner ankle bone, outwards
// 4 mm over 40 mm: new".
func (a Alteration) String() string { return a.whole }

// Alterations says differences in a language; what changed alike on both feet is said once.
func Alterations(lang message.Language, all []spec.Difference) []Alteration {
	var said []Alteration
	for _, one := range alterations(all) {
		text := func(v any) string {
			if v == nil {
				return ""
			}
			return message.Show(lang, v)
		}
		said = append(said, Alteration{Field: text(one.field), Foot: one.foot, From: text(one.from), To: text(one.to), whole: text(one.phrase())})
	}
	return said
}

// alteration is one thing that a change touched, as values of a sentence. from and to are nil where there
// was nothing, or is nothing more.
type alteration struct {
	field, from, to any
	foot            spec.Foot
	kind            string // of the sentence: change, change.item, change.remark
}

func alterations(all []spec.Difference) []alteration {
	var found []alteration
	for _, d := range all {
		one := alterationOf(d)
		at := slices.IndexFunc(found, func(other alteration) bool {
			return other.foot == spec.Left && other.kind == one.kind && other.values().Same(one.values())
		})
		if at >= 0 && one.foot == spec.Right {
			found[at].foot = spec.Both
			continue
		}
		found = append(found, one)
	}
	return found
}

func (a alteration) values() message.Args {
	return message.Args{"field": a.field, "from": a.from, "to": a.to}
}

func alterationOf(d spec.Difference) alteration {
	a := alteration{field: fieldName(d), foot: footOf(d.Path), from: d.Was(), to: d.Is(), kind: "change"}
	switch about := d.About(); {
	case about != nil:
		a.field, a.foot, a.kind = about, d.Foot, "change.item"
		if d.Work == spec.RemarkWork {
			a.kind = "change.remark"
		}
		if a.foot == "" {
			a.foot = spec.Both
		}
	case d.UsualIfEmpty():
		for _, v := range []*any{&a.from, &a.to} {
			if *v == nil {
				*v = message.Phrase{Key: "change.usual"}
			}
		}
	}
	return a
}

// phrase is the whole alteration.
func (a alteration) phrase() message.Phrase {
	args := a.values()
	one := a.foot == spec.Left || a.foot == spec.Right
	switch {
	case a.kind == "change" && one:
		args["field"] = message.List{Items: []any{a.field, footName(a.foot)}, As: message.Comma}
	case a.kind == "change.item" || a.kind == "change.remark" && one:
		args["field"] = message.List{Items: []any{footName(a.foot), a.field}, As: message.Comma}
	}
	key := a.kind + ".instead"
	switch {
	case a.from == nil:
		key = a.kind + ".new"
		delete(args, "from")
	case a.to == nil:
		key = a.kind + ".gone"
		delete(args, "to")
	}
	return message.Phrase{Key: key, Args: args}
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

// fieldName is what a form calls the field of a path; the path itself where no form has it.
func fieldName(d spec.Difference) any {
	var parts []string
	for _, part := range strings.Split(d.Path, ".") {
		if f := spec.Foot(part); f != spec.Left && f != spec.Right {
			name, _, _ := strings.Cut(part, "[")
			parts = append(parts, name)
		}
	}
	key := "spec.label." + strings.Join(parts, ".")
	if message.Has(message.Default, key) {
		return message.Phrase{Key: key}
	}
	if d.Work != "" && len(parts) <= 2 {
		return message.Phrase{Key: "work." + string(d.Work)}
	}
	return strings.ReplaceAll(strings.Join(parts, " "), "_", " ")
}
