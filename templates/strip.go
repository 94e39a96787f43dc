package templates

// Strip is time drawn for one pair: what happened, what is expected, and the spread of the forecast as
// a taper. Places along it are shares of its whole length, 0 at its beginning and 1 at its end.
type Strip struct {
	Text    string // all of it in words
	Bars    []StripBar
	Ticks   []StripTick
	Now     float64
	Promise float64 // 0 when none was given
	Taper   Taper
}

// StripBar is a stretch of one kind: "work", "rest", "wait", "hold" or "expected".
type StripBar struct {
	From, To float64
	Kind     string
	Text     string
}

// StripTick is a mark of the calendar.
type StripTick struct {
	At   float64
	Text string
}

// Taper is where the finish lies: the times by which it is reached with 10, 50, 80 and 95 in a hundred.
type Taper struct {
	P10, P50, P80, P95 float64
}
