package plan

import "time"

// timetable is a calendar laid out as numbers for the plays: open stretches in seconds after the
// play's start. Look-ups cost the same however far ahead they lie. After its horizon it is always open.
type timetable struct {
	always  bool
	from    []int64 // of each stretch
	until   []int64
	before  []int64 // working seconds before each stretch
	byTime  []int32 // bucket of wall time to the first stretch that ends after the bucket's start
	byWork  []int32 // the same for working seconds
	longest int64   // of the stretches
}

const bucketBits = 12 // buckets of 4096 s

// timetable lays the calendar out from base for the given time. The last stretch has no end.
func (c *Calendar) timetable(base time.Time, horizon time.Duration) *timetable {
	if c == nil {
		return &timetable{always: true}
	}
	w := &timetable{}
	end := base.Add(horizon)
	var worked int64
	add := func(from, until int64) {
		w.from, w.until, w.before = append(w.from, from), append(w.until, until), append(w.before, worked)
		w.longest = max(w.longest, until-from)
		worked += until - from
	}
	var buf []stretch
	for d := DayOf(base.In(c.zone)); d.at(0, c.zone).Before(end); d = d.next() {
		buf = c.day(d, buf[:0])
		for _, s := range buf {
			if s.until.After(base) {
				add(max(0, seconds(s.from.Sub(base))), seconds(s.until.Sub(base)))
			}
		}
	}
	w.byTime = buckets(len(w.from), seconds(horizon), func(i int) int64 { return w.until[i] })
	w.byWork = buckets(len(w.from), worked, func(i int) int64 { return w.before[i] + w.until[i] - w.from[i] })
	const far = 1 << 40
	w.from, w.until, w.before = append(w.from, seconds(horizon)), append(w.until, far), append(w.before, worked)
	return w
}

func seconds(d time.Duration) int64 { return int64(d.Round(time.Second) / time.Second) }

// buckets finds for each bucket's start the first of n stretches whose end lies after it.
func buckets(n int, last int64, end func(int) int64) []int32 {
	b := make([]int32, last>>bucketBits+2)
	i := 0
	for k := range b {
		for i < n && end(i) <= int64(k)<<bucketBits {
			i++
		}
		b[k] = int32(i)
	}
	return b
}

// at returns the first stretch that ends after t.
func (w *timetable) at(t int64) int {
	k := int(t >> bucketBits)
	if k >= len(w.byTime) {
		return len(w.from) - 1
	}
	i := int(w.byTime[k])
	for w.until[i] <= t {
		i++
	}
	return i
}

// open returns the first instant at or after t at which work is done.
func (w *timetable) open(t int64) int64 {
	if w.always {
		return t
	}
	return max(t, w.from[w.at(t)])
}

// add returns when work of the given seconds, begun at t or the next opening, is done.
func (w *timetable) add(t, work int64) int64 {
	_, end := w.work(t, work)
	return end
}

// work returns when work of the given seconds that can begin at t begins, at t or the next opening, and
// when it is done.
func (w *timetable) work(t, work int64) (begin, end int64) {
	if w.always {
		return t, t + work
	}
	i := w.at(t)
	t = max(t, w.from[i])
	if t+work <= w.until[i] {
		return t, t + work
	}
	done := w.before[i] + t - w.from[i] + work
	k := int(done >> bucketBits)
	j := len(w.from) - 1
	if k < len(w.byWork) {
		j = int(w.byWork[k])
		for w.before[j]+w.until[j]-w.from[j] < done {
			j++
		}
	}
	return t, w.from[j] + done - w.before[j]
}

// between returns the working seconds from one instant to a later one.
func (w *timetable) between(from, until int64) int64 {
	if until <= from {
		return 0
	}
	if w.always {
		return until - from
	}
	return w.worked(until) - w.worked(from)
}

func (w *timetable) worked(t int64) int64 {
	i := w.at(t)
	return w.before[i] + max(0, t-w.from[i])
}

// fits returns the first instant at or after t at which work of the given seconds can begin and end
// in one stretch; where no stretch is long enough, the next opening.
func (w *timetable) fits(t, work int64) int64 {
	if w.always {
		return t
	}
	i := w.at(t)
	t = max(t, w.from[i])
	if t+work <= w.until[i] {
		return t
	}
	if work > w.longest {
		if t > w.from[i] {
			return w.from[i+1]
		}
		return t
	}
	for i++; w.until[i]-w.from[i] < work; i++ {
	}
	return w.from[i]
}

// back returns the earliest begin of work of the given seconds that ends at the given instant or later.
func (w *timetable) back(end, work int64) int64 {
	if w.always {
		return end - work
	}
	from := w.worked(end) - work
	if from < 0 {
		return 0
	}
	k := int(from >> bucketBits)
	j := len(w.from) - 1
	if k < len(w.byWork) {
		j = int(w.byWork[k])
		for w.before[j]+w.until[j]-w.from[j] <= from {
			j++
		}
	}
	return w.from[j] + from - w.before[j]
}
