package templates

import "html/template"

// SignIn asks for badge and PIN. When the badge has been read, Name greets its holder and only the PIN
// is asked for.
type SignIn struct {
	Frame
	Badge string // kept between the two steps
	Name  string
	Next  string // where to go afterwards
	Wait  string // "try again in 30 seconds", when too many tries were made
}

// Page is "sign-in".
func (SignIn) Page() string { return "sign-in" }

// Stations lets a device choose where it stands.
type Stations struct {
	Frame
	List []StationLine
}

// Page is "stations".
func (Stations) Page() string { return "stations" }

// StationLine is one station with what is there.
type StationLine struct {
	Key, Name                string
	Waiting, InHand, Resting int
}

// Station is the page that stands open at a bench.
type Station struct {
	Frame
	Station  string // key in addresses
	Name     string
	InHand   []QueueItem // being worked on
	Ready    []QueueItem // may be started, the next one first
	Resting  []QueueItem // with until when
	Coming   []QueueItem // what arrives next, and from where
	Held     []QueueItem
	Load     Load
	Cautions []Caution
}

// Page is "station".
func (Station) Page() string { return "station" }

// Load is what was scanned to go in together, such as an oven load; without pairs where nothing is
// gathered. The page itself carries it from scan to scan, so nothing is kept until it is started.
type Load struct {
	Programme string
	Room      int // places left
	Pairs     []LoadPair
}

// LoadPair is a pair gathered for a load.
type LoadPair struct {
	Number, Customer, Pattern, Size string
	Sheet                           int    // that was scanned
	TakeOut                         string // address of the page without this pair
}

// Pair is one pair at one station: what to do, left and right.
type Pair struct {
	Frame
	Station     string
	StationName string
	Operation   string // name of the operation, such as "Lasting"
	Job         JobHead
	State       State         // what may be done with it here
	Since       string        // in hand since, or finished at
	By          string        // by whom
	Figure      template.HTML // the two soles with numbered marks
	Do          []Instruction
	Checks      []Check
	Cautions    []Caution
	Missing     []Link // what is not confirmed or read yet, at #do-ID or #check-ID
	Rest        string // what will rest after finishing: "cement dries 90 min"
	Then        string // the station after this one
	Undo        Undo
	Forgotten   Forgotten
	Ended       string // when it really ended, told afterwards
	Again       string // what a rework must mend: the foot, the reason, what was read
	Replaced    string // "sheet 3 replaces it: …" when the sheet changed while the page stood open
	Parts       []Part
}

// Page is "pair".
func (Pair) Page() string { return "pair" }

// State is how far a pair is at a station.
type State string

// The states: it can be started, it is being worked on, it is done here.
const (
	Ready    State = "ready"
	InHand   State = "in hand"
	Finished State = "finished"
)

// Part is a lot to be recorded with the operation, such as a cement.
type Part struct {
	Name  string // of the field
	Label string
	Lot   string // the one used last
}

// Instruction is one thing to do.
type Instruction struct {
	ID     string
	Foot   Foot
	Mark   string // number of its mark in the figure; empty when it has none
	Text   string
	Target string // "252.5 ± 1 mm"
	Done   bool
	By, At string

	Ordinary bool // as the pattern has it: told small, and not confirmed
}

// Forgotten asks what really happened when nobody scanned off.
type Forgotten struct {
	Since string // "yesterday 15:40"
	By    string
	At    string // suggested time it really ended, for a datetime-local field
}

// Check is one check on one foot or on the pair.
type Check struct {
	ID       string
	Foot     Foot
	Name     string   // "Boot height, back"
	Nominal  string   // "118.0 mm"
	Limits   string   // "117.0 to 119.0 mm"
	Gauges   []Choice // those that can tell; the wanted one is chosen
	Method   string   // how it is measured, where that matters
	Inputs   []Input
	Readings []Reading
	Values   []Value // computed from the readings: "angle 0.42 ± 0.11°"
	Verdict  Verdict
	Said     string // "3.1 mm over the upper limit"
	Ask      string // "measure again with the height gauge", when another reading is wanted
	Open     bool   // a reading can be entered
}

// Input is one number to be read: a check of alignment has two, front and rear.
type Input struct {
	Name  string // of the field, such as "front"
	Label string
	Unit  string
}

// Reading is one that was taken.
type Reading struct {
	Value  string // "118.4 mm", "front +0.6 mm, rear −0.5 mm"
	Gauge  string
	By, At string
	Void   bool   // a correction followed
	Note   string // how repeats lie together: mean, range, what stands apart
}

// Value is computed from readings, with its own verdict.
type Value struct {
	Name    string // "angle"
	Value   string // "0.42 ± 0.11°"
	Limits  string
	Chance  string // how likely it conforms, and by which rule it was decided; empty while it is not read
	Verdict Verdict
}

// QC is the inspector's page of one pair.
type QC struct {
	Frame
	Station     string
	StationName string
	Job         JobHead
	State       State
	Since, By   string
	Figure      template.HTML
	Do          []Instruction // what to look at that is no number
	Checks      []Check
	Cautions    []Caution
	Verdict     Verdict // of all checks together
	Missing     []Link  // what stands between the pair and its release
	MayRelease  bool
	MayDecide   bool // a nonconformity may be recorded
	Open        []Nonconformity
	Reworks     []Choice // stations to send it back to
	Findings    []Choice // checks that are out, to name what the decision is about
	Foot        Foot     // of the first of them
	Causes      []Choice // what it may have come from
	Undo        Undo
	Replaced    string // as in Pair
}

// Page is "qc".
func (QC) Page() string { return "qc" }

// Nonconformity is what was found and what was decided.
type Nonconformity struct {
	What        string
	Foot        Foot
	Disposition string // "rework at Lasting", "concession", "scrap"
	Reason      string
	Who, When   string
	Slip        string // address of its slip
}

// Refusal is what a scan gets that cannot be done.
type Refusal struct {
	Frame
	Station     string
	StationName string
	Code        string // what was scanned
	What        string // what happened
	Do          string // what to do
	Job         JobHead
	Links       []Link
	Next        []QueueItem // what may be done here instead
}

// Page is "refusal".
func (Refusal) Page() string { return "refusal" }

// Error is the page for an address that does not exist (404), a thing not allowed (403), and a fault of
// the program (500), which shows only the id under which the log has it.
type Error struct {
	Frame
	Status int
	What   string
	Do     string
	ID     string
}

// Page is "error".
func (Error) Page() string { return "error" }

// Scan is what a phone's camera opens: it shows, and one large button acts.
type Scan struct {
	Frame
	Job      JobHead
	Where    string
	Forecast Forecast
	Station  string // where the button acts
	Act      string // what the button says, such as "Start lasting"; empty when there is nothing to start
	Why      string // why there is nothing to do, and what to do instead
	Specials []Special
	Links    []Link
}

// Special is one thing in which a pair is not as usual.
type Special struct {
	Foot         Foot
	Text, Target string
}

// Page is "scan".
func (Scan) Page() string { return "scan" }

// Stranger is what a code shows to somebody who is not signed in: nothing, and the same for every code.
type Stranger struct {
	Frame
	Next  string // for the sign-in
	Phone string // of the workshop
}

// Page is "stranger".
func (Stranger) Page() string { return "stranger" }
