package spec

// point is a place in a view's own square, 0 to 1, y down.
type point struct{ x, y float64 }

// spot is where a place lies on the right sole (inner side at x = 0), and which way outwards is there.
type spot struct {
	at, out point
}

// The places on a sole seen from above.
var soleSpots = map[Place]spot{
	InnerAnkle:      {point{0.20, 0.78}, point{-1, 0}},
	OuterAnkle:      {point{0.82, 0.82}, point{1, 0}},
	Achilles:        {point{0.44, 0.985}, point{0, 1}},
	HeelBone:        {point{0.56, 0.985}, point{0, 1}},
	Navicular:       {point{0.27, 0.60}, point{-1, 0}},
	Arch:            {point{0.30, 0.50}, point{-1, 0}},
	Instep:          {point{0.50, 0.42}, point{0, -1}},
	FifthBase:       {point{0.84, 0.62}, point{1, 0}},
	FirstMetatarsal: {point{0.11, 0.29}, point{-1, 0}},
	FifthMetatarsal: {point{0.92, 0.34}, point{1, 0}},
	Toes:            {point{0.42, 0.01}, point{0, -1}},
}

// The places on the inner side and on the outer side, toe to the right.
var sideSpots = map[Side]map[Place]point{
	Inner: {
		InnerAnkle: {0.30, 0.48}, Navicular: {0.47, 0.58}, Arch: {0.50, 0.73}, FirstMetatarsal: {0.77, 0.71},
		Achilles: {0.17, 0.34}, HeelBone: {0.09, 0.66}, Instep: {0.64, 0.48}, Toes: {0.93, 0.66},
	},
	Outer: {
		OuterAnkle: {0.27, 0.53}, FifthBase: {0.48, 0.72}, FifthMetatarsal: {0.75, 0.72},
		Achilles: {0.17, 0.34}, HeelBone: {0.09, 0.66}, Instep: {0.64, 0.48}, Toes: {0.93, 0.66},
	},
}

// A right sole, and a boot from its side, as closed curves.
var (
	soleOutline = []Segment{
		{"M", []float64{0.5, 1}},
		{"C", []float64{0.28, 1, 0.2, 0.92, 0.23, 0.8}},
		{"C", []float64{0.25, 0.69, 0.31, 0.6, 0.28, 0.5}},
		{"C", []float64{0.24, 0.42, 0.13, 0.37, 0.1, 0.27}},
		{"C", []float64{0.07, 0.14, 0.18, 0.02, 0.36, 0}},
		{"C", []float64{0.62, -0.01, 0.86, 0.13, 0.92, 0.3}},
		{"C", []float64{0.96, 0.43, 0.86, 0.55, 0.82, 0.66}},
		{"C", []float64{0.79, 0.75, 0.82, 0.82, 0.79, 0.88}},
		{"C", []float64{0.75, 0.97, 0.66, 1, 0.5, 1}},
		{"Z", nil},
	}
	sideOutline = []Segment{
		{"M", []float64{0.08, 0.8}},
		{"L", []float64{0.94, 0.8}},
		{"C", []float64{1, 0.78, 1, 0.63, 0.9, 0.59}},
		{"C", []float64{0.86, 0.58, 0.83, 0.57, facingFoot.x, facingFoot.y}},
		{"L", []float64{facingTop.x, facingTop.y}},
		{"C", []float64{0.42, 0.05, 0.3, 0.04, backTop.x, backTop.y}},
		{"C", []float64{0.16, 0.18, 0.19, 0.34, 0.12, 0.5}},
		{"C", []float64{0.06, 0.6, 0.05, 0.72, 0.08, 0.8}},
		{"Z", nil},
	}
	holderLines = []Segment{
		{"M", []float64{0.14, 0.8}},
		{"L", []float64{0.18, 0.93}},
		{"L", []float64{0.32, 0.93}},
		{"L", []float64{0.36, 0.8}},
		{"M", []float64{0.64, 0.8}},
		{"L", []float64{0.68, 0.93}},
		{"L", []float64{0.82, 0.93}},
		{"L", []float64{0.86, 0.8}},
		{"M", []float64{0.08, 0.93}},
		{"L", []float64{0.96, 0.93}},
		{"C", []float64{0.99, 0.94, 0.98, 0.98, 0.94, 0.98}},
		{"L", []float64{0.1, 0.98}},
		{"C", []float64{0.07, 0.98, 0.07, 0.95, 0.08, 0.93}},
	}
	facingFoot = point{0.8, 0.56} // the toe end of the facing
	facingTop  = point{0.5, 0.1}
	backTop    = point{0.2, 0.02}
)
