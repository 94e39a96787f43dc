package spec

import (
	"slices"
	"strconv"

	"lastroom/jobs/message"
)

// Work is a kind of work. Each belongs to exactly one operation of the route.
type Work string

// The kinds of work.
const (
	LastOpening      Work = "last.opening"
	LastVolume       Work = "last.volume"
	LastGirth        Work = "last.girth"
	ShellStiffness   Work = "shell.stiffness"
	ShellHeight      Work = "shell.height"
	ShellToeBox      Work = "shell.toebox"
	ShellFacing      Work = "shell.facing"
	InsidePadding    Work = "inside.padding"
	InsideFoam       Work = "inside.foam"
	InsideLiner      Work = "inside.liner"
	InsideTongue     Work = "inside.tongue"
	BladeHolder      Work = "blade.holder"
	BladeRunner      Work = "blade.runner"
	BladeHollow      Work = "blade.hollow"
	BladeRocker      Work = "blade.rocker"
	BladePitch       Work = "blade.pitch"
	FinishEngraving  Work = "finish.engraving"
	FinishEmbroidery Work = "finish.embroidery"
	FinishLacing     Work = "finish.lacing"
	RemarkWork       Work = "remark" // in words; the remark names its operation itself
)

// Works are all kinds of work that the shop file must give an operation, in the order of the benches.
var Works = [19]Work{
	LastOpening, LastVolume, LastGirth, ShellStiffness, ShellHeight, ShellToeBox, ShellFacing,
	InsidePadding, InsideFoam, InsideLiner, InsideTongue,
	BladeHolder, BladeRunner, BladeHollow, BladeRocker, BladePitch,
	FinishEngraving, FinishEmbroidery, FinishLacing,
}

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

// Quantity is something that is checked.
type Quantity string

// The quantities.
const (
	Girth         Quantity = "girth"     // of a built last, by tape
	OpeningDepth  Quantity = "opening"   // of a last at a place, before and after
	BootHeight    Quantity = "height"    // by height gauge, from the middle of the top edge
	HolderLine    Quantity = "alignment" // offsets front and rear: turn and shift
	FacingEdge    Quantity = "facing"
	BendMoment    Quantity = "stiffness"
	HollowRadius  Quantity = "hollow" // by radius gauge: a calliper can't tell
	EdgeLevel     Quantity = "level"  // by a bar across the edges
	RockerSagitta Quantity = "rocker"
	StandHeight   Quantity = "stand"
)

// Quantities are all of them, in the order of the benches.
var Quantities = [10]Quantity{
	Girth, OpeningDepth, BootHeight, FacingEdge, BendMoment, HolderLine, HollowRadius, EdgeLevel, RockerSagitta, StandHeight,
}

// Rule says how a check's value comes from its readings.
type Rule string

// The rules.
const (
	Value Rule = "value" // the one reading
	Gain  Rule = "gain"  // second reading less the first
	Turn  Rule = "turn"  // atan((front - rear) / span), in degrees
	Shift Rule = "shift" // (front + rear) / 2
	Match Rule = "match" // the value of the first check named in From less that of the second
)

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
	Span      float64      `json:"span,omitempty"`     // for Turn: mm between the front and the rear reading
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
		c.Args.Same(other.Args) && c.Nominal == other.Nominal && c.Lower == other.Lower && c.Upper == other.Upper && c.Unit == other.Unit &&
		c.Rule == other.Rule && slices.Equal(c.Readings, other.Readings) && c.Times() == other.Times() && c.Group == other.Group &&
		slices.Equal(c.From, other.From) && c.Span == other.Span && c.Gauge == other.Gauge
}

// Kinds of gauge that checks ask for.
const (
	Tape        = "tape"
	DepthGauge  = "depth-gauge"
	HeightGauge = "height-gauge"
	Calliper    = "calliper"
	BendRig     = "bend-rig"
	RadiusGauge = "radius-gauge"
	EdgeBar     = "edge-bar"
	RockerGauge = "rocker-gauge"
)

// Gauges are the kinds, in the order of the benches.
var Gauges = [8]string{Tape, DepthGauge, HeightGauge, Calliper, BendRig, RadiusGauge, EdgeBar, RockerGauge}
