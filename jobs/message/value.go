package message

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"time"

	"golang.org/x/text/cases"
)

// Phrase is a sentence or a word of the catalogue as a value of another sentence.
type Phrase struct {
	Key  string `json:"key"`
	Args Args   `json:"args,omitempty"`
}

// Range is a run of whole numbers, both ends meant: "1–6", and "3" where they are one.
type Range struct {
	From int `json:"from"`
	To   int `json:"to"`
}

// List is several values as one: "a, b and c".
type List struct {
	Items []any  `json:"list"`
	As    string `json:"as"` // of the catalogue's patterns list.….more and list.….last: And, Or, Comma, Semicolon, Plus
}

// How lists are joined.
const (
	And       = "and"
	Or        = "or"
	Comma     = "comma"
	Semicolon = "semicolon"
	Plus      = "plus"
	Slash     = "slash"
	Space     = "space"
)

// Named is a thing by the workshop's own name of it, with the catalogue's word for what it is before the
// name, unless the name says so itself: "liner: soft leather", but "leather liner" alone.
type Named struct {
	Name string `json:"name"`
	Of   string `json:"of"` // key of the word
}

// Time is an instant, in the zone in which it is told.
type Time struct {
	At time.Time `json:"at"`
	As string    `json:"as"` // key of the pattern, such as Day
}

// The patterns of dates.
const (
	Day          = "date.day"            // Mon 2 Jan
	DayOfYear    = "date.day.year"       // Mon 2 Jan 2006
	DayOfMonth   = "date.day.month"      // 2 Jan
	LongDay      = "date.day.long"       // Mon 2 January 2006
	Clock        = "date.clock"          // 15:04
	DayClock     = "date.day.clock"      // Mon 2 Jan 15:04
	LongDayClock = "date.day.long.clock" // Mon 2 January 2006 15:04
)

// Words are texts as the items of a list.
func Words[T ~string](all []T) []any {
	items := make([]any, len(all))
	for i, one := range all {
		items[i] = string(one)
	}
	return items
}

// Show is one value in this language.
func (c *Catalogue) Show(v any) string {
	switch v := v.(type) {
	case string:
		return v
	case int:
		return c.number(strconv.Itoa(v), false)
	case float64:
		return c.number(strconv.FormatFloat(v, 'f', -1, 64), false)
	case Phrase:
		return c.Say(v.Key, v.Args)
	case Quantity:
		return c.quantity(v)
	case Range:
		if v.From == v.To {
			return c.Show(v.From)
		}
		return c.Say("range", Args{"from": v.From, "to": v.To})
	case List:
		return c.list(v)
	case Named:
		return c.named(v)
	case Time:
		return c.time(v)
	case Valuer:
		return c.Show(v.Value())
	}
	return fmt.Sprint(v)
}

// list joins the items: all but the last by the pattern "more", the last by the pattern "last".
func (c *Catalogue) list(l List) string {
	text := ""
	for i, item := range l.Items {
		key := "list." + l.As + ".more"
		if i == len(l.Items)-1 {
			key = "list." + l.As + ".last"
		}
		if i == 0 {
			text = c.Show(item)
			continue
		}
		text = c.Say(key, Args{"a": text, "b": item})
	}
	return text
}

func (c *Catalogue) named(n Named) string {
	what := c.Say(n.Of, nil)
	lower := cases.Lower(c.tag)
	if n.Name == "" || strings.Contains(lower.String(n.Name), lower.String(what)) {
		return n.Name
	}
	return c.Say("named", Args{"what": what, "name": n.Name})
}

func (c *Catalogue) time(t Time) string {
	two := func(n int) string {
		text := c.number(strconv.Itoa(n), false)
		if n < 10 {
			text = c.number("0", false) + text
		}
		return text
	}
	weekday, month := strconv.Itoa(int(t.At.Weekday())), strconv.Itoa(int(t.At.Month()))
	return c.Say(t.As, Args{
		"weekday": Phrase{Key: "date.weekday." + weekday}, "month": Phrase{Key: "date.month." + month},
		"Month": Phrase{Key: "date.month.long." + month},
		"day":   t.At.Day(), "year": t.At.Year(), "hour": two(t.At.Hour()), "minute": two(t.At.Minute()),
	})
}

// UnmarshalJSON reads each item as a value of a sentence.
func (l *List) UnmarshalJSON(raw []byte) error {
	var in struct {
		Items []json.RawMessage `json:"list"`
		As    string            `json:"as"`
	}
	if err := json.Unmarshal(raw, &in); err != nil {
		return err
	}
	*l = List{As: in.As}
	for _, part := range in.Items {
		v, err := unsealed(part)
		if err != nil {
			return err
		}
		l.Items = append(l.Items, v)
	}
	return nil
}

// MarshalJSON writes each item as Args write it.
func (l List) MarshalJSON() ([]byte, error) {
	items := make([]any, len(l.Items))
	for i, v := range l.Items {
		items[i] = sealed(v)
	}
	return json.Marshal(struct {
		Items []any  `json:"list"`
		As    string `json:"as"`
	}{items, l.As})
}

// A value that is printed elsewhere is in the default language.

func (p Phrase) String() string   { return Show(Default, p) }
func (s Range) String() string    { return Show(Default, s) }
func (l List) String() string     { return Show(Default, l) }
func (n Named) String() string    { return Show(Default, n) }
func (t Time) String() string     { return Show(Default, t) }
func (q Quantity) String() string { return Show(Default, q) }
