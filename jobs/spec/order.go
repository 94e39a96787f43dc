// Package spec says what was ordered: whose feet, which pattern, and everything about the pair that is
// not as usual, grouped by the bench that does it. From an order and from what the workshop can make it
// derives what each bench must do, on which foot, to which number, and what each check must find; and it
// reviews an order before anybody promises anything. Everything here is a pure function.
package spec

import (
	"lastroom/jobs/unit"
)

// Order is a pair as it was asked for. Only Spec goes to the benches and into the chained record: what
// tells who the customer is lies in Customer alone.
type Order struct {
	Reference string   `json:"reference,omitempty"` // the sender's own number or name for the order
	Customer  Customer `json:"customer"`
	WantedBy  Date     `json:"wanted_by,omitempty"`
	Spec      Spec     `json:"spec"`
}

// Customer is who ordered and how to reach them.
type Customer struct {
	Name    string `json:"name"`
	Phone   string `json:"phone,omitempty"`
	Email   string `json:"email,omitempty"`
	Address string `json:"address,omitempty"`
}

// Spec is what to make. The zero value of every part means "as the pattern has it".
type Spec struct {
	Pattern string         `json:"pattern"`           // key of Catalogue.Patterns
	Repeats int            `json:"repeats,omitempty"` // number of the earlier job that this pair repeats
	Size    Size           `json:"size"`
	Feet    Pair[Measures] `json:"feet,omitzero"`
	Last    Last           `json:"last,omitzero"`
	Shell   Shell          `json:"shell,omitzero"`
	Inside  Inside         `json:"inside,omitzero"`
	Blade   Blade          `json:"blade,omitzero"`
	Finish  Finish         `json:"finish,omitzero"`
	Remarks []Remark       `json:"remarks,omitempty"`
}

// Size is the size asked for, in the system in which it was said.
type Size struct {
	System SizeSystem `json:"system"`
	Value  float64    `json:"value"`            // in the numbers of that system
	Street bool       `json:"street,omitempty"` // a street shoe's size: the workshop's offset is applied
}

// Measures are taken from one bare foot, standing, weight on both feet. Zero means not taken.
type Measures struct {
	Method      Method      `json:"method,omitempty"`
	Length      unit.Length `json:"length,omitzero"`       // heel to longest toe
	BallBreadth unit.Length `json:"ball_breadth,omitzero"` // across both metatarsal heads, square to the foot axis
	BallGirth   unit.Length `json:"ball_girth,omitzero"`   // tape over both metatarsal heads
	InstepGirth unit.Length `json:"instep_girth,omitzero"`
	HeelGirth   unit.Length `json:"heel_girth,omitzero"`  // round the heel and the crease in front of the ankle
	HeelRaised  unit.Length `json:"heel_raised,omitzero"` // how far the heel was raised while the heel girth was taken
	AnkleGirth  unit.Length `json:"ankle_girth,omitzero"` // least girth above the ankle bones
	InnerAnkle  unit.Length `json:"inner_ankle,omitzero"` // floor to the inner ankle bone
	OuterAnkle  unit.Length `json:"outer_ankle,omitzero"` // floor to the outer ankle bone
}

// Method is how a foot was measured. Values of different methods are not interchangeable.
type Method string

// The methods.
const (
	ByHand Method = "hand" // tape and rule
	ByScan Method = "scan"
	ByCast Method = "cast"
)

// Last is what the last bench changes.
type Last struct {
	Volume   Pair[unit.Length] `json:"volume,omitzero"` // girth added (+) or taken away (-) all along, in mm
	Openings []Opening         `json:"openings,omitempty"`
}

// Opening is a local change of the last at one place of one foot.
type Opening struct {
	Foot      Foot        `json:"foot"`
	Place     Place       `json:"place"`
	Direction Direction   `json:"direction"`
	By        unit.Length `json:"by"`              // depth, above zero
	Extent    unit.Length `json:"extent,omitzero"` // across; zero means the pattern's usual extent there
	Remark    string      `json:"remark,omitempty"`
}

