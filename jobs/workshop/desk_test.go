package workshop_test

import (
	"slices"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
)

func TestADayThatIsOverMovesNoTurn(t *testing.T) {
	f := newFloor(t)
	for range 6 {
		f.add("remark.json")
	}
	quoted := func(wanted spec.Date) spec.Date {
		orders := f.orders("remark.json")
		orders[0].WantedBy = wanted
		reviews, err := f.Review(t.Context(), orders, workshop.ReviewOptions{})
		if err != nil {
			t.Fatal(err)
		}
		return reviews[0].Quote.Promise.Day
	}
	usual := quoted("")
	if urgent := quoted("2026-05-05"); urgent >= usual {
		t.Fatalf("wanted tomorrow is quoted %s, and without a day %s: nothing can be seen here", urgent, usual)
	}
	for _, over := range []spec.Date{"2025-12-01", "2026-05-03", "2026-05-04"} {
		if got := quoted(over); got != usual {
			t.Errorf("wanted by %s, which is not ahead, is quoted %s, and without a day %s", over, got, usual)
		}
	}
}

func TestTheSameOrderIsAskedAboutWhenItComesAgain(t *testing.T) {
	f := newFloor(t)
	f.add("ordinary.json")
	order := func(change func(*spec.Order)) spec.Order {
		o := f.orders("ordinary.json")[0]
		change(&o)
		return o
	}
	for _, row := range []struct {
		name   string
		orders []spec.Order
		asked  []string // of the last order
	}{
		{"sent again", []spec.Order{order(func(*spec.Order) {})}, []string{"order counter 1 of this customer is job 1001 already: ask whether there is to be another pair"}},
		{"typed otherwise", []spec.Order{order(func(o *spec.Order) { o.Reference, o.Customer.Name = "Counter  1", "aino korpela " })}, []string{"order Counter  1 of this customer is job 1001 already: ask whether there is to be another pair"}},
		{"another reference", []spec.Order{order(func(o *spec.Order) { o.Reference = "counter 9" })}, nil},
		{"somebody else's order of the same number", []spec.Order{order(func(o *spec.Order) { o.Customer.Name = "Elin Fors" })}, nil},
		{"orders without a reference", []spec.Order{order(func(o *spec.Order) { o.Reference = "" }), order(func(o *spec.Order) { o.Reference = "" })}, nil},
		{
			"twice in one file",
			[]spec.Order{order(func(o *spec.Order) { o.Reference = "counter 9" }), order(func(o *spec.Order) { o.Reference = "counter 9" })},
			[]string{"order counter 9 of this customer is order 1 of this file already: ask whether there is to be another pair"},
		},
	} {
		t.Run(row.name, func(t *testing.T) {
			reviews, err := f.Review(t.Context(), row.orders, workshop.ReviewOptions{})
			if err != nil {
				t.Fatal(err)
			}
			var asked []string
			for _, one := range reviews[len(reviews)-1].Findings {
				if one.Severity != spec.AskAgain {
					t.Errorf("%s is %s", one.Rule, one.Severity)
				}
				asked = append(asked, one.Text(message.Default))
			}
			if !slices.Equal(asked, row.asked) {
				t.Errorf("asked %q, want %q", asked, row.asked)
			}
		})
	}

	_, err := f.AddOrders(t.Context(), f.by("signe"), f.orders("ordinary.json"), nil)
	if fault := f.refused(err, "order.unanswered"); fault.Where != "orders[0].reference" {
		t.Errorf("%q is at fault, want the reference", fault.Where)
	}
	second, err := f.AddOrders(t.Context(), f.by("signe"), f.orders("ordinary.json"), workshop.Answers{{"order.twice@reference": "a second pair for the summer"}})
	if err != nil || len(second[0].Sheet.Passed) != 1 || second[0].Sheet.Passed[0].Reason != "a second pair for the summer" {
		t.Fatalf("%+v, %v", second, err)
	}
}

func TestARegularCustomersOrderIsNotAskedAboutForOldPairs(t *testing.T) {
	f := newFloor(t)
	number := f.add("ordinary.json").Number
	for range 5 {
		f.work(number, nil)
	}
	f.must(f.Release(t.Context(), f.by("ylva"), number, 1, "qc"))
	if _, err := f.AddOrders(t.Context(), f.by("signe"), f.orders("ordinary.json"), nil); err != nil {
		t.Errorf("the pair of before has left the house: %v", err)
	}
}
