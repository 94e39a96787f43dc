package templates

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
	Expected string // "expected ready Thu 26 Nov, nine in ten"
	Late     string
	Next     bool   // the one to take next
	May      bool   // it may be moved on now
	Why      string // why it may not, or why it is next
}
