package jobs

import (
	"errors"
	"slices"
	"testing"
	"time"

	"lastroom/jobs/spec"
)

// queuer makes pairs at stations a, b and c, in this order of the route.
func queuer(number, at int, change func(*Job, *Step)) *Job {
	j := &Job{Number: number, At: at, Sheet: Sheet{Route: []Operation{{Key: "a", Station: "a"}, {Key: "b", Station: "b"}, {Key: "c", Station: "c"}}}}
	for _, op := range j.Sheet.Route {
		j.Steps = append(j.Steps, Step{Operation: op.Key, Round: 1})
	}
	if change != nil {
		change(j, &j.Steps[at])
	}
	return j
}

func numbers(all []*Job) []int {
	var n []int
	for _, j := range all {
		n = append(n, j.Number)
	}
	return n
}

func promised(day spec.Date) func(*Job, *Step) {
	return func(j *Job, _ *Step) { j.Promise = &Promise{Day: day} }
}

// noon is when the queues of these tests are looked at.
var noon = time.Date(2026, 5, 4, 12, 0, 0, 0, time.UTC)

// Of pairs at a station each is in one list, and those that are ready stand in the order in which they are taken.
func TestTheQueueOfAStation(t *testing.T) {
	rests := func(hours int) func(*Job, *Step) {
		return func(_ *Job, s *Step) { s.RestUntil = noon.Add(time.Duration(hours) * time.Hour) }
	}
	begins := func(hours int) func(*Job, *Step) {
		return func(_ *Job, s *Step) { s.BeginBy = noon.Add(time.Duration(hours) * time.Hour) }
	}
	open := []*Job{
		queuer(1, 1, promised("2026-05-09")),
		queuer(2, 1, promised("2026-05-08")), // new: nobody was told of it
		queuer(3, 1, nil),                    // new, and promised for no day
		queuer(4, 1, promised("2026-05-20")),
		queuer(5, 1, begins(3)), queuer(6, 1, begins(2)),
		queuer(7, 1, rests(3)), queuer(8, 1, rests(2)), queuer(9, 1, rests(0)), // its rest is just over
		queuer(10, 1, func(_ *Job, s *Step) { s.Started = &Signature{By: "runa", At: noon} }),
		queuer(11, 1, func(j *Job, s *Step) { j.Hold, s.Started = &Hold{}, &Signature{} }),
		queuer(12, 0, nil),
		queuer(13, 0, func(j *Job, _ *Step) { j.Hold = &Hold{} }),
		queuer(14, 2, nil),
		{Number: 15, At: 0}, // nothing is left
	}
	q := QueueAt(open, "b", []int{4, 1, 9}, noon)
	for _, row := range []struct {
		name string
		got  []*Job
		want []int
	}{
		{"ready: windows first, then as told, then new ones by promise", q.Ready, []int{6, 5, 4, 1, 9, 2, 3}},
		{"resting: the first that is over first", q.Resting, []int{8, 7}},
		{"in hand", q.InHand, []int{10}},
		{"held, though begun", q.Held, []int{11}},
		{"coming, and not on hold", q.Coming, []int{12}},
	} {
		if !slices.Equal(numbers(row.got), row.want) {
			t.Errorf("%s: %v, want %v", row.name, numbers(row.got), row.want)
		}
	}
	if q := QueueAt([]*Job{queuer(2, 1, promised("2026-05-08")), queuer(1, 1, promised("2026-05-08"))}, "b", nil, noon); !slices.Equal(numbers(q.Ready), []int{1, 2}) {
		t.Errorf("of one promise %v, want the older order first", numbers(q.Ready))
	}
}

// Why the first is the first, as its bench is told.
func TestWhyAPairIsTheNext(t *testing.T) {
	window := queuer(1, 1, func(_ *Job, s *Step) { s.BeginBy = noon })
	pinned := queuer(2, 1, func(j *Job, _ *Step) { j.Pin = &Pin{} })
	early, late := queuer(3, 1, promised("2026-05-08")), queuer(4, 1, promised("2026-05-09"))
	never := queuer(5, 1, nil)
	for _, row := range []struct {
		name  string
		ready []*Job
		want  FirstReason
	}{
		{"nothing is ready", nil, FirstAlone},
		{"alone", []*Job{late}, FirstAlone},
		{"alone, but its window ends", []*Job{window}, FirstWindow},
		{"alone, but fixed", []*Job{pinned}, FirstPinned},
		{"the earliest promise", []*Job{early, late, never}, FirstPromise},
		{"the same promise", []*Job{early, queuer(6, 1, promised("2026-05-08"))}, FirstPromise},
		{"not the earliest promise", []*Job{late, never, early}, FirstPlan},
		{"no promise", []*Job{never, queuer(7, 1, nil)}, FirstPlan},
	} {
		if got := (Queue{Ready: row.ready}).WhyFirst(); got != row.want {
			t.Errorf("%s: %q, want %q", row.name, got, row.want)
		}
	}
}

// "2 of 3 at Lasting": what the station has in hand counts no more, and who waits for nothing has no place.
func TestThePlaceInAQueue(t *testing.T) {
	inHand := queuer(1, 1, func(_ *Job, s *Step) { s.Started = &Signature{} })
	elsewhere := queuer(2, 0, func(_ *Job, s *Step) { s.Started = &Signature{} }) // in hand, at another station
	next, last := queuer(3, 1, nil), queuer(4, 1, nil)
	held := queuer(5, 1, func(j *Job, _ *Step) { j.Hold = &Hold{} })
	over := &Job{Number: 6, Released: &Signature{}}
	all := map[int]*Job{1: inHand, 2: elsewhere, 3: next, 4: last, 5: held}
	find := func(n int) (*Job, error) {
		if j, ok := all[n]; ok {
			return j, nil
		}
		return nil, errors.New("no such job")
	}
	told := []int{1, 3, 2, 99, 4, 5}
	for _, row := range []struct {
		name  string
		j     *Job
		n, of int
		ok    bool
	}{
		{"the next", next, 1, 4, true},
		{"the third, behind one that is still elsewhere", last, 3, 4, true},
		{"in hand", inHand, 0, 0, false},
		{"on hold", held, 0, 0, false},
		{"released", over, 0, 0, false},
		{"one that nobody was told of", queuer(7, 1, nil), 0, 4, false},
	} {
		if n, of, ok := row.j.Position(told, find); ok != row.ok || ok && (n != row.n || of != row.of) {
			t.Errorf("%s: %d of %d, %t; want %d of %d, %t", row.name, n, of, ok, row.n, row.of, row.ok)
		}
	}
}
