package spec

import "lastroom/jobs/unit"

// Catalogue is what a workshop can make and what it finds worth asking about. It is filled from the shop
// file. Maps go by the key that an order uses.
type Catalogue struct {
	Units      unit.System          `toml:"units"`      // in which bare numbers are read and lengths are shown
	Route      []string             `toml:"route"`      // operations in the order in which a pair goes through them
	Operations map[Work]string      `toml:"operations"` // the one operation that does a kind of work
	Checked    map[Quantity]string  `toml:"checked"`    // the operation at which a quantity is checked; unnamed, it isn't
	Repeats    map[Quantity]int     `toml:"repeats"`    // how often a quantity is read, for the mean; unnamed, once
	Patterns   map[string]Pattern   `toml:"patterns"`
	Paddings   map[string]Pad       `toml:"paddings"`
	Foams      map[string]Layer     `toml:"foams"`
	Liners     map[string]Layer     `toml:"liners"`
	Tongues    map[string]Layer     `toml:"tongues"`
	ToeBoxes   map[string]Part      `toml:"toe_boxes"`
	Laces      map[string]Part      `toml:"laces"`
	Holders    map[string]Holder    `toml:"holders"`
	Runners    map[string]Runner    `toml:"runners"`
	Lettering  map[string]TextPlace `toml:"lettering"`
	Sizes      Sizes                `toml:"sizes"`
	Tolerances Tolerances           `toml:"tolerances"`
	Thresholds Thresholds           `toml:"thresholds"`
}

// Pattern is a boot that the workshop makes.
type Pattern struct {
	Name       string                 `toml:"name"`
	Sizes      []PatternSize          `toml:"sizes"`
	Surface    Surface                `toml:"surface"`     // what the pattern's last stands for
	HeelRaised unit.Length            `toml:"heel_raised"` // how far the boot holds the heel above the ball
	Ease       Girths                 `toml:"ease"`        // taken off a girth so that the boot holds
	Steps      []unit.Length          `toml:"height_steps"`
	SidesApart bool                   `toml:"sides_apart"` // inner and outer side may differ in height
	SideLimit  unit.Length            `toml:"side_limit"`  // by how much at most
	Stiffness  Stiffness              `toml:"stiffness"`
	ToeBox     string                 `toml:"toe_box"`   // the usual one
	ToeBoxes   []string               `toml:"toe_boxes"` // all that fit, the usual one among them
	Liner      string                 `toml:"liner"`
	Liners     []string               `toml:"liners"`
	Tongue     string                 `toml:"tongue"`
	Tongues    []string               `toml:"tongues"`
	Foams      []string               `toml:"foams"`    // that fit; none is usual
	Paddings   []Padded               `toml:"paddings"` // that every pair has
	Lace       string                 `toml:"lace"`
	Holder     string                 `toml:"holder"` // the usual one, if the pattern has one
	Holders    []string               `toml:"holders"`
	Hollow     unit.Length            `toml:"hollow"`
	Rocker     unit.Length            `toml:"rocker"`
	Openings   map[Place]OpeningLimit `toml:"openings"` // a place that is not named can't be changed
	Facing     FacingLimit            `toml:"facing"`
	Volume     Range                  `toml:"volume"` // allowed change of girth
}

// PatternSize is one size of a pattern, with what is measured on the workshop's own boot of that size.
type PatternSize struct {
	Foot         unit.Length `toml:"foot"`          // length of the foot it is for: the Mondopoint size
	Last         unit.Length `toml:"last"`          // length of the last
	Back         unit.Length `toml:"back"`          // base height of the boot at the back
	Inner        unit.Length `toml:"inner"`         // base height at the inner side
	Outer        unit.Length `toml:"outer"`         // base height at the outer side
	Sole         unit.Length `toml:"sole"`          // length of the flat on which a holder stands
	SoleBreadth  unit.Length `toml:"sole_breadth"`  // across the ball
	Girths       Girths      `toml:"girths"`        // of the last before anything is built
	Eyelets      int         `toml:"eyelets"`       // on each facing
	FacingLength unit.Length `toml:"facing_length"` // of the edge, end to end
}

// Girths are one length for each section that is looked at.
type Girths struct {
	Ball   unit.Length `toml:"ball"`
	Instep unit.Length `toml:"instep"`
	Heel   unit.Length `toml:"heel"`
	Ankle  unit.Length `toml:"ankle"`
}

// Surface is what the surface of a last stands for.
type Surface string

// The surfaces, from the foot outwards.
const (
	Skin    Surface = "skin"   // the foot itself
	Lining  Surface = "lining" // the inside of the lining
	InShell Surface = "shell"  // the inside of the shell
)
