package jobs

import (
	"slices"
	"time"

	"lastroom/jobs/code"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

func refuse(key string, args message.Args) *message.Fault {
	return &message.Fault{Kind: message.Refused, Key: key, Args: args}
}

func unknown(key string, args message.Args) *message.Fault {
	return &message.Fault{Kind: message.Unknown, Key: key, Args: args}
}

// SheetInForce says whether a scanned sheet is the one that the pair is made by. An older one is
// refused with what replaced it.
func (j *Job) SheetInForce(sheet int) error {
	switch {
	case sheet == j.Sheet.Number:
		return nil
	case sheet > j.Sheet.Number:
		return unknown("scan.sheet-unknown", message.Args{"job": j.Number, "sheet": sheet, "newest": j.Sheet.Number})
	}
	changes := message.List{As: message.Semicolon}
	for _, one := range alterations(j.changesSince(sheet)) {
		changes.Items = append(changes.Items, one.phrase())
	}
	return refuse("scan.outdated", message.Args{
		"job": j.Number, "sheet": sheet, "newest": j.Sheet.Number, "changes": changes,
	})
}

// changesSince lists what every sheet after the given one changed.
func (j *Job) changesSince(sheet int) []spec.Difference {
	var all []spec.Difference
	for _, s := range j.Sheets {
		if s.Number > sheet {
			all = append(all, s.Changes...)
		}
	}
	return all
}

// MayWork says whether the pair can be worked on at a station: it is open, not on hold, and what is in
// hand or next is of this station. zone is the workshop's, for the times that are said.
func (j *Job) MayWork(station string, zone *time.Location) error {
	if err := j.mayMove(zone); err != nil {
		return err
	}
	step, ok := j.Current()
	if !ok {
		return refuse("scan.nothing-left", message.Args{"job": j.Number})
	}
	if j.Station(step) == station {
		return nil
	}
	op, _, _ := j.Sheet.Operation(step.Operation)
	args := message.Args{"job": j.Number, "next": op.Name}
	if i := j.finishedAt(station); i >= 0 {
		done := j.Steps[i]
		doneOp, _, _ := j.Sheet.Operation(done.Operation)
		args["operation"], args["at"] = doneOp.Name, sayTime(done.Finished.At, zone)
		return refuse("scan.finished", args)
	}
	return refuse("scan.elsewhere", args)
}

// finishedAt is the last finished step of a station in the current round, or -1.
func (j *Job) finishedAt(station string) int {
	for i := min(j.At, len(j.Steps)) - 1; i >= 0; i-- {
		if s := j.Steps[i]; j.Station(s) == station && !s.SentBack && s.Round == j.Steps[j.At].Round {
			return i
		}
	}
	return -1
}

// mayMove says whether anything may be done on the job at all.
func (j *Job) mayMove(zone *time.Location) error {
	switch {
	case j.Released != nil:
		return refuse("scan.released", message.Args{"job": j.Number, "at": sayTime(j.Released.At, zone)})
	case j.Scrapped != nil:
		return refuse("scan.scrapped", message.Args{"job": j.Number, "at": sayTime(j.Scrapped.At, zone)})
	case j.Hold != nil:
		return refuse("scan.held", message.Args{"job": j.Number, "reason": j.Hold.Reason})
	}
	return nil
}

// MayStart says whether the current step may begin at a station now: nobody has begun it, the rest is
// over, and the window has not passed.
func (j *Job) MayStart(station string, now time.Time, zone *time.Location) error {
	if err := j.MayWork(station, zone); err != nil {
		return err
	}
	step := j.Steps[j.At]
	switch {
	case step.Started != nil:
		return refuse("scan.started", message.Args{"job": j.Number, "at": sayTime(step.Started.At, zone)})
	case now.Before(step.RestUntil):
		return refuse("scan.resting", message.Args{
			"job": j.Number, "until": sayTime(step.RestUntil, zone), "why": j.restReason(),
		})
	case !step.BeginBy.IsZero() && now.After(step.BeginBy):
		return refuse("scan.window", message.Args{"job": j.Number, "by": sayTime(step.BeginBy, zone)})
	}
	return nil
}

// MayScan says whether the pair's page can be opened at a station by a scan: it can be worked on there, and begun
// where it is not begun.
func (j *Job) MayScan(station string, now time.Time, zone *time.Location) error {
	if err := j.MayWork(station, zone); err != nil {
		return err
	}
	if j.Steps[j.At].Started != nil {
		return nil
	}
	return j.MayStart(station, now, zone)
}

// JustLeft is the step before the current one, where it was finished at a station: its page can still be seen
// there, with the way to undo. ok is false where there is none.
func (j *Job) JustLeft(station string) (step Step, ok bool) {
	if j.At == 0 || j.At > len(j.Steps) {
		return Step{}, false
	}
	step = j.Steps[j.At-1]
	return step, j.Station(step) == station && step.Finished != nil && !step.SentBack
}

// restReason is why the current step rests, in words.
func (j *Job) restReason() string {
	if j.At == 0 {
		return ""
	}
	op, _, _ := j.Sheet.Operation(j.Steps[j.At-1].Operation)
	return op.RestReason
}

// inHand says whether the current step is begun at the station, so that it can be confirmed, read and
// finished there.
func (j *Job) inHand(station string, zone *time.Location) (Step, error) {
	if err := j.MayWork(station, zone); err != nil {
		return Step{}, err
	}
	step := j.Steps[j.At]
	if step.Started == nil {
		return Step{}, refuse("scan.not-started", message.Args{"job": j.Number})
	}
	return step, nil
}

// MayConfirm says whether an instruction can be confirmed at a station; done is true when it is already.
func (j *Job) MayConfirm(station, instruction string, zone *time.Location) (done bool, err error) {
	step, err := j.inHand(station, zone)
	if err != nil {
		return false, err
	}
	if !slices.ContainsFunc(j.Instructions(step), func(i spec.Instruction) bool { return i.ID == instruction }) {
		return false, unknown("confirm.unknown", message.Args{"job": j.Number, "instruction": instruction})
	}
	_, done = step.Confirmed[instruction]
	return done, nil
}

// MayFinish says whether the step in hand is complete. The last step of the route does not finish: it
// ends in a release or a decision.
func (j *Job) MayFinish(station string, zone *time.Location) error {
	step, err := j.inHand(station, zone)
	if err != nil {
		return err
	}
	if j.Final(step) {
		return refuse("finish.final", message.Args{"job": j.Number})
	}
	return j.complete(step)
}

// complete says what a step still lacks.
func (j *Job) complete(step Step) error {
	if left := j.MissingInstructions(step); len(left) > 0 {
		return refuse("finish.unconfirmed", message.Args{"job": j.Number, "count": len(left), "first": left[0].Phrase()})
	}
	if left := j.MissingChecks(step); len(left) > 0 {
		key := "finish.unread"
		if _, _, taken := step.Latest(left[0].ID); taken {
			key = "finish.not-in"
		}
		return refuse(key, message.Args{"job": j.Number, "count": len(left), "first": left[0].Phrase()})
	}
	return nil
}

// sayTime is an instant as a value of a sentence. The day always stands before the hour.
func sayTime(t time.Time, zone *time.Location) message.Time {
	return message.Time{At: t.In(zone), As: message.DayClock}
}

// WrongBoot says whether a boot's label belongs to the pair whose sheet was scanned with it.
func WrongBoot(j *Job, label code.Code) error {
	number, foot, ok := label.Boot()
	if !ok || number == j.Number {
		return nil
	}
	return refuse("scan.wrong-boot", message.Args{"job": j.Number, "foot": footName(foot), "other": number})
}

func footName(f spec.Foot) message.Phrase { return message.Phrase{Key: "foot." + string(f)} }
