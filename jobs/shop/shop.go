// Package shop is the shop file: everything that is this workshop's own, from the stations and the route
// to patterns, tables, gauges, tolerances, people, calendar and cautions. It is TOML, so that people can
// write it by hand; it is read whole and checked whole, and a file with a slip in it changes nothing.
package shop

import (
	_ "embed"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"lastroom/jobs/check"
	"lastroom/jobs/code"
	"lastroom/jobs/plan"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
)

//go:embed example.toml
var example []byte

// Example is the shop file of an invented workshop, complete and commented.
func Example() []byte { return append([]byte(nil), example...) }

// Shop is a workshop as its shop file describes it, checked. It is never changed after it was loaded.
type Shop struct {
	Name       string
	Address    string
	Zone       *time.Location
	Units      unit.System
	Public     string // http://HOST[:PORT], what the square on a sheet opens
	Privacy    Privacy
	Paper      string                       // a4 or letter
	Labels     Grid                         // where the labels of boots lie on their sheet
	Confidence float64                      // of a promise, 0.5 to 0.99
	PickUp     *plan.Calendar               // when the desk hands pairs out
	Stations   []Station                    // in the file's order
	Operations []Operation                  // the route, in order
	Materials  []Material                   // in the file's order
	Gauges     []check.Gauge                // in the file's order
	GraceDays  int                          // that an overdue gauge is still taken
	Rules      map[spec.Quantity]check.Rule // how each quantity is decided
	Charts     string                       // the rules that charts are judged by, one of check.RuleSets
	People     []Person
	Catalogue  spec.Catalogue
}

// Privacy says how much of a customer's name stands on paper.
type Privacy string

// The choices.
const (
	FullName Privacy = "name"
	Initials Privacy = "initials"
	NoName   Privacy = "none"
)

// Station is a place of work.
type Station struct {
	Key    string
	Name   string
	Places int       // pairs, or loads, worked on at once
	Load   int       // pairs that one place takes together; 1 for a bench
	Card   code.Code // on the station's card; empty where it has none
	Hours  *plan.Calendar
	Whole  bool // work that is begun is not left at closing time
}

// Operation is a stage of the route.
type Operation struct {
	Key         string
	Name        string
	Station     string
	Minutes     float64 // median working time of an ordinary pair
	Spread      float64 // standard deviation of the logarithm of the time
	PerSpecial  float64 // minutes more for each special instruction
	Rest        float64 // minutes of wall-clock time that must pass afterwards
	RestReason  string
	Window      float64 // minutes after the rest within which the next must begin; 0 for none
	ReworkShare float64 // of pairs sent back from here, until the ledger knows better
	ReworkTo    string  // the operation that they mostly go back to
	Cautions    []Caution
}

// Material is something that goes into pairs by the lot, so that a bad lot can be found again: adhesive,
// shell, felt, steel.
type Material struct {
	Key        string   `toml:"key"`
	Name       string   `toml:"name"`
	Operations []string `toml:"operations"` // that use it, and ask for its lot when they are finished
	Required   bool     `toml:"required"`   // the step does not finish without it
}

// Caution is a hazard and the usual care, with ISO 7010 sign numbers. Local codes, the supplier's data
// sheet and licensed practice come first.
type Caution struct {
	Stations []string `json:"-" toml:"stations"`
	Hazard   string   `json:"hazard" toml:"hazard"`
	Text     string   `json:"text" toml:"text"`
	Signs    []string `json:"signs,omitempty" toml:"signs"`
}

// Station returns the station of a key; ok is false when there is none.
func (s *Shop) Station(key string) (Station, bool) {
	for _, one := range s.Stations {
		if one.Key == key {
			return one, true
		}
	}
	return Station{}, false
}

// Gauge returns the gauge of a key; ok is false when there is none.
func (s *Shop) Gauge(key string) (check.Gauge, bool) {
	for _, one := range s.Gauges {
		if one.Key == key {
			return one, true
		}
	}
	return check.Gauge{}, false
}

// GaugesOf are the gauges of a kind, in the file's order.
func (s *Shop) GaugesOf(kind string) []check.Gauge {
	var of []check.Gauge
	for _, one := range s.Gauges {
		if one.Kind == kind {
			of = append(of, one)
		}
	}
	return of
}

// Person returns who has a key; ok is false when nobody has.
func (s *Shop) Person(key string) (Person, bool) {
	for _, one := range s.People {
		if one.Key == key {
			return one, true
		}
	}
	return Person{}, false
}

// Rule is how a quantity is decided.
func (s *Shop) Rule(q spec.Quantity) check.Rule { return s.Rules[q] }

// Floor is the workshop as the planner sees it.
func (s *Shop) Floor() plan.Floor {
	floor := plan.Floor{Stations: make([]plan.Station, len(s.Stations))}
	for i, one := range s.Stations {
		floor.Stations[i] = plan.Station{Key: one.Key, Places: one.Places, Batch: one.Load, Hours: one.Hours, Whole: one.Whole}
	}
	return floor
}

// Show is a customer's name as it may stand on paper.
func (p Privacy) Show(name string) string {
	switch p {
	case FullName:
		return name
	case Initials:
		var b strings.Builder
		for _, word := range strings.Fields(name) {
			first, _ := utf8.DecodeRuneInString(word)
			b.WriteString(string(unicode.ToUpper(first)) + ".")
		}
		return b.String()
	}
	return ""
}
