package templates

// Plan is what lies ahead: what if the floor were other than it is, the load of the stations, every open
// pair in time, and how long operations really take.
type Plan struct {
	Frame
	Kinds    []Choice // of what can be tried
	Stations []Choice
	Ifs      []string // what was tried so far, as it is sent
	Tried    []Tried
	Changes  []PlanChange
	Load     []LoadAhead
	Pairs    []PlanPair
	From     string // where the strips of all pairs begin
	Until    string // and end
	Paces    []Pace
}

// Page is "plan".
func (Plan) Page() string { return "plan" }

// Tried is one thing that was supposed.
type Tried struct {
	Text    string // "a person away at Lasting, Thu 26 Nov"
	Without string // address of the page without it
}

// PlanChange is a pair whose date would change.
type PlanChange struct {
	Number   string
	Customer string
	Promise  string
	Before   PlanDate
	After    PlanDate
	Moves    string // "2 d later", "less likely"
}

// PlanDate is a finish date, never without its confidence, and the chance to keep the promise.
type PlanDate struct {
	Date, Confidence string
	InTime           string // "92 %"; empty without a promise
}

// LoadAhead is one station's work for the weeks ahead.
type LoadAhead struct {
	Key, Name string
	Weeks     []LoadWeek
}

// LoadWeek is one week of it.
type LoadWeek struct {
	Week      string // "Mon 23 Nov"
	Work      string // "31 h"
	Capacity  string // "38 h"
	Share     float64
	ShareText string
}

// PlanPair is one open pair in time.
type PlanPair struct {
	Number   string
	Customer string
	Where    string
	Forecast Forecast
	Promise  string
	Late     string
	Strip    Strip
}

// Pace is how long an operation takes in this workshop.
type Pace struct {
	Operation string
	Given     string // by the shop file
	Learned   string
	Rework    string // "6 %, shop file 5 %"
}
