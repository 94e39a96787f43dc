package demo

import (
	"fmt"
	"math/rand/v2"
	"time"

	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
)

// Invented customers; any likeness is chance.
var (
	firstNames = []string{
		"Alva", "Bosse", "Disa", "Egil", "Frida", "Gorm", "Hedda", "Ivar", "Jorun", "Ketil", "Liv", "Mats",
		"Nanna", "Orvar", "Pia", "Ragna", "Sölve", "Tyra", "Ulf", "Vidar", "Ylva", "Åke", "Ögmund", "Aino", "Eero", "Kaisa",
	}
	lastNames = []string{
		"Bergsten", "Dalvik", "Ekvall", "Fjällmo", "Granlid", "Hedmark", "Isberg", "Kvistad", "Lomvik", "Myrdal",
		"Norrsken", "Ostvik", "Rimdal", "Skarå", "Tallmo", "Uvström", "Vinterby", "Ängsved", "Östmark", "Järvelä", "Koskimaa",
	}
)

// orders makes the orders of the demo, each buildable and free of questions that would stop it.
type orders struct {
	random *rand.Rand
	shop   *shop.Shop
	made   int
}

func (o *orders) next(today time.Time) spec.Order {
	o.made++
	r := o.random
	pattern := "floe"
	if r.IntN(3) == 0 {
		pattern = "longlead"
	}
	length := 230 + 5*r.IntN(14)
	order := spec.Order{
		Reference: fmt.Sprintf("K-%04d", 2200+o.made),
		Customer: spec.Customer{
			Name:  firstNames[r.IntN(len(firstNames))] + " " + lastNames[r.IntN(len(lastNames))],
			Phone: fmt.Sprintf("+46 00 %03d %04d", r.IntN(1000), o.made),
		},
		WantedBy: spec.DateOf(today.AddDate(0, 0, 21+r.IntN(14))),
		Spec:     spec.Spec{Pattern: pattern, Size: spec.Size{System: spec.Mondopoint, Value: float64(length)}},
	}
	order.Spec.Feet.Left = o.foot(float64(length) - float64(r.IntN(4)))
	order.Spec.Feet.Right = o.foot(float64(length) - float64(r.IntN(4)))
	o.special(&order.Spec)
	return order
}

// foot is a plausible foot of a length: each girth is the usual share of it and a little more or less.
func (o *orders) foot(length float64) spec.Measures {
	near := func(share float64) unit.Length {
		return unit.Length(float64(int(length * share * (1 + 0.015*o.random.NormFloat64()))))
	}
	return spec.Measures{
		Method: spec.ByHand, Length: unit.Length(length), BallBreadth: near(0.376), BallGirth: near(0.928), InstepGirth: near(0.945),
		HeelGirth: near(1.264), HeelRaised: 12, AnkleGirth: near(0.854), InnerAnkle: near(0.305), OuterAnkle: near(0.265),
	}
}

// special adds what is asked for beyond the pattern: most pairs have one or two things, some none.
func (o *orders) special(s *spec.Spec) {
	r := o.random
	foot := []spec.Foot{spec.Left, spec.Right}[r.IntN(2)]
	pattern := o.shop.Catalogue.Patterns[s.Pattern]
	for range r.IntN(3) {
		switch r.IntN(7) {
		case 0:
			place := []spec.Place{spec.InnerAnkle, spec.OuterAnkle, spec.Navicular, spec.FifthMetatarsal}[r.IntN(4)]
			if len(s.Last.Openings) == 0 {
				s.Last.Openings = []spec.Opening{{Foot: foot, Place: place, Direction: spec.Outwards, By: unit.Length(2 + r.IntN(3))}}
			}
		case 1:
			s.Shell.Height.Set(spec.Both, spec.Height{Step: 3})
		case 2:
			s.Shell.Stiffness.Set(spec.Both, 1)
		case 3:
			s.Inside.Foam.Set(spec.Both, pattern.Foams[0])
		case 4:
			s.Inside.Tongue.Set(spec.Both, "felt-10")
		case 5:
			if s.Pattern == "floe" {
				s.Blade.Hollow = unit.Length(12.7)
			}
		case 6:
			s.Finish.Lacing.Set(spec.Both, "round")
		}
	}
}

// ankle is the order of the story: a pressure point at the right inner ankle bone, the inner facing there
// raised by a quarter inch with the top three eyelets standard, one step higher, one grade stiffer, foam
// all over and a thicker tongue.
func (o *orders) ankle(today time.Time) spec.Order {
	order := o.next(today)
	order.Customer.Name = "Tuva Lindåker"
	s := &order.Spec
	s.Pattern, s.Size = "floe", spec.Size{System: spec.Mondopoint, Value: 265}
	s.Feet.Left, s.Feet.Right = o.foot(264), o.foot(265)
	s.Last = spec.Last{Openings: []spec.Opening{{
		Foot: spec.Right, Place: spec.InnerAnkle, Direction: spec.Outwards, By: 4, Extent: 40, Remark: "the bone rubs after an hour on the ice",
	}}}
	s.Shell, s.Inside, s.Blade, s.Finish = spec.Shell{}, spec.Inside{}, spec.Blade{}, spec.Finish{}
	s.Shell.Height.Set(spec.Both, spec.Height{Step: 3})
	s.Shell.Stiffness.Set(spec.Both, 1)
	s.Shell.Facing = []spec.FacingCut{{Foot: spec.Right, Side: spec.Inner, From: 1, To: 6, By: unit.Length(6.35), Remark: "top three eyelets standard"}}
	s.Inside.Foam.Set(spec.Both, "comfort-2")
	s.Inside.Tongue.Set(spec.Both, "felt-10")
	s.Blade.Hollow = unit.Length(12.7)
	return order
}
