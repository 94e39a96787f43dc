package templates

import "html/template"

// Desk is the front desk's list.
type Desk struct {
	Frame
	Query  string
	Found  int        // pairs that match the query
	Pairs  []DeskPair // late ones first
	Total  int        // open pairs
	Late   int
	Filter []Choice // all, late, on hold, released

	Unprinted int    // sheets in force that are not on paper
	Calendar  string // address of the person's own feed of promised days
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
	Limit  string // largest file: "10 MB"
	Drafts []DraftLine
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
	Job           JobHead
	State         string // where it is, in words: "at Lasting since 11:10"
	Forecast      Forecast
	Strip         Strip
	Held          string // why and since when; empty when it is not on hold
	Released      string // by whom and when
	Contact       string
	WantedBy      string
	Sheets        []SheetLine
	History       []HistoryLine
	Spec          []SpecGroup
	Figure        template.HTML
	Open          []Nonconformity
	Papers        []Link // slip, labels, certificate
	LabelsOnSheet int    // the most that may be gone from a sheet of labels; 0 where they come from a roll, and are among Papers
	MayHold       bool
	MayResume     bool
	MayChange     bool
	MayPrint      bool
	Photos        []Photo
	Turn          string   // its turn where it waits, or how it is fixed and why
	Pinned        bool     // the turn is fixed
	SameName      []Choice // the customer's other jobs, to be erased with this one
	MayPin        bool
	MayRepeat     bool // an order for the same again can begin from it
	MayErase      bool // what is known of the customer can be taken out
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
	Choices []Choice
	Help    string // how to write it
	Long    bool   // a sentence or two
	// Required is for what no order goes without.
	Required bool
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

	Signals []Signal // of charts, that nobody has answered yet
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
	Papers []Link // cards of the stations, badges
}

// Page is "shop".
func (Shop) Page() string { return "shop" }

// ShopFault is one thing wrong with the shop file.
type ShopFault struct {
	Line int
	Text string
}
