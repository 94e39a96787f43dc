package workshop_test

import (
	"testing"

	"lastroom/jobs"
)

// A promise that cannot hold as things stand is told with what would save it.
func TestAPromiseAtRiskComesWithWhatWouldSaveIt(t *testing.T) {
	f := busyFloor(t)
	last := f.Jobs()[11]
	for _, j := range f.Jobs() {
		f.must(f.Promise(t.Context(), f.by("signe"), j.Number, jobs.Promise{Day: "2026-05-06", Confidence: 0.9}))
	}
	if err := f.Replan(t.Context()); err != nil {
		t.Fatal(err)
	}
	outlook := f.Outlook()
	forecast, worst := outlook.Jobs[last.Number], last.Number
	risky := 0
	for number, o := range outlook.Jobs {
		if o.Chance < forecast.Chance {
			forecast, worst = o, number
		}
		saving, told := outlook.Savings[number]
		if o.Chance < jobs.AtRisk {
			risky++
			if !told {
				t.Errorf("%d keeps its promise with %.2f, and nothing is said", number, o.Chance)
			}
		} else if told {
			t.Errorf("%d keeps its promise with %.2f, and is told as at risk: %+v", number, o.Chance, saving)
		}
		if told && saving.What.Key != "" && saving.Chance <= o.Chance {
			t.Errorf("%d: %s leaves %.2f, and it was %.2f", number, saving.What.Say(), saving.Chance, o.Chance)
		}
	}
	if risky == 0 {
		t.Fatalf("nothing is at risk: %d keeps its promise with %.2f", worst, forecast.Chance)
	}
	// Twelve pairs for Wednesday are more than lasting can do: the worst of them must go before others, and
	// whose promise that costs is told; one that nearly holds wants no more than an hour or two.
	saving := outlook.Savings[worst]
	if !saving.Enough || saving.What.Key != "plan.rescue.first" || len(saving.Breaks) == 0 {
		t.Errorf("%.2f as things stand: %+v", forecast.Chance, saving)
	}
	cheap := 0
	for _, saving := range outlook.Savings {
		if saving.Enough && len(saving.Breaks) == 0 {
			cheap++
		}
	}
	if cheap == 0 {
		t.Errorf("nothing is saved without harm: %+v", outlook.Savings)
	}
}
