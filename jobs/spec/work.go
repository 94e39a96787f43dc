package spec

import (
	"slices"
	"strconv"

	"lastroom/jobs/message"
)

// Instruction is one thing to do at one operation, on one foot or on both. It is sealed with the sheet:
// its arguments are keys, numbers and the shop file's own names. Sheets of before hold texts instead.
type Instruction struct {
	ID        string       `json:"id"` // such as "last.opening.inner-ankle.right"; the same from sheet to sheet
	Operation string       `json:"operation"`
	Work      Work         `json:"work"`
	Foot      Foot         `json:"foot"`
	Key       string       `json:"key"` // of the sentence
	Args      message.Args `json:"args,omitempty"`
	Target    *Target      `json:"target,omitempty"`  // nil where there is no number
	Special   bool         `json:"special,omitempty"` // asked for by the order; false: as the pattern has it
}

// Text is the instruction as it is read at the bench.
func (i Instruction) Text(lang message.Language) string { return message.Say(lang, i.Key, i.Args) }

// Phrase is the instruction as a value of another sentence.
func (i Instruction) Phrase() message.Phrase { return message.Phrase{Key: i.Key, Args: i.Args} }

// Same tells whether two instructions ask for the same, whatever words their sentences have by now: what
// was confirmed for the one holds for the other. Their ids are not compared.
func (i Instruction) Same(other Instruction) bool {
	return i.Operation == other.Operation && i.Work == other.Work && i.Foot == other.Foot && i.Key == other.Key &&
		i.Special == other.Special && sameTarget(i.Target, other.Target) && i.Args.Same(other.Args)
}

// Target is the number that an instruction must reach.
type Target struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"` // mm, °, N·m
}

// Check is one thing to find out before an operation is done. Nominal, Lower and Upper are in Unit;
// Lower and Upper are allowed themselves. It is sealed with the sheet.
type Check struct {
	ID        string       `json:"id"` // such as "height.back.left"
	Operation string       `json:"operation"`
	Foot      Foot         `json:"foot"` // Both for a check of left against right
	Quantity  Quantity     `json:"quantity"`
	Key       string       `json:"key"` // of the sentence that says what is measured, and where
	Args      message.Args `json:"args,omitempty"`
	Nominal   float64      `json:"nominal"`
	Lower     float64      `json:"lower"`
	Upper     float64      `json:"upper"`
	Unit      string       `json:"unit"` // of the value: mm, °, N·m
	Rule      Rule         `json:"rule"`
	Readings  []string     `json:"readings,omitempty"` // what is read, in order: value; front, rear; before, after
	Repeats   int          `json:"repeats,omitempty"`  // how often each is read, for the mean; 0 means once
	Group     string       `json:"group,omitempty"`    // checks of one group share one set of readings
	From      []string     `json:"from,omitempty"`     // for Match: the two checks
	Span      float64      `json:"span,omitempty"`     // for Angle: mm between the front and the rear reading
	Gauge     string       `json:"gauge,omitempty"`    // kind of gauge that can tell
}

// Times is how often each reading is taken, at least once.
func (c Check) Times() int { return max(c.Repeats, 1) }

// Inputs names everything that is typed for the check, in order: all its readings, and again as often as
// it is repeated ("front", "rear", "front-2", "rear-2").
func (c Check) Inputs() []string {
	var all []string
	for n := range c.Times() {
		for _, name := range c.Readings {
			if n > 0 {
				name += "-" + strconv.Itoa(n+1)
			}
			all = append(all, name)
		}
	}
	return all
}

// Text says what is measured.
func (c Check) Text(lang message.Language) string { return message.Say(lang, c.Key, c.Args) }

// Phrase is what is measured, as a value of another sentence.
func (c Check) Phrase() message.Phrase { return message.Phrase{Key: c.Key, Args: c.Args} }

// Same tells whether two checks ask for the same value within the same limits, by the same readings. Their
// ids are not compared.
func (c Check) Same(other Check) bool {
	return c.Operation == other.Operation && c.Foot == other.Foot && c.Quantity == other.Quantity && c.Key == other.Key &&
		c.Args.Same(other.Args) && sameNumber(c.Nominal, other.Nominal) && sameNumber(c.Lower, other.Lower) && sameNumber(c.Upper, other.Upper) && c.Unit == other.Unit &&
		c.Rule == other.Rule && slices.Equal(c.Readings, other.Readings) && c.Times() == other.Times() && c.Group == other.Group &&
		slices.Equal(c.From, other.From) && sameNumber(c.Span, other.Span) && c.Gauge == other.Gauge
}
