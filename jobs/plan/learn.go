package plan

import (
	"math"
	"slices"
)

// Time is how long an operation takes: log-normal, by its median and the standard deviation of the
// logarithm.
type Time struct {
	Minutes float64 // median
	Spread  float64
}

// trust is how many observations the shop file's time is worth.
const trust = 8

// Learn returns what to expect of an operation after some were seen. Each observation is the working
// minutes that one took; given is the shop file's time, towards which the learned one is drawn while
// observations are few (a normal prior on the logarithm, worth eight of them). Only observations that
// are numbers above zero count. Those far from the others say little, so that a scan forgotten over
// night, or two scans within a few seconds, have little effect: location by Huber's estimator at 1.5, started from the
// median, and scale by the median absolute deviation (Huber 1964, Annals of Mathematical Statistics 35;
// Hampel 1974, J. American Statistical Association 69). The spread includes that the median itself is
// known only so well.
func Learn(given Time, minutes []float64) Time {
	var logs []float64
	for _, m := range minutes {
		if m > 0 && !math.IsInf(m, 0) && !math.IsNaN(m) {
			logs = append(logs, math.Log(m))
		}
	}
	n := float64(len(logs))
	if n == 0 || !(given.Minutes > 0) {
		return given
	}
	location := middle(logs)
	scale := spreadAround(logs, location)
	if n < 5 { // too few to say how far apart they lie
		scale = math.Max(scale, given.Spread)
	}
	scale = math.Max(scale, 0.02)
	for range 20 {
		sum, weight := 0.0, 0.0
		for _, x := range logs {
			w := 1.0
			if d := math.Abs(x-location) / scale; d > 1.5 {
				w = 1.5 / d
				if d > 6 { // no work at all: a forgotten scan
					w = 0
				}
			}
			sum += w * x
			weight += w
		}
		if weight == 0 {
			break
		}
		location = sum / weight
	}
	prior := math.Log(given.Minutes)
	at := (trust*prior + n*location) / (trust + n)
	between := trust * n / (trust + n) * (location - prior) * (location - prior) / (trust + n)
	if n >= 3*trust {
		between = 0 // the data alone tell; that the shop file was wrong is no spread
	}
	variance := (trust*given.Spread*given.Spread+n*scale*scale)/(trust+n) + between
	return Time{Minutes: math.Exp(at), Spread: math.Min(3, math.Sqrt(variance*(1+1/(trust+n))))}
}

func middle(x []float64) float64 {
	s := slices.Clone(x)
	slices.Sort(s)
	n := len(s)
	return (s[(n-1)/2] + s[n/2]) / 2
}

// spreadAround is the median absolute deviation, scaled so that it is the standard deviation of a
// normal distribution.
func spreadAround(x []float64, at float64) float64 {
	d := make([]float64, len(x))
	for i := range x {
		d[i] = math.Abs(x[i] - at)
	}
	return 1.4826 * middle(d)
}
