package templates

import "html/template"

// Frame is what every page has around its own matter. The server fills it the same way for all.
type Frame struct {
	Shop   string // name of the workshop
	Person string // who is signed in; empty when nobody is
	Role   string // in a word for people, such as "bench worker"
	Places []Link // the pages this person may open, for the navigation
	Key    string // a fresh random key; each form of the page makes its own idempotency key from it
	Live   string // address of the page's event stream; empty where nothing is followed
	AsOf   string // when the page was made, such as "14:02"
	Notice Notice // what the last action did
	Form   Form   // what was typed into a refused form, and the sentences about it
	Sound  string // "done", "close", "refused" or empty; heard where the page's script runs
}

// Link is an address with its words.
type Link struct {
	Href, Text string
	Here       bool // it is the page shown
}

// Notice is one sentence about what was just done, what may be opened because of it, and how to undo it.
type Notice struct {
	Text  string
	Links []Link
	Undo  Undo
}

// Undo takes one entry back; shown only to who may.
type Undo struct {
	Action string // address to post to, such as /station/lasting/job/1042/undo
	Entry  string // the entry's number
	What   string // "Finish lasting of 1042"
}

// Form is a refused form: which one it is (the table in doc.go names them), what was typed and what is
// said beside each field.
type Form struct {
	Name   string
	Fields []Field
}

// Field is one field of a refused form. Name is the field's name as it was sent; a sentence that
// belongs to the whole form has no name.
type Field struct {
	Name, Value, Fault string
}

// Choice is one option of a choice.
type Choice struct {
	Value, Text string
	Chosen      bool
}

// Foot says which foot something is for.
type Foot string

// The feet, as the wearer looks down: left is drawn on the left.
const (
	Left  Foot = "left"
	Right Foot = "right"
	Both  Foot = "both"
)

// Verdict is told by word and by shape.
type Verdict string

// The verdicts; None where there is no reading yet.
const (
	None  Verdict = ""
	In    Verdict = "in"
	Out   Verdict = "out"
	Close Verdict = "close"
)

// Caution is a hazard of a station and the usual care. Signs are numbers of ISO 7010, such as "W017".
type Caution struct {
	Hazard, Text string
	Signs        []string
}

// JobHead names a pair at the top of its pages.
type JobHead struct {
	Number   string // at least four digits
	Sheet    int
	Code     string // digits beneath the QR
	Customer string // as the shop's privacy choice shows it here
	Pattern  string
	Size     string
	Promise  string // "Fri 27 Nov"; empty when none was given
	Late     string // "2 days late", "at risk"; empty when all is well
}

// QueueItem is a pair in the list of a station.
type QueueItem struct {
	Number   string
	Customer string
	Pattern  string
	Size     string
	Special  string // in short what is special here: "right: outwards 4 mm"
	When     string // since when it is in hand, until when it rests, by when it must begin
	Who      string // who has it in hand
	Promise  string
	Late     string
	Next     bool   // the one to take next
	May      bool   // it may be moved on now
	Why      string // why it may not, or why it is next
}

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
	Remark string // the customer's or fitter's own words
	Done   bool
	By, At string
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
	Void   bool // a correction followed
}

