package jobs

import (
	"encoding/json"
	"slices"
	"testing"
	"time"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// threeBenches is a sheet of a route a, b, c. After a the pair rests 30 minutes, and b must begin within the hour after.
func threeBenches(number int) Sheet {
	return Sheet{Job: 1001, Number: number, Route: []Operation{
		{Key: "a", Name: "A", Station: "a", Minutes: 10, Rest: 30, RestReason: "cools", Window: 60},
		{Key: "b", Name: "B", Station: "b", Minutes: 20},
		{Key: "c", Name: "C", Station: "c", Minutes: 5},
	}}
}

// happened folds bodies, a minute apart from noon on, into a job.
func happened(t *testing.T, bodies ...Body) *Job {
	t.Helper()
	j := &Job{Number: 1001}
	for i, body := range bodies {
		var err error
		if j, err = j.with(Event{Entry: uint64(i + 1), At: noon.Add(time.Duration(i) * time.Minute), By: "runa", Body: body}); err != nil {
			t.Fatalf("%T: %v", body, err)
		}
	}
	return j
}

// After the oven the shell cools, and then must be worked while it is warm.
func TestARestAndItsWindow(t *testing.T) {
	j := happened(t, Opened{Sheet: threeBenches(1)}, Started{Step: 0}, Finished{Step: 0})
	end := noon.Add(2 * time.Minute)
	step, _ := j.Current()
	if !step.RestUntil.Equal(end.Add(30*time.Minute)) || !step.BeginBy.Equal(end.Add(90*time.Minute)) {
		t.Errorf("rests until %v, begins by %v; finished %v", step.RestUntil, step.BeginBy, end)
	}
	for _, row := range []struct {
		after time.Duration
		key   string
		as    Standing
	}{
		{29 * time.Minute, "scan.resting", Resting},
		{30 * time.Minute, "", Waiting},
		{90 * time.Minute, "", Waiting},
		{91 * time.Minute, "scan.window", Waiting},
	} {
		now := end.Add(row.after)
		err := j.MayStart("b", now, time.UTC)
		if got := firstKeyOf(err); got != row.key || j.Standing(now) != row.as {
			t.Errorf("after %v: %q, %s; want %q, %s", row.after, got, j.Standing(now), row.key, row.as)
		}
	}
}

// A concession lets a check pass, or the window that was missed; one has nothing to do with the other.
func TestWhatAConcessionLetsPass(t *testing.T) {
	missed := happened(t, Opened{Sheet: threeBenches(1)}, Started{Step: 0}, Finished{Step: 0}, Nonconformity{Step: 1, Disposition: Concession, Found: "too late"})
	if step, _ := missed.Current(); !step.BeginBy.IsZero() || missed.MayStart("b", noon.Add(5*time.Hour), time.UTC) != nil {
		t.Errorf("the missed window was let pass, and still holds: %v", step.BeginBy)
	}
	read := happened(t, Opened{Sheet: threeBenches(1)}, Started{Step: 0}, Finished{Step: 0}, Nonconformity{Step: 1, Disposition: Concession, Checks: []string{"height"}})
	if step, _ := read.Current(); step.BeginBy.IsZero() || !slices.Equal(step.Conceded, []string{"height"}) {
		t.Errorf("a check was let pass: %v of the window, %v", step.BeginBy, step.Conceded)
	}
}

// A window can be let pass while nobody has begun; a pair in hand has missed none.
func TestAWindowIsConcededBeforeTheStepBegins(t *testing.T) {
	waiting := happened(t, Opened{Sheet: threeBenches(1)}, Started{Step: 0}, Finished{Step: 0})
	begun := happened(t, Opened{Sheet: threeBenches(1)}, Started{Step: 0}, Finished{Step: 0}, Started{Step: 1})
	n := Nonconformity{Foot: spec.Both, Found: "too late", Disposition: Concession}
	if err := waiting.MayDecide("b", n, "the customer", time.UTC); err != nil {
		t.Errorf("not begun: %v", err)
	}
	if got := firstKeyOf(begun.MayDecide("b", n, "the customer", time.UTC)); got != "decide.nothing" {
		t.Errorf("in hand: %q", got)
	}
}

// A change that touches an earlier operation puts it before all else: what was in hand waits and begins anew, and what
// nobody has begun stays as it is.
func TestAChangeThatMustBeDoneAgain(t *testing.T) {
	begun := []Body{Opened{Sheet: threeBenches(1)}, Started{Step: 0}, Finished{Step: 0}, Started{Step: 1}}
	for _, row := range []struct {
		name   string
		redo   []string
		want   []string // operations to come
		rounds []int
		inHand bool
	}{
		{"nothing", nil, []string{"b", "c"}, []int{1, 1}, true},
		{"what is done", []string{"a"}, []string{"a", "b", "c"}, []int{2, 2, 1}, false},
		{"what is not done yet", []string{"c"}, []string{"b", "c"}, []int{1, 1}, true},
	} {
		j := happened(t, append(slices.Clone(begun), Changed{Sheet: threeBenches(2), Reason: "raised", Redo: row.redo})...)
		var ops []string
		var rounds []int
		for _, s := range j.Steps[j.At:] {
			ops, rounds = append(ops, s.Operation), append(rounds, s.Round)
		}
		step, _ := j.Current()
		if !slices.Equal(ops, row.want) || !slices.Equal(rounds, row.rounds) || (step.Started != nil) != row.inHand {
			t.Errorf("%s: to come %v in rounds %v, in hand %t", row.name, ops, rounds, step.Started != nil)
		}
		if j.Sheet.Number != 2 || len(j.Sheets) != 2 {
			t.Errorf("%s: sheet %d of %d", row.name, j.Sheet.Number, len(j.Sheets))
		}
	}
}

// A bench that must do its work a second time is not told that it has done it.
func TestABenchOfTheNextRoundHasNotFinished(t *testing.T) {
	j := happened(t, Opened{Sheet: threeBenches(1)}, Started{Step: 0}, Finished{Step: 0}, Started{Step: 1}, Finished{Step: 1},
		Started{Step: 2}, Nonconformity{Step: 2, Disposition: Rework, To: "a", Foot: spec.Left, Found: "creased"})
	if step, _ := j.Current(); step.Operation != "a" || step.Round != 2 || step.Foot != spec.Left {
		t.Fatalf("next is %+v", step)
	}
	if got := firstKeyOf(j.MayWork("b", time.UTC)); got != "scan.elsewhere" {
		t.Errorf("at b, which comes after a again: %q", got)
	}
	first := happened(t, Opened{Sheet: threeBenches(1)}, Started{Step: 0}, Finished{Step: 0})
	if got := firstKeyOf(first.MayWork("a", time.UTC)); got != "scan.finished" {
		t.Errorf("at a, which it has just left: %q", got)
	}
}

// Who takes what back: a scrapped pair cannot be taken back, since its remake is open already.
func TestWhatCanBeTakenBack(t *testing.T) {
	begun := []Body{Opened{Sheet: threeBenches(1)}, Started{Step: 0}}
	decided := func(d Disposition) *Job {
		return happened(t, append(slices.Clone(begun), Nonconformity{Step: 0, Disposition: d, To: "a", Foot: spec.Both, Found: "split"})...)
	}
	for _, row := range []struct {
		name  string
		j     *Job
		by    string
		entry uint64
		key   string
	}{
		{"a start", happened(t, begun...), "runa", 2, ""},
		{"a start of somebody else", happened(t, begun...), "ask", 0, "undo.other"},
		{"a rework", decided(Rework), "runa", 3, ""},
		{"a concession", decided(Concession), "runa", 3, ""},
		{"a scrap", decided(Scrap), "runa", 0, "undo.nothing"},
		{"an order", happened(t, begun[0]), "runa", 0, "undo.nothing"},
		{"a start behind a promise and a print", happened(t, append(slices.Clone(begun), Promised{}, Printed{})...), "runa", 2, ""},
		{"a start behind a hold", happened(t, append(slices.Clone(begun), Held{Reason: "x"})...), "runa", 0, "undo.nothing"},
	} {
		entry, err := row.j.MayUndo(row.by)
		if entry != row.entry || firstKeyOf(err) != row.key {
			t.Errorf("%s: entry %d, %v; want %d, %q", row.name, entry, err, row.entry, row.key)
		}
	}
}

// The bench is offered the lot that was recorded last, of whichever pair.
func TestTheLotThatWasRecordedLast(t *testing.T) {
	s := NewState()
	for i, body := range []Body{
		Opened{Sheet: threeBenches(1)},
		Started{Job: 1001, Step: 0},
		Finished{Job: 1001, Step: 0, Lots: map[string]string{"shell": "S-1", "glue": "G-1"}},
		Started{Job: 1001, Step: 1},
		Finished{Job: 1001, Step: 1, Lots: map[string]string{"shell": "S-2"}},
	} {
		raw := mustJSON(t, body)
		if err := s.Fold(Record{Number: uint64(i + 1), At: noon, Kind: KindOf(body), By: "runa", Body: raw}); err != nil {
			t.Fatal(err)
		}
	}
	if s.Lots["shell"] != "S-2" || s.Lots["glue"] != "G-1" || s.Head != 5 || s.Last != 1001 {
		t.Errorf("%v, head %d, last %d", s.Lots, s.Head, s.Last)
	}
}

// To the planner a pair in hand rests no more, whatever its step waited for.
func TestAPairInHandIsPlannedAsBegun(t *testing.T) {
	s, err := shop.Parse(shop.Example(), "example")
	if err != nil {
		t.Fatal(err)
	}
	waiting := happened(t, Opened{Sheet: threeBenches(1)}, Started{Step: 0}, Finished{Step: 0})
	begun := happened(t, Opened{Sheet: threeBenches(1)}, Started{Step: 0}, Finished{Step: 0}, Started{Step: 1})
	if p := waiting.PlanJob(s, nil); p.RestUntil.IsZero() || p.BeginBy.IsZero() || !p.Started.IsZero() || p.At != 1 {
		t.Errorf("waiting: %+v", p)
	}
	if p := begun.PlanJob(s, nil); !p.RestUntil.IsZero() || !p.BeginBy.IsZero() || !p.Started.Equal(noon.Add(3*time.Minute)) {
		t.Errorf("in hand: %+v", p)
	}
}

// ISO 9000:2015, 3.12.5: a pair that a concession lets go does not fulfil what was asked. It left on time, and is not good.
func TestAConcededPairIsNotCountedAsGood(t *testing.T) {
	s, err := shop.Parse(shop.Example(), "example")
	if err != nil {
		t.Fatal(err)
	}
	release := []Body{Started{Step: 0}, Finished{Step: 0}, Started{Step: 1}, Finished{Step: 1}, Started{Step: 2}}
	pair := func(more ...Body) *Job {
		return happened(t, slices.Concat([]Body{Opened{Sheet: threeBenches(1)}, Promised{Promise: Promise{Day: "2026-05-04"}}}, release, more, []Body{Released{}})...)
	}
	var none check.Floor
	if got := Counts(nil, s, Period{}); got != none {
		t.Errorf("of nothing: %+v", got)
	}
	got := Counts([]*Job{pair(), pair(Nonconformity{Step: 2, Disposition: Concession, Checks: []string{"x"}})}, s, Period{})
	if got.Produced != 2 || got.Good != 1 || got.GoodAtOnce != 1 || got.OnTime != 2 || got.Delivered != 2 || got.Scrapped != 0 {
		t.Errorf("%+v", got)
	}
}

func mustJSON(t *testing.T, v any) []byte {
	t.Helper()
	raw, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

// firstKeyOf is the key of an error's first fault; empty where it has none.
func firstKeyOf(err error) string {
	if faults := message.Faults(err); len(faults) > 0 {
		return faults[0].Key
	}
	return ""
}
