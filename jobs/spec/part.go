package spec

import "lastroom/jobs/unit"

// Stiffness is how a shell resists bending forwards at the ankle. A moment means nothing without the
// bend and the rig: Angle belongs to it, and the conditions of the rig belong to the gauge.
type Stiffness struct {
	Moment  unit.Moment `toml:"moment"` // of the pattern's own grade
	Angle   unit.Angle  `toml:"angle"`  // at this bend
	Step    unit.Moment `toml:"step"`   // from one grade to the next
	Lowest  int         `toml:"lowest"` // grades below the own, as a negative number
	Highest int         `toml:"highest"`
}

// OpeningLimit is how far a pattern's shell lets the last be changed at a place.
type OpeningLimit struct {
	Out    unit.Length `toml:"out"`    // outwards at most
	In     unit.Length `toml:"in"`     // inwards at most
	Extent unit.Length `toml:"extent"` // the usual one
	Widest unit.Length `toml:"widest"` // extent at most
}

// FacingLimit is what a pattern's facings are like and how far they can be cut from its line.
type FacingLimit struct {
	Up         unit.Length `toml:"up"`          // raised at most
	Down       unit.Length `toml:"down"`        // cut lower at most
	Slope      unit.Angle  `toml:"slope"`       // steepest transition between two eyelets
	MarginLow  unit.Length `toml:"margin_low"`  // from the toe end of the edge to the first eyelet
	MarginHigh unit.Length `toml:"margin_high"` // from the last eyelet to the top of the edge
	Edge       unit.Angle  `toml:"edge"`        // of the edge above horizontal
}

// Range is what a signed length may be, both ends allowed.
type Range struct {
	From unit.Length `toml:"from"`
	To   unit.Length `toml:"to"`
}

// Layer is something of one thickness all round: foam, liner, sock. A tongue felt is one too, but
// covers only its share of a section.
type Layer struct {
	Name       string      `toml:"name"`
	Thickness  unit.Length `toml:"thickness"`
	Compressed unit.Length `toml:"compressed"` // in a laced boot
	Within     Surface     `toml:"within"`     // the innermost surface that lies outside it: lining or shell
	Share      Shares      `toml:"share"`      // of each section covered; none given means all of it
}

// Shares are how much of each girth section is covered, 0 to 1.
type Shares struct {
	Ball   float64 `toml:"ball"`
	Instep float64 `toml:"instep"`
	Heel   float64 `toml:"heel"`
	Ankle  float64 `toml:"ankle"`
}

// Pad is a kind of padding.
type Pad struct {
	Name       string      `toml:"name"`
	Thickness  unit.Length `toml:"thickness"`
	Compressed unit.Length `toml:"compressed"`
	Ring       bool        `toml:"ring"`   // round a bone with a hole over it: the bone itself is not padded
	Places     []Place     `toml:"places"` // where it can be laid
	Share      Shares      `toml:"share"`  // of each section covered by one pad; none means it crosses none
}

// Padded is a pad that a pattern has without being asked.
type Padded struct {
	Place Place  `toml:"place"`
	Kind  string `toml:"kind"`
}

// Part is anything that is chosen by its key alone.
type Part struct {
	Name string `toml:"name"`
}

// Holder is what carries the runner under the sole, in one size.
type Holder struct {
	Name        string      `toml:"name"`
	Length      unit.Length `toml:"length"`       // of its foot on the sole, end to end
	SoleFrom    unit.Length `toml:"sole_from"`    // shortest sole flat that takes it
	SoleTo      unit.Length `toml:"sole_to"`      // longest
	RivetSpread unit.Length `toml:"rivet_spread"` // across its widest row of rivets
	Clearance   unit.Length `toml:"clearance"`    // from a rivet's centre to the edge of the sole, at least
	Span        unit.Length `toml:"span"`         // between the front and rear stations where its offset is read
	Heel        unit.Length `toml:"heel"`         // stand height: ice to sole under the heel
	Toe         unit.Length `toml:"toe"`          // and under the ball
	Lift        unit.Length `toml:"lift"`         // what can be put under either end, at most
	Shift       unit.Length `toml:"shift"`        // sideways from the line, at most
	Angle       unit.Angle  `toml:"turn"`         // at most
	Runners     []string    `toml:"runners"`      // keys of those that fit
}