// Value is computed from readings, with its own verdict.
type Value struct {
	Name    string // "angle"
	Value   string // "0.42 ± 0.11°"
	Limits  string
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
	Undo        Undo
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
	Station     string // empty when none is chosen
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

// Desk is the front desk's list.
type Desk struct {
	Frame
	Query  string
	Found  int        // pairs that match the query
	Pairs  []DeskPair // late ones first
	Total  int        // open pairs
	Late   int
	Filter []Choice // all, late, on hold, released
}

// Page is "desk".
func (Desk) Page() string { return "desk" }

// DeskPair is one pair as the telephone asks for it.
type DeskPair struct {
	Number   string
	Customer string
	Pattern  string
	Where    string // "rests after Lasting until 14:20"
	Forecast Forecast
	Promise  string
	Late     string
	Delay    string // what could delay it
	Hold     string // why it is on hold
	Strip    Strip
}

// Forecast is a finish date, never without its confidence.
type Forecast struct {
	Date       string // "Thu 26 Nov"
	Confidence string // "nine in ten"
	Range      string // "Wed 25 to Mon 30 Nov"
	Why        string // "waits behind 3 pairs at Lasting"
}

// OrderNew takes an order file.
type OrderNew struct {
	Frame
	Limit string // largest file: "10 MB"
}

// Page is "order-new".
func (OrderNew) Page() string { return "order-new" }

// OrderReview shows what the review found in an uploaded file. All its orders are opened, or none.
type OrderReview struct {
	Frame
	File    string
	Upload  string // names the uploaded file in the next step
	Count   int    // of its orders
	Orders  []OrderFindings
	Blocked bool // a finding cannot be passed
	Refused []Refused
}

// Page is "order-review".
func (OrderReview) Page() string { return "order-review" }

// Refused is something the file says that cannot be read.
type Refused struct {
	Where, Text string
}

// OrderFindings is one order of the file with its findings.
type OrderFindings struct {
	Reference string
	Customer  string
	Pattern   string
	WantedBy  string
	Quote     Forecast // what the desk can promise
	Findings  []Finding
	Lines     []SpecGroup
}

// Finding is one thing the review says.
type Finding struct {
	ID       string // in field names: who.ID, reason.ID, accept.ID
	Severity string // "cannot be built", "contradiction", "ask again", "unusual"
	Text     string
	Fields   string // which fields it concerns
	Settle   string // what would settle it
	Offer    string // an adjustment that may be accepted instead
	Pass     bool   // it may be passed with name and reason; where not, it stops the order
}

// SpecGroup is the part of a spec that one bench does.
type SpecGroup struct {
	Bench string
	Lines []SpecLine
}

// SpecLine is one thing of the spec: for both, or for each foot.
type SpecLine struct {
	Name, Both, Left, Right string
}

// Job is one job's page at the desk.
type Job struct {
	Frame
	Job       JobHead
	State     string // where it is, in words: "at Lasting since 11:10"
	Forecast  Forecast
	Strip     Strip
	Held      string // why and since when; empty when it is not on hold
	Released  string // by whom and when
	Contact   string
	WantedBy  string
	Sheets    []SheetLine
	History   []HistoryLine
	Spec      []SpecGroup
	Figure    template.HTML
	Open      []Nonconformity
	Papers    []Link // slip, labels, certificate
	MayHold   bool
	MayResume bool
	MayChange bool
	MayPrint  bool
}

// Page is "job".
func (Job) Page() string { return "job" }

// SheetLine is one sheet number of a job.
type SheetLine struct {
	Sheet    int
	Made     string // when and by whom
	Why      string // what changed
	Prints   int
	Outdated bool
	Href     string // the PDF
}

// HistoryLine is one entry in words.
type HistoryLine struct {
	Number string // of the entry
	At     string
	Who    string
	Where  string
	What   string
	Undone bool // a later entry took it back
}

// Change edits a spec. With Differences filled it is the second step, which asks for confirmation.
type Change struct {
	Frame
	Job         JobHead
	Groups      []FieldGroup
	Reason      string
	Differences []Difference
	Touched     []TouchedOperation
	Before      Forecast
	After       Forecast
	Findings    []Finding
	Blocked     bool
	NextSheet   int
	Draft       string // names the reviewed change in the second step
}

// Page is "change".
func (Change) Page() string { return "change" }

// FieldGroup is the fields of one bench.
type FieldGroup struct {
	Bench  string
	Fields []SpecField
}

// SpecField is one field of a spec that can be changed. It is a choice where Choices is not empty.
type SpecField struct {
	Name    string // as it is sent, such as "shell.height_step"
	Label   string
	Foot    Foot
	Unit    string
	Value   string
	Was     string // as it stands on the present sheet
	Choices []Choice
}

// Difference is one field that changes.
type Difference struct {
	Field  string
	Foot   Foot
	Before string
	After  string
}

// TouchedOperation is an operation that a change concerns.
type TouchedOperation struct {
	Name  string
	State string // "done, must be redone", "not begun"
	Redo  bool
}

// Lead is the workshop lead's page, fit for a wall screen.
type Lead struct {
	Frame
	Late   []LeadPair
	Load   []StationLoad
	Recent []Nonconformity
}

// Page is "lead".
func (Lead) Page() string { return "lead" }

// LeadPair is a pair that is late or may be.
type LeadPair struct {
	Number   string
	Customer string
	Where    string
	Promise  string
	Late     string
	Forecast Forecast
	Save     string // the cheapest way to save it
}

// StationLoad is what one station has before it.
type StationLoad struct {
	Key, Name  string
	Places     int
	Waiting    int
	InHand     int
	Resting    int
	Work       string  // "31 h of work before it"
	Capacity   string  // "40 h a week"
	Share      float64 // of its capacity over the weeks shown, 1 is full
	ShareText  string  // "78 %"
	Bottleneck bool
}

// Shop shows the shop file and checks a changed text without keeping it.
type Shop struct {
	Frame
	File   string // name
	Text   string
	Since  string // in force since
	Faults []ShopFault
	Fits   bool // the text was checked and is a good shop file
	Parts  []SpecGroup
}

// Page is "shop".
func (Shop) Page() string { return "shop" }

// ShopFault is one thing wrong with the shop file.
type ShopFault struct {
	Line int
	Text string
}

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
	Act      string // "start", "finish" or empty when there is nothing to do
	ActText  string // "Start lasting"
	Why      string // why there is nothing to do, and what to do instead
	Specials []Special
	Links    []Link
}

// Special is one thing in which a pair is not as usual.
type Special struct {
	Foot                 Foot
	Text, Target, Remark string
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
