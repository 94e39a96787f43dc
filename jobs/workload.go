package jobs

import (
	"time"

	"lastroom/jobs/shop"
)

// Workload is the work before one station against what it can do in the week that begins now.
type Workload struct {
	Station                  string // its key
	InHand, Resting, Waiting int    // pairs at its operations
	Minutes                  float64
	Capacity                 float64 // minutes, of all its places
	Share                    float64 // Minutes of Capacity; 0 where there is no capacity
	Bottleneck               bool    // no station has a larger share
}

// Workloads are those of the shop's stations, in its order. A pair on hold is no work; one that goes in with others
// is its part of a full load.
func Workloads(open []*Job, s *shop.Shop, now time.Time) []Workload {
	loads := make([]Workload, len(s.Stations))
	most := 0.0
	for i, st := range s.Stations {
		one := Workload{Station: st.Key, Capacity: st.Hours.Between(now, now.AddDate(0, 0, 7)) * float64(st.Places)}
		for _, j := range open {
			if j.Hold != nil {
				continue
			}
			for k := j.At; k < len(j.Steps); k++ {
				step := j.Steps[k]
				if j.Station(step) != st.Key {
					continue
				}
				op, _, _ := j.Sheet.Operation(step.Operation)
				one.Minutes += op.Minutes / float64(st.Load)
				if k > j.At {
					continue
				}
				switch j.Standing(now) {
				case InHand:
					one.InHand++
				case Resting:
					one.Resting++
				case Waiting:
					one.Waiting++
				}
			}
		}
		if one.Capacity > 0 {
			one.Share = one.Minutes / one.Capacity
		}
		most = max(most, one.Share)
		loads[i] = one
	}
	for i := range loads {
		loads[i].Bottleneck = most > 0 && loads[i].Share == most
	}
	return loads
}
