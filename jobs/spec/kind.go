package spec

import "slices"

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

// IsChange says that the number of a kind of work is a change, shown with its sign.
func (w Work) IsChange() bool { return w == LastOpening || w == LastVolume || w == ShellFacing }

// IsSum says that the number of a kind of work is reckoned from others, which stand behind the first colon of
// its sentence; what is reckoned is proved by a check of its own.
func (w Work) IsSum() bool { return w == LastGirth }

// Quantity is something that is checked.
type Quantity string

// The quantities.
const (
	Girth         Quantity = "girth"     // of a built last, by tape
	OpeningDepth  Quantity = "opening"   // of a last at a place, before and after
	BootHeight    Quantity = "height"    // by height gauge, from the middle of the top edge
	HolderLine    Quantity = "alignment" // offsets front and rear: angle and shift
	FacingEdge    Quantity = "facing"
	BendMoment    Quantity = "stiffness"
	HollowRadius  Quantity = "hollow" // by radius gauge: a calliper can't tell
	EdgeLevel     Quantity = "level"  // by a bar across the edges
	RockerSagitta Quantity = "rocker"
	StandHeight   Quantity = "stand"
)

// Rule says how a check's value comes from its readings.
type Rule string

// The rules.
const (
	Value Rule = "value" // the one reading
	Gain  Rule = "gain"  // second reading less the first
	Angle Rule = "turn"  // atan((front - rear) / span), in degrees
	Shift Rule = "shift" // (front + rear) / 2
	Match Rule = "match" // the value of the first check named in From less that of the second
)

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

// CheckKind is a kind of check, with a tolerance of its own in the shop file.
type CheckKind struct {
	Tolerance string // key in [tolerances]
	Quantity  Quantity
	Rule      Rule
	Unit      string   // of the value: mm, °, N·m
	Gauge     string   // kind of gauge that is read
	Readings  []string // what is read, in order; none for left against right, which was read already
	Work      Work     // that the value tells of
	Signed    bool     // a reading may be below zero
	Optional  bool     // a tolerance of zero means that it isn't checked

	// Half is the tolerance either side of a nominal value, in Unit.
	Half func(t Tolerances, nominal float64) float64
}

var once = []string{"value"}

// CheckKinds are all kinds of check, in the order of the benches.
var CheckKinds = []CheckKind{
	{"girth", Girth, Value, "mm", Tape, once, LastGirth, false, false, func(t Tolerances, _ float64) float64 { return float64(t.Girth) }},
	{"opening", OpeningDepth, Gain, "mm", DepthGauge, []string{"before", "after"}, LastOpening, false, false, func(t Tolerances, _ float64) float64 { return float64(t.Opening) }},
	{"height", BootHeight, Value, "mm", HeightGauge, once, ShellHeight, false, false, func(t Tolerances, _ float64) float64 { return float64(t.Height) }},
	{"height_match", BootHeight, Match, "mm", HeightGauge, nil, ShellHeight, false, true, func(t Tolerances, _ float64) float64 { return float64(t.HeightMatch) }},
	{"facing", FacingEdge, Value, "mm", Calliper, once, ShellFacing, true, false, func(t Tolerances, _ float64) float64 { return float64(t.Facing) }},
	{"stiffness", BendMoment, Value, "N·m", BendRig, once, ShellStiffness, false, false, func(t Tolerances, moment float64) float64 { return moment * t.Stiffness }},
	{"turn", HolderLine, Angle, "°", Calliper, []string{"front", "rear"}, BladeHolder, true, true, func(t Tolerances, _ float64) float64 { return float64(t.Angle) }},
	{"shift", HolderLine, Shift, "mm", Calliper, []string{"front", "rear"}, BladeHolder, true, false, func(t Tolerances, _ float64) float64 { return float64(t.Shift) }},
	{"shift_match", HolderLine, Match, "mm", Calliper, nil, BladeHolder, true, true, func(t Tolerances, _ float64) float64 { return float64(t.ShiftMatch) }},
	{"hollow", HollowRadius, Value, "mm", RadiusGauge, once, BladeHollow, false, false, func(t Tolerances, _ float64) float64 { return float64(t.Hollow) }},
	{"level", EdgeLevel, Value, "mm", EdgeBar, once, BladeHollow, true, false, func(t Tolerances, _ float64) float64 { return float64(t.Level) }},
	{"rocker", RockerSagitta, Value, "mm", RockerGauge, once, BladeRocker, false, false, func(t Tolerances, _ float64) float64 { return float64(t.Rocker) }},
	{"stand", StandHeight, Value, "mm", HeightGauge, once, BladeHolder, false, false, func(t Tolerances, _ float64) float64 { return float64(t.Stand) }},
}

// Quantities are all of them, in the order of the benches.
var Quantities = quantities()

func quantities() (all []Quantity) {
	for _, k := range CheckKinds {
		if !slices.Contains(all, k.Quantity) {
			all = append(all, k.Quantity)
		}
	}
	return all
}

// kindOf is the kind of a check; ok is false for a sheet of a program that knew others.
func kindOf(q Quantity, r Rule) (kind CheckKind, ok bool) {
	at := slices.IndexFunc(CheckKinds, func(k CheckKind) bool { return k.Quantity == q && k.Rule == r })
	if at < 0 {
		return CheckKind{}, false
	}
	return CheckKinds[at], true
}

// Work is the kind of work that a check's value tells of; empty where nothing is known of its quantity.
func (c Check) Work() Work {
	kind, _ := kindOf(c.Quantity, c.Rule)
	return kind.Work
}

// Signed says whether a reading of a check may be below zero: an offset from a line, or a difference.
func (c Check) Signed() bool {
	kind, _ := kindOf(c.Quantity, c.Rule)
	return kind.Signed
}
