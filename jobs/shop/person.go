package shop

import (
	"slices"

	"lastroom/jobs/code"
	"lastroom/jobs/message"
)

// Role is what a person is in the workshop.
type Role string

// The roles.
const (
	Worker    Role = "worker"
	Inspector Role = "inspector"
	Desk      Role = "desk"
	Lead      Role = "lead"
)

// Roles in the order in which they are listed for people.
var Roles = []Role{Worker, Inspector, Desk, Lead}

// Act is something that not everybody may do.
type Act string

// The acts.
const (
	WorkSteps    Act = "work"    // start, confirm, read and finish at a station
	DecideFaults Act = "decide"  // nonconformities: rework, concession, scrap
	ReleasePairs Act = "release" // sign that a pair may leave
	TakeOrders   Act = "orders"  // open, change, promise and print
	HoldJobs     Act = "hold"    // hold and resume
	KeepShop     Act = "shop"    // change the shop file
	SeeQuality   Act = "quality" // charts, gauges, recalls
	KeepGauges   Act = "gauges"  // record calibrations, plan and take over gauge studies
	FixTurns     Act = "turns"   // say when a pair's turn is, whatever the plan finds
)

var allowed = map[Act][]Role{
	WorkSteps:    {Worker, Inspector, Lead},
	DecideFaults: {Inspector, Lead},
	ReleasePairs: {Inspector, Lead},
	TakeOrders:   {Desk, Lead},
	HoldJobs:     {Inspector, Desk, Lead},
	KeepShop:     {Lead},
	SeeQuality:   {Inspector, Lead},
	KeepGauges:   {Inspector, Lead},
	FixTurns:     {Lead},
}

// Person is somebody who works here, as the shop file names them. Entries hold the key alone.
type Person struct {
	Key   string    `toml:"key"`
	Name  string    `toml:"name"`
	Role  Role      `toml:"role"`
	Badge code.Code `toml:"badge"`
	PIN   string    `toml:"pin"` // argon2id hash, made by "lastroom pin"
}

// FromExample are the people whose badge or PIN is one of the example's, which everybody can read: whoever does
// may sign in as they.
func (s *Shop) FromExample() []Person {
	example, err := Parse(Example(), "")
	if err != nil {
		return nil // the example is part of the program: a test loads it
	}
	return slices.DeleteFunc(slices.Clone(s.People), func(p Person) bool {
		return !slices.ContainsFunc(example.People, func(one Person) bool { return p.Badge == one.Badge || p.PIN == one.PIN })
	})
}

// May says whether the person's role allows an act; the fault says who may.
func (p Person) May(a Act) error {
	if p.Key == "" {
		return &message.Fault{Kind: message.SignIn, Key: "person.sign-in"}
	}
	for _, r := range allowed[a] {
		if r == p.Role {
			return nil
		}
	}
	return &message.Fault{
		Kind: message.Forbidden, Key: "person.may-not",
		Args: message.Args{"name": p.Name, "role": p.Role.Name(), "act": message.Say(message.Default, "act."+string(a), nil), "who": roleNames(allowed[a])},
	}
}

// Name is the role in words.
func (r Role) Name() string { return message.Say(message.Default, "role."+string(r), nil) }

func roleNames(roles []Role) string {
	said := ""
	for i, r := range roles {
		switch {
		case i == 0:
		case i == len(roles)-1:
			said += " " + message.Say(message.Default, "list.or", nil) + " "
		default:
			said += ", "
		}
		said += r.Name()
	}
	return said
}
