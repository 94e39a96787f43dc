package main

import (
	"testing"
	"time"
)

// The nearest-rank percentile: the ⌈p·n⌉-th of the ordered values. The example of five values is the
// usual one of textbooks (from memory).
func TestPercentile(t *testing.T) {
	five := []time.Duration{50, 15, 40, 20, 35}
	for _, row := range []struct {
		name  string
		times []time.Duration
		p     float64
		want  time.Duration
	}{
		{"5th of five", five, 0.05, 15},
		{"30th of five", five, 0.30, 20},
		{"40th of five is the second", five, 0.40, 20},
		{"median of five", five, 0.50, 35},
		{"all of five", five, 1, 50},
		{"one value", []time.Duration{7}, 0.99, 7},
		{"none", nil, 0.5, 0},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := percentile(row.times, row.p); got != row.want {
				t.Errorf("got %d, want %d", got, row.want)
			}
		})
	}
}
