package jobs

import (
	"testing"

	"lastroom/jobs/plan"
)

// The lead is told the cheapest way that is enough and harms nobody; failing that, what helps most for the least harm.
func TestTheSavingThatIsTold(t *testing.T) {
	way := func(key string, chance float64, breaks int) plan.Remedy {
		return plan.Remedy{What: plan.Reason{Key: key}, Chance: chance, Breaks: make([]plan.Broken, breaks)}
	}
	for _, row := range []struct {
		name   string
		ways   []plan.Remedy
		want   string
		enough bool
	}{
		{"nothing was found", nil, "", false},
		{"the cheapest of two that are enough", []plan.Remedy{way("a", 0.92, 0), way("b", 0.99, 0)}, "a", true},
		{"one that harms nobody before a cheaper one that does", []plan.Remedy{way("a", 0.99, 1), way("b", 0.9, 0)}, "b", true},
		{"the cheapest that is enough, where all harm somebody", []plan.Remedy{way("a", 0.95, 2), way("b", 0.99, 1)}, "a", true},
		{"of those that are not enough the one that helps most", []plan.Remedy{way("a", 0.6, 0), way("b", 0.8, 0), way("c", 0.7, 0)}, "b", false},
		{"the cheaper of two that help alike", []plan.Remedy{way("a", 0.7, 0), way("b", 0.7+leastDifference/2, 0)}, "a", false},
		{"more help is not worth one more broken promise", []plan.Remedy{way("a", 0.6, 1), way("b", 0.8, 2)}, "a", false},
		{"more help with fewer broken promises is", []plan.Remedy{way("a", 0.6, 2), way("b", 0.8, 1)}, "b", false},
		{"help that cannot be told is none", []plan.Remedy{way("a", 0.4+leastDifference/2, 0)}, "", false},
		{"nor is harm", []plan.Remedy{way("a", 0.1, 0)}, "", false},
	} {
		got := chooseSaving(row.ways, 0.4, 0.9)
		if got.What.Key != row.want || got.Enough != row.enough {
			t.Errorf("%s: %q, enough %t; want %q, %t", row.name, got.What.Key, got.Enough, row.want, row.enough)
		}
	}
}
