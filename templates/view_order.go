package templates

// OrderForm takes an order, bench by bench, and says beside it what the review finds.
type OrderForm struct {
	Frame
	Draft    string // key of the saved draft; empty for one that was never saved
	Saved    string // when and by whom it was saved last
	SavedAt  string // the same instant, to tell whether somebody else has saved it since
	Base     string // the spec that the fields show, as the server wrote it
	Benches  []FormBench
	Photos   []PhotoForm
	Limit    string // largest photo
	Reviewed bool   // there was enough to review
	Summary  string // of the review, in one line
	Findings []Finding
	Quote    Forecast // what the desk can promise
	Blocked  bool     // it can't be opened as it is
	Earlier  Earlier
}

// Page is "order-form".
func (OrderForm) Page() string { return "order-form" }

// FormBench is the fields of one bench in the order form.
type FormBench struct {
	Key    string
	Name   string
	Open   bool // unfolded
	Filled int  // fields that say something
	Fields []FormField
}

// FormField is a field of the order form, with what the review says about it.
type FormField struct {
	SpecField
	Kind string // of the input: date, tel; empty for text
	Said []Beside
}

// Beside is what the review says about one field.
type Beside struct {
	Finding  string // its ID
	Severity string
	Text     string
}

// Drawing is a photo with numbered marks on it, in pixels of the photo.
type Drawing struct {
	Src           string
	Text          string // what it shows, in words
	Width, Height int
	Radius        int // of a mark
	Marks         []PhotoMark
}

// PhotoMark is one numbered mark.
type PhotoMark struct {
	Number, Left, Top int
}

// Photo is a picture of a foot and what is done at its points, which are numbered from 1 in order.
type Photo struct {
	Drawing Drawing
	Foot    Foot
	Points  []PhotoPoint
}

// PhotoPoint is where a point lies, in percent from the left and from the top, and what is done there.
type PhotoPoint struct {
	X, Y, For string
}

// PhotoForm is a photo whose points can be set.
type PhotoForm struct {
	ID      string // in the names of its fields
	Drawing Drawing
	Foot    Foot
	Feet    []Choice
	Rows    []PointRow
}

// PointRow is the fields of one point; the last row is empty.
type PointRow struct {
	Number  int
	X, Y    string
	For     string // what is done there, with its value
	Choices []Choice
}

// Earlier is what is known of the pair that an order repeats.
type Earlier struct {
	Number string
	Said   []string // what to look at
	Built  []BuiltLine
}

// BuiltLine is one value of the earlier pair: as ordered, as measured.
type BuiltLine struct {
	What    string
	Foot    Foot
	Ordered string
	Built   string
}

// DraftLine is a draft in the list.
type DraftLine struct {
	Key      string
	Customer string
	Pattern  string
	Saved    string
}
