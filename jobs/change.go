package jobs

import (
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

	kind string // of the sentence: change, change.item, change.remark
}

// Alterations says differences in words; what changed alike on both feet is said once.
func Alterations(all []spec.Difference) []Alteration {
	var said []Alteration
	for _, d := range all {
		one := alteration(d)
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

func alteration(d spec.Difference) Alteration {
	a := Alteration{Field: fieldName(d), Foot: footOf(d.Path), From: withUnit(d, d.From), To: withUnit(d, d.To), kind: "change"}
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
				*text = message.Say("change.usual", nil)
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
		args["field"] = a.Field + ", " + footName(a.Foot)
	case a.kind == "change.item" || a.kind == "change.remark" && one:
		args["field"] = footName(a.Foot) + ", " + a.Field
	}
	switch {
	case a.From == "":
		return message.Say(a.kind+".new", args)
	case a.To == "":
		return message.Say(a.kind+".gone", args)
	}
	return message.Say(a.kind+".instead", args)
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
func fieldName(d spec.Difference) string {
	var parts []string
	for _, part := range strings.Split(d.Path, ".") {
		if f := spec.Foot(part); f != spec.Left && f != spec.Right {
			name, _, _ := strings.Cut(part, "[")
			parts = append(parts, name)
		}
	}
	key := "spec.label." + strings.Join(parts, ".")
	if _, ok := message.English()[key]; ok {
		return message.Say(key, nil)
	}
	if d.Work != "" && len(parts) <= 2 {
		return message.Say("work."+string(d.Work), nil)
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