// Direction of an opening.
type Direction string

// The directions.
const (
	Outwards Direction = "outwards" // more room
	Inwards  Direction = "inwards"  // less room
)

// Shell is what is changed in the shell.
type Shell struct {
	Stiffness Pair[int]    `json:"stiffness,omitzero"` // grades above (+) or below (-) the pattern's own
	Height    Pair[Height] `json:"height,omitzero"`
	ToeBox    Pair[string] `json:"toe_box,omitzero"` // key of Catalogue.ToeBoxes; empty means the pattern's own
	Facing    []FacingCut  `json:"facing,omitempty"`
}

// Height is how much higher a boot is than the workshop's base for its pattern and size.
type Height struct {
	Step  unit.Length `json:"step,omitzero"`  // all round, one of the pattern's steps
	Inner unit.Length `json:"inner,omitzero"` // further change of the inner side alone, + is up
	Outer unit.Length `json:"outer,omitzero"` // further change of the outer side alone, + is up
}

// FacingCut moves the edge that carries the eyelets, over some of them.
type FacingCut struct {
	Foot   Foot        `json:"foot"`
	Side   Side        `json:"side"`
	From   int         `json:"from"` // first eyelet moved, counted from the toe end, from 1
	To     int         `json:"to"`   // last eyelet moved
	By     unit.Length `json:"by"`   // + raises the edge, - cuts it lower
	Remark string      `json:"remark,omitempty"`
}

// Inside is what lies between the foot and the shell. Keys are those of the Catalogue's layers; an
// empty key means the pattern's own.
type Inside struct {
	Padding []Padding    `json:"padding,omitempty"`
	Foam    Pair[string] `json:"foam,omitzero"` // comfort foam all over
	Liner   Pair[string] `json:"liner,omitzero"`
	Tongue  Pair[string] `json:"tongue,omitzero"` // tongue felt
}

// Padding is a pad at one place.
type Padding struct {
	Foot  Foot   `json:"foot"`
	Place Place  `json:"place"`
	Kind  string `json:"kind"` // key of Catalogue.Paddings
}

// Blade is what is mounted under the boots and how it is ground.
type Blade struct {
	Holder    string          `json:"holder,omitempty"` // key of Catalogue.Holders
	Runner    string          `json:"runner,omitempty"` // key of Catalogue.Runners
	Alignment Pair[Alignment] `json:"alignment,omitzero"`
	Hollow    unit.Length     `json:"hollow,omitzero"` // radius of the groove
	Rocker    unit.Length     `json:"rocker,omitzero"` // radius of the profile
	Pitch     Pair[Lift]      `json:"pitch,omitzero"`
}

// Alignment is where a holder is wanted when not on the boot's line.
type Alignment struct {
	Shift unit.Length `json:"shift,omitzero"` // sideways, + towards the big toe
	Angle unit.Angle  `json:"turn,omitzero"`  // + swings the toe end towards the big toe
}

// Lift is what is put between sole and holder.
type Lift struct {
	Heel unit.Length `json:"heel,omitzero"`
	Toe  unit.Length `json:"toe,omitzero"`
}

// Finish is what finishing adds.
type Finish struct {
	Engraving  []Lettering  `json:"engraving,omitempty"`
	Embroidery []Lettering  `json:"embroidery,omitempty"`
	Lacing     Pair[string] `json:"lacing,omitzero"` // key of Catalogue.Laces
}

// Lettering is a text at one place.
type Lettering struct {
	Foot   Foot   `json:"foot"`
	Place  string `json:"place"` // key of Catalogue.Lettering
	Text   string `json:"text"`
	Colour string `json:"colour,omitempty"`
}

// Remark is something said in words. It reaches a bench only when it names an operation.
type Remark struct {
	Text      string `json:"text"`
	Operation string `json:"operation,omitempty"` // key of the operation that must read it
	Foot      Foot   `json:"foot,omitempty"`      // empty means both
}