// Runner is the steel, in one length.
type Runner struct {
	Name      string      `toml:"name"`
	Thickness unit.Length `toml:"thickness"`
	Length    unit.Length `toml:"length"`
	Hollow    Range       `toml:"hollow"` // radii that can be ground; both zero means it is ground flat
	Rocker    Range       `toml:"rocker"`
}

// TextPlace is where letters can be put.
type TextPlace struct {
	Name       string   `toml:"name"`
	Characters int      `toml:"characters"` // at most
	Letters    string   `toml:"letters"`    // those that the machine has beside A–Z, 0–9 and space
	Lower      bool     `toml:"lower"`      // small letters too
	Embroidery bool     `toml:"embroidery"` // sewn, not engraved
	Colours    []string `toml:"colours"`
}

// Sizes says how the workshop reads sizes.
type Sizes struct {
	StreetOffset unit.Length `toml:"street_offset"` // foot length of the skate size less that of the street size
}

// Tolerances are allowed either side of nominal.
type Tolerances struct {
	Girth       unit.Length `toml:"girth"`        // of a built last
	Opening     unit.Length `toml:"opening"`      // of the depth gained
	Height      unit.Length `toml:"height"`       // of a boot
	HeightMatch unit.Length `toml:"height_match"` // left against right
	Facing      unit.Length `toml:"facing"`
	Stiffness   float64     `toml:"stiffness"` // a share of the target moment: 0.1 is a tenth
	Shift       unit.Length `toml:"shift"`     // of the holder's mean offset
	Angle       unit.Angle  `toml:"turn"`
	ShiftMatch  unit.Length `toml:"shift_match"`
	Hollow      unit.Length `toml:"hollow"` // of the radius
	Level       unit.Length `toml:"level"`  // rise of a bar across the edges, over 100 mm
	Rocker      unit.Length `toml:"rocker"` // of the sagitta over the gauge's chord
	Chord       unit.Length `toml:"chord"`  // of the rocker gauge
	Stand       unit.Length `toml:"stand"`
	Penetration unit.Length `toml:"penetration"` // of the blade into the ice, for the contact length
}

// Thresholds are where a review begins to ask.
type Thresholds struct {
	FootShortest     unit.Length `toml:"foot_shortest"` // a shorter foot is a slip of the unit
	FootLongest      unit.Length `toml:"foot_longest"`
	LengthDifference unit.Length `toml:"length_difference"` // between the feet
	GirthDifference  unit.Length `toml:"girth_difference"`
	HeightDifference unit.Length `toml:"height_difference"` // of the ankle bones, between the feet
	Ratios           Ratios      `toml:"ratios"`
	ThickPad         unit.Length `toml:"thick_pad"`       // compressed, from which a pad counts as thick
	LargeOpening     unit.Length `toml:"large_opening"`   // from which an opening is unusual
	StackMost        unit.Length `toml:"stack_most"`      // of all layers at one place, compressed
	SizeApart        unit.Length `toml:"size_apart"`      // between the longer foot and the size ordered
	LeadDays         int         `toml:"lead_days"`       // a day wanted sooner than this is unusual
	AheadDays        int         `toml:"ahead_days"`      // a day wanted later than this is asked again
	StiffnessApart   int         `toml:"stiffness_apart"` // grades between the feet
	PitchMost        unit.Angle  `toml:"pitch_most"`
	MedicalWords     []string    `toml:"medical_words"`
}

// Ratios are what a measure divided by the foot's length may be without being asked about; girth to
// breadth is of the ball.
type Ratios struct {
	BallBreadth  RatioRange `toml:"ball_breadth"`
	BallGirth    RatioRange `toml:"ball_girth"`
	HeelGirth    RatioRange `toml:"heel_girth"`
	AnkleGirth   RatioRange `toml:"ankle_girth"`
	OuterAnkle   RatioRange `toml:"outer_ankle"`
	GirthBreadth RatioRange `toml:"girth_breadth"`
	InstepGirth  RatioRange `toml:"instep_girth"`
	InnerAnkle   RatioRange `toml:"inner_ankle"`
}

// RatioRange is what a ratio may be, both ends allowed.
type RatioRange struct {
	From float64 `toml:"from"`
	To   float64 `toml:"to"`
}
