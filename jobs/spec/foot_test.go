package spec

import (
	"encoding/json"
	"testing"

	"lastroom/jobs/message"
)

func TestAPairInJSON(t *testing.T) {
	for _, row := range []struct {
		name string
		pair Pair[int]
		text string
	}{
		{"both the same", Pair[int]{1, 1}, `{"both":1}`},
		{"nothing", Pair[int]{}, `{"both":0}`},
		{"one foot", Pair[int]{0, 2}, `{"right":2}`},
		{"either its own", Pair[int]{-1, 2}, `{"left":-1,"right":2}`},
	} {
		t.Run(row.name, func(t *testing.T) {
			raw, err := json.Marshal(row.pair)
			if err != nil || string(raw) != row.text {
				t.Errorf("wrote %s, %v; want %s", raw, err, row.text)
			}
			var back Pair[int]
			if err := json.Unmarshal([]byte(row.text), &back); err != nil || back != row.pair {
				t.Errorf("read %v, %v; want %v", back, err, row.pair)
			}
		})
	}
	for _, wrong := range []string{`{"both":1,"left":2}`, `{"middle":1}`, `1`, `{"left":"x"}`} {
		var p Pair[int]
		if json.Unmarshal([]byte(wrong), &p) == nil {
			t.Errorf("%s was read as %v", wrong, p)
		}
	}
}

func TestFeet(t *testing.T) {
	if !Both.Has(Left) || !Left.Has(Left) || Left.Has(Right) || !Foot("").Has(Right) {
		t.Error("Has is wrong")
	}
	if Left.Other() != Right || Right.Other() != Left || Both.Other() != Both {
		t.Error("Other is wrong")
	}
	var seen []Foot
	Pair[int]{0, 3}.EachFoot(func(f Foot, v int) { seen = append(seen, f) })
	Pair[int]{3, 3}.EachFoot(func(f Foot, v int) { seen = append(seen, f) })
	Pair[int]{}.EachFoot(func(f Foot, v int) { seen = append(seen, f) })
	if len(seen) != 2 || seen[0] != Right || seen[1] != Both {
		t.Errorf("EachFoot went over %v", seen)
	}
}

func TestADayIsWrittenOneWay(t *testing.T) {
	if d, err := ParseDate("2026-02-28"); err != nil || d != "2026-02-28" {
		t.Errorf("%v %v", d, err)
	}
	for _, wrong := range []string{"", "2026-2-8", "2026-02-29", "28.02.2026", "02/28/2026", "2026-02-28T00:00:00Z"} {
		_, err := ParseDate(wrong)
		if f := message.Faults(err); len(f) != 1 || f[0].Key != "spec.date" {
			t.Errorf("%q: %v", wrong, err)
		}
	}
}
