package templates

// Quality is what the readings tell, for lead and inspector.
type Quality struct {
	Frame
	Filters     []Filter
	Series      string // what is charted, in words; empty when there are no readings
	Count       int    // of its readings
	Charts      []Chart
	FalseAlarms string // how often the run rules signal when nothing has changed
	Signals     []Signal
	Capability  []Figure
	Trust       string // how far so few readings can be trusted, or why there is no capability
	Risks       []Figure
	RisksWhy    string // for which gauge and rule they hold, or why there are none
	Indicators  []Figure
	Paretos     []Pareto
	Chains      []Chain
	CSVs        []Link // all of it for a spreadsheet
}

// Page is "quality".
func (Quality) Page() string { return "quality" }

// Filter is one way to narrow what is charted.
type Filter struct {
	Name, Label string
	Choices     []Choice
}

// Chart is a chart drawn for a page, with its table. Distances down are in pixels of the drawing, those
// across in percent of its width, so that it fits any screen and its words stay readable.
type Chart struct {
	ID     string // in the ids of the page
	Title  string
	Text   string // all of it in words
	Tall   float64
	Wide   float64 // units across of Curve, which are stretched to the drawing's width
	Curve  string  // the d of an SVG path
	Ticks  []ChartLine
	Levels []ChartLine
	Dots   []ChartDot
	Marks  []ChartDot // points of a signal
	From   string     // the day of the first point
	Until  string
	Head   []string // of the table
	Rows   []ChartRow
	More   string // that the table does not hold all
}

// ChartLine is a level across a chart.
type ChartLine struct {
	Kind string // "centre", "control", "limit"; of a tick: "tick"
	Y    float64
	Text string
}

// ChartDot is a point of a chart.
type ChartDot struct {
	X    float64 // percent
	Y    float64
	Text string
}

// ChartRow is one point in the table of a chart.
type ChartRow struct {
	Number string // of the pair; empty where the row is of none
	Cells  []string
	Marked bool // it is part of a signal
}

// Signal is a pattern that a chart found, with the pairs concerned and what the lead made of it.
type Signal struct {
	Key    string // as it is sent
	ID     string // in the ids of the page
	Rule   string // in words
	Check  string
	When   string
	Pairs  []Link
	Hint   string // whether the gauge, the person or the pattern is common to all of them
	Chart  string // address of its chart
	Note   string // what the lead made of it; empty while an answer is owed
	By, At string
	Anew   bool // the chart begins again after it
	May    bool // this person may answer
}

// Figure is a number with its name and what it means.
type Figure struct {
	Name, Value, Means string
}

// Pareto is how often each of some things was found, the most frequent first.
type Pareto struct {
	Title string
	Bars  []ParetoBar
}

// ParetoBar is one of them.
type ParetoBar struct {
	Name  string
	Count int
	Share float64 // of all, 0 to 1
	Text  string  // "5 of 12, 42 %; together 42 %"
}

// Chain is what one pair went through after something was found on it.
type Chain struct {
	Pairs []Link // the job, and those that replaced it
	Steps []string
	Open  bool
}

// Gauges is the register of gauges.
type Gauges struct {
	Frame
	List  []GaugeLine
	Grace int // days for which an overdue gauge is still taken
	CSV   string
}

// Page is "gauges".
func (Gauges) Page() string { return "gauges" }

// GaugeLine is one gauge as it is now.
type GaugeLine struct {
	Key, Name     string
	Kind          string
	Step          string // "0.01 mm"
	Uncertainty   string // of its calibration, standard
	Repeatability string // with where it is from
	Calibrated    string
	Due           string
	State         Verdict // in: current; close: overdue; out: refused
	Says          string  // the state in words
}

// Gauge is one gauge with its history, its studies and every pair that it passed.
type Gauge struct {
	Frame
	Gauge   GaugeLine
	History []GaugeEvent
	Studies []StudyLine
	MayKeep bool
	Today   string // for a date field
	People  []Choice
	Since   string // since when the pairs are listed
	Until   string // the day on which it was found wrong; empty where it was not
	Passed  []PassedLine
	CSV     string
}

// Page is "gauge".
func (Gauge) Page() string { return "gauge" }

// GaugeEvent is what was recorded of a gauge.
type GaugeEvent struct {
	Number string // of the entry; empty where the shop file says it
	At     string
	Who    string
	What   string
}

// StudyLine is one study of a gauge.
type StudyLine struct {
	Href, Text string
}

// PassedLine is a pair with what a gauge found in on it.
type PassedLine struct {
	Number string
	Checks []string // each with its value
	Read   string   // when and by whom, the last of them
	Where  string   // where the pair is now
}

// Study is a gauge study: the blind entry of its readings, or what they come to.
type Study struct {
	Frame
	Gauge    GaugeLine
	Study    string
	Done     int
	Total    int
	Person   string // who reads next
	Trial    int
	From     int // index of the first reading asked for
	Readings []StudyReading
	Anew     string // address at which the readings entered last can be entered anew
	Results  []StudyResult
	Verdict  string // in plain words
	Notes    []string
	Becomes  []Figure // what the gauge's numbers become
	MayAdopt bool
	Adopted  string // by whom and when
	CSV      string
}

// Page is "study".
func (Study) Page() string { return "study" }

// StudyReading is one reading to take.
type StudyReading struct {
	Name, Label string
}

// StudyResult is one quantity of a study by both methods.
type StudyResult struct {
	Name, Variance, Range string
}

// Recall answers which pairs hold a lot.
type Recall struct {
	Frame
	Lot   string
	Asked bool
	Found []RecallLine
	Lots  []Link // recorded last, to choose from
	CSV   string
}

// Page is "recall".
func (Recall) Page() string { return "recall" }

// RecallLine is one pair that holds the lot.
type RecallLine struct {
	Number   string
	Customer string
	Material string
	Lot      string
	Foot     Foot
	Where    string // at which operation it went in
	At, By   string
	Now      string // where the pair is now
}

// Bias is how far a gauge reads off references, and whether that changes along its range.
type Bias struct {
	Frame
	Gauge     GaugeLine
	Lines     string // as they were typed
	Rows      []BiasRow
	Linearity []Figure
	Says      []string // what it comes to in plain words
}

// Page is "bias".
func (Bias) Page() string { return "bias" }

// BiasRow is what was read of one reference.
type BiasRow struct {
	Reference string
	Count     int
	Bias      string
	Interval  string
	Says      string // whether it can be told from nought
}
