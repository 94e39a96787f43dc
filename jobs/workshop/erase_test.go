package workshop_test

import (
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
)

// A customer of several pairs is erased in one go, a namesake is not, and all stays where one is unknown.
func TestACustomerOfSeveralPairsIsErasedAtOnce(t *testing.T) {
	f := newFloor(t)
	one := f.add("ordinary.json")
	name := f.Customer(one).Name
	order := f.orders("ordinary.json")[0]
	order.Reference, order.Customer.Name = "second pair", "  "+name+" "
	reasons := workshop.Answers{}
	reviews, err := f.Review(t.Context(), []spec.Order{order}, workshop.ReviewOptions{})
	if err != nil {
		t.Fatal(err)
	}
	reasons = append(reasons, map[string]string{})
	for _, found := range reviews[0].Findings {
		reasons[0][found.ID()] = "agreed"
	}
	added, err := f.AddOrders(t.Context(), f.by("signe"), []spec.Order{order}, reasons)
	if err != nil {
		t.Fatal(err)
	}
	two, other := added[0], f.add("special.json")
	if same := f.SameName(one); len(same) != 1 || same[0].Number != two.Number {
		t.Fatalf("under the same name: %v", same)
	}
	if same := f.SameName(other); len(same) != 0 {
		t.Errorf("under another name: %v", same)
	}
	head := f.Head()
	f.refused(f.Erase(t.Context(), f.by("birk"), []int{one.Number, 4242}, "asked for it"), "job.unknown")
	f.refused(f.Erase(t.Context(), f.by("birk"), []int{one.Number}, " "), "text.empty")
	if f.Head() != head || f.Customer(one).Name != name {
		t.Fatal("what was refused changed something")
	}
	if err := f.Erase(t.Context(), f.by("birk"), []int{one.Number, two.Number, one.Number}, "asked for it"); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	f.open()
	for _, j := range []*jobs.Job{one, two} {
		if f.Customer(j) != (spec.Customer{}) {
			t.Errorf("%d is still %v", j.Number, f.Customer(j))
		}
	}
	if f.Customer(other) == (spec.Customer{}) || len(f.SameName(one)) != 0 {
		t.Error("somebody else was erased, or the erased are of one name")
	}
}
