package workshop_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/ledger"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
	"lastroom/jobs/workshop"
)

// wanderer does what people might do, in and out of turn, and checks after each act what must always hold.
type wanderer struct {
	*floor
	random *rand.Rand
}

// Whatever people do in whatever order: what is refused changes nothing, nothing is released with a check
// that is not in or let pass, and the state is the fold of the ledger.
func TestWhateverPeopleDoTheStateHolds(t *testing.T) {
	released := 0
	for seed := range uint64(5) {
		t.Run(fmt.Sprintf("seed %d", seed), func(t *testing.T) {
			w := &wanderer{floor: newFloor(t), random: rand.New(rand.NewPCG(seed, 3))}
			w.add("special.json")
			w.add("ordinary.json")
			done, refused := 0, 0
			for range 600 {
				head := w.Head()
				what, err := w.act()
				if err != nil {
					refused++
					if w.Head() != head {
						t.Fatalf("%s was refused (%v) and wrote an entry", what, err)
					}
				} else {
					done++
				}
				w.holds(what)
			}
			if done < 40 || refused < 20 {
				t.Errorf("only %d acts were done and %d refused: the walk proves little", done, refused)
			}
			w.replayed()
			released += len(w.Jobs()) - len(w.OpenJobs())
		})
	}
	if released == 0 {
		t.Error("no walk brought a pair to its end")
	}
}

func (w *wanderer) pick(all ...string) string { return all[w.random.IntN(len(all))] }

// act is one thing that somebody might do; mostly what is next, sometimes anything.
func (w *wanderer) act() (what string, err error) {
	ctx := w.Context()
	open := w.OpenJobs()
	number := jobs.FirstJob + w.random.IntN(3)
	if len(open) > 0 {
		number = open[w.random.IntN(len(open))].Number
	}
	j, err := w.Job(number)
	if err != nil {
		return "look", err
	}
	step, left := j.Current()
	station := w.pick("heat-moulding", "lasting", "holder-mounting", "finishing", "qc")
	if left && w.random.IntN(8) > 0 {
		station = j.Station(step)
	}
	by := w.by(w.pick("runa", "ask", "ylva", "ylva", "birk", "signe"))
	sheet := max(1, j.Sheet.Number-w.random.IntN(8)/7)
	w.clock.pass(time.Duration(w.random.IntN(90)) * time.Minute)
	switch w.random.IntN(23) {
	case 0:
		_, err = w.Hold(ctx, by, number, w.pick("", "rings back"))
		return "hold", err
	case 1, 2:
		_, err = w.Resume(ctx, by, number)
		return "resume", err
	case 3:
		entry, _ := j.MayUndo(by.By.Key)
		_, err = w.Undo(ctx, by, number, entry)
		return "undo", err
	case 4:
		if w.random.IntN(4) > 0 {
			return "wait", nil
		}
		changed := j.Sheet.Spec
		changed.Shell.Height.Set(spec.Both, spec.Height{Step: 3 * mm(w.random.IntN(4))})
		_, err = w.Change(ctx, by, number, sheet, changed, "raised", nil)
		return "change", err
	case 5:
		n := jobs.Nonconformity{
			Job: number, Foot: spec.Foot(w.pick("left", "right", "both", "")), Found: w.pick("", "too high"),
			Disposition: jobs.Disposition(w.pick("rework", "rework", "concession", "scrap", "burn")), To: w.pick("lasting", "qc", "nowhere"),
		}
		if left && len(j.Checks(step)) > 0 {
			n.Checks = []string{j.Checks(step)[w.random.IntN(len(j.Checks(step)))].ID}
		}
		_, err = w.Decide(ctx, by, station, n, w.pick("", "the customer"))
		return "decide", err
	case 6, 7:
		_, err = w.Release(ctx, by, number, sheet, station)
		return "release", err
	case 8, 9, 10:
		_, err = w.Start(ctx, by, number, sheet, station)
		return "start", err
	case 11, 12:
		_, err = w.Finish(ctx, by, number, sheet, station)
		return "finish", err
	case 13:
		ended := w.clock.Now().Add(-time.Duration(w.random.IntN(90)) * time.Minute)
		if w.random.IntN(3) == 0 {
			ended = time.Time{}
		}
		_, err = w.Stop(ctx, by, number, station, ended)
		return "stop", err
	}
	if !left {
		return "nothing", nil
	}
	for _, i := range j.MissingInstructions(step) {
		_, err = w.Confirm(ctx, by, number, sheet, station, i.ID)
		return "confirm", err
	}
	for _, c := range j.MissingChecks(step) {
		if c.Rule == spec.Match {
			continue
		}
		typed := make([]string, len(c.Inputs()))
		for i := range typed {
			v := 0.0
			if c.Rule == spec.Value || i == 1 {
				v = c.Nominal
			}
			if c.Rule != spec.Value && c.Rule != spec.Gain {
				v = 0
			}
			typed[i] = w.pick("", fmt.Sprint(v), fmt.Sprint(v), fmt.Sprint(v), fmt.Sprint(v), fmt.Sprint(v+4), "NaN")
		}
		gauges := w.Shop().GaugesOf(c.Gauge)
		_, err = w.Read(ctx, by, number, sheet, station, jobs.GroupOf(c), gauges[len(gauges)-1].Key, typed)
		return "read", err
	}
	return "nothing", nil
}

// mm is a length of so many millimetres.
func mm(n int) unit.Length { return unit.Length(n) }

// holds checks what must always hold.
func (w *wanderer) holds(what string) {
	w.Helper()
	for _, j := range w.Jobs() {
		for i, s := range j.Steps {
			if (i < j.At) != (s.Finished != nil) {
				w.Fatalf("after %s: step %d of %d is finished: %t, and the current one is %d", what, i, j.Number, s.Finished != nil, j.At)
			}
			if i > j.At && s.Started != nil {
				w.Fatalf("after %s: step %d of job %d is begun before its turn", what, i, j.Number)
			}
		}
		if j.Released == nil {
			continue
		}
		for _, line := range j.Evidence() {
			if !line.Accepted() || line.Taken && line.Result.Verdict != check.In && !line.Conceded {
				w.Fatalf("after %s: job %d was released with %s %s", what, j.Number, line.Check.ID, line.Result.Verdict)
			}
		}
	}
}

// replayed folds the ledger anew and compares.
func (w *wanderer) replayed() {
	w.Helper()
	again := jobs.NewState()
	if err := w.Ledger().Entries(context.Background(), 1, func(e ledger.Entry) error { return again.Fold(workshop.RecordOf(e)) }); err != nil {
		w.Fatal(err)
	}
	for _, j := range w.Jobs() {
		if diff := diffJobs(j, again.Jobs[j.Number]); diff != "" {
			w.Errorf("job %d folds otherwise:\n%s", j.Number, diff)
		}
	}
}
