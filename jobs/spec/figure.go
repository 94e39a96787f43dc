package spec

import "lastroom/jobs/message"

// Figure is a drawing without a resolution: millimetres, x to the right, y down, from the top left
// corner. Whoever draws it scales it to the space there is.
type Figure struct {
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
	Views  []View  `json:"views"`

	Facings []Facing `json:"facings,omitempty"` // of the boots whose facing is cut otherwise than the pattern's
}

// Facing is where the two edges of one boot's facing run, eyelet by eyelet.
type Facing struct {
	Foot    Foot     `json:"foot"`
	Eyelets []Eyelet `json:"eyelets"` // from the toe end
}

// View is one of the drawings of a figure: a sole seen from above (left on the left), or a side of a boot.
type View struct {
	Kind  ViewKind `json:"kind"`
	Foot  Foot     `json:"foot"`
	Key   string   `json:"key"` // of the sentence that names it
	X     float64  `json:"x"`   // of its box in the figure
	Y     float64  `json:"y"`
	W     float64  `json:"w"`
	H     float64  `json:"h"`
	Paths []Path   `json:"paths"` // in figure coordinates
	Marks []Mark   `json:"marks"`
}

// ViewKind says what is seen.
type ViewKind string

// The kinds of view.
const (
	SoleView  ViewKind = "sole"
	InnerView ViewKind = "inner"
	OuterView ViewKind = "outer"
)

// Path is a line or an area.
type Path struct {
	Style    Style     `json:"style"`
	Segments []Segment `json:"segments"`
}

// Style says what a path is; how that looks is the renderer's choice.
type Style string

// The styles.
const (
	Outline  Style = "outline"  // closed, the boot's own
	Detail   Style = "detail"   // thin line
	Standard Style = "standard" // where an edge would run without the change: dashed
	Changed  Style = "changed"  // where it runs: heavy
	Hatch    Style = "hatch"    // fine lines that tell the right boot from the left without colour
	Dots     Style = "dots"     // small closed circles that do the same for the left
	Outward  Style = "outward"  // arrow
	Inward   Style = "inward"   // arrow
)

// Segment is one step of a path: M and L have one point, C two control points and its end, Z none.
type Segment struct {
	Op     string    `json:"op"`
	Points []float64 `json:"points,omitempty"` // x, y, x, y …
}

// Mark is a numbered spot where something is special.
type Mark struct {
	Number int     `json:"number"` // from 1, left to right boot, the same in every view
	Foot   Foot    `json:"foot"`
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	ID     string  `json:"id"` // of the instruction

	Text message.Phrase `json:"text"` // what the instruction says
}
