package check

import (
	"slices"

	"lastroom/jobs/message"
)

// Ratio is one count or time over another; ok is false where there is nothing to divide by, or a number
// is negative: an indicator of nothing is not 0 and not 100 %.
func Ratio(part, whole float64) (ratio float64, ok bool) {
	if !finite(part) || !finite(whole) || part < 0 || whole <= 0 {
		return 0, false
	}
	return part / whole, true
}

// Floor holds the quantities that the indicators of ISO 22400-2:2014 are made of.
type Floor struct {
	Inspected   float64 // IP: single pairs inspected
	GoodAtOnce  float64 // GP: of these, good without rework
	Produced    float64 // PQ
	Good        float64 // GQ: a pair that was reworked and then released is good, but not at once
	Reworked    float64 // RQ
	Scrapped    float64 // SQ
	OrderHours  float64 // AOET: from the start of an order to its end, with waiting
	BusyHours   float64 // AUBT: that stations were busy with it
	WorkHours   float64 // APWT: that people worked on orders
	AttendHours float64 // APAT: that people attended, less breaks
	Delivered   float64
	OnTime      float64 // of these, on or before the promised date
}

// Indicator is one figure of the floor; a figure of nothing has OK false.
type Indicator struct {
	Key   string  `json:"key"`
	Value float64 `json:"value"`
	OK    bool    `json:"ok"`
}

// Text is the name of the indicator.
func (i Indicator) Text(lang message.Language) string {
	return message.Say(lang, "check.indicator."+i.Key, nil)
}

// Indicators computes the figures by the formulas of ISO 22400-2: first pass yield GP/IP, quality ratio
// GQ/PQ, rework ratio RQ/PQ, scrap ratio SQ/PQ, throughput rate PQ/AOET (pairs an hour), allocation ratio
// AUBT/AOET, worker efficiency APWT/APAT; and on-time delivery, which is ours.
func (f Floor) Indicators() []Indicator {
	var all []Indicator
	for _, row := range []struct {
		key         string
		part, whole float64
	}{
		{"first-pass-yield", f.GoodAtOnce, f.Inspected},
		{"quality", f.Good, f.Produced},
		{"rework", f.Reworked, f.Produced},
		{"scrap", f.Scrapped, f.Produced},
		{"throughput", f.Produced, f.OrderHours},
		{"allocation", f.BusyHours, f.OrderHours},
		{"worker-efficiency", f.WorkHours, f.AttendHours},
		{"on-time", f.OnTime, f.Delivered},
	} {
		v, ok := Ratio(row.part, row.whole)
		all = append(all, Indicator{Key: row.key, Value: v, OK: ok})
	}
	return all
}

// Cause is one bar of a Pareto chart.
type Cause struct {
	Name       string  `json:"name"`
	Count      int     `json:"count"`
	Share      float64 `json:"share"`
	Cumulative float64 `json:"cumulative"`
}

// Pareto orders counts from the most frequent down, equal ones by name, with shares; counts below 1 are
// left out.
func Pareto(counts map[string]int) []Cause {
	var causes []Cause
	total := 0
	for name, count := range counts {
		if count > 0 {
			causes = append(causes, Cause{Name: name, Count: count})
			total += count
		}
	}
	slices.SortFunc(causes, func(a, b Cause) int {
		if a.Count != b.Count {
			return b.Count - a.Count
		}
		if a.Name < b.Name {
			return -1
		}
		return 1
	})
	sum := 0
	for i := range causes {
		sum += causes[i].Count
		causes[i].Share = float64(causes[i].Count) / float64(total)
		causes[i].Cumulative = float64(sum) / float64(total)
	}
	return causes
}
