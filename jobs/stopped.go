package jobs

import (
	"time"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// Stopped is what was told of a step that nobody had scanned off: when it ended, or that it goes on.
type Stopped struct {
	Job   int       `json:"job"`
	Step  int       `json:"step"`
	Ended time.Time `json:"ended,omitzero"` // zero: it goes on
}

// Stop is what a step remembers of it.
type Stop struct {
	Signature
	Ended time.Time // zero: it goes on
}

// end is when a step that is finished at an instant really ended.
func (s Step) end(at time.Time) time.Time {
	if s.Stop != nil && !s.Stop.Ended.IsZero() {
		return s.Stop.Ended
	}
	return at
}

// lastSign is when somebody last confirmed, read or began something in a begun step.
func (s Step) lastSign() time.Time {
	last := s.Started.At
	for _, c := range s.Confirmed {
		last = latest(last, c.At)
	}
	for _, r := range s.Readings {
		last = latest(last, r.At)
	}
	return last
}

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// Forgotten says whether a pair in hand seems to have been left without a scan: nothing was done to
// it since an earlier day, and by the station's working hours it takes longer than it usually does. A
// night alone tells nothing: what was begun before closing time goes on in the morning. usual is when it
// would have ended.
func (j *Job) Forgotten(now time.Time, s *shop.Shop, paces map[string]Pace) (usual time.Time, forgotten bool) {
	step, ok := j.Current()
	if !ok || !j.Open() || j.Hold != nil || step.Started == nil || j.Final(step) {
		return time.Time{}, false
	}
	op, _, _ := j.Sheet.Operation(step.Operation)
	st, ok := s.Station(op.Station)
	if !ok {
		return time.Time{}, false
	}
	last := step.lastSign()
	if step.Stop != nil {
		if !step.Stop.Ended.IsZero() {
			return time.Time{}, false
		}
		last = latest(last, step.Stop.At)
	}
	if spec.DateOf(last.In(s.Zone)) >= spec.DateOf(now.In(s.Zone)) {
		return time.Time{}, false
	}
	usualMinutes := op.Minutes
	if pace, ok := paces[op.Key]; ok {
		usualMinutes *= pace.Times
	}
	if worked(st, step.Started.At, now) <= usualMinutes {
		return time.Time{}, false
	}
	usual = step.Started.At.Add(minutes(usualMinutes))
	if !st.Whole {
		usual = st.Hours.Add(step.Started.At, usualMinutes)
	}
	return latest(usual, step.lastSign()), true
}

// MayStop says whether a step in hand can be said to have ended then: after the last thing done to it,
// and not later than now.
func (j *Job) MayStop(station string, ended, now time.Time, zone *time.Location) error {
	step, err := j.inHand(station, zone)
	if err != nil {
		return err
	}
	if ended.IsZero() {
		return nil
	}
	if last := step.lastSign(); ended.Before(last.Truncate(time.Minute)) || ended.After(now) {
		return &message.Fault{Kind: message.Invalid, Key: "stopped.outside", Where: "at", Args: message.Args{
			"found": sayTime(ended, zone), "first": sayTime(last, zone), "last": sayTime(now, zone),
		}}
	}
	return nil
}
