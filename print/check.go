package print

import (
	"slices"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// row is one thing to measure, on the left, the right or both boots, or the left against the right.
type row struct {
	feet  [2]*spec.Check // left, right; nil where the foot is not measured
	match *spec.Check    // left against right
	again bool           // its readings are those of the row above
}

func (r row) any() spec.Check {
	for _, one := range []*spec.Check{r.match, r.feet[0], r.feet[1]} {
		if one != nil {
			return *one
		}
	}
	return spec.Check{}
}

// paired puts the check of the left boot beside the same one of the right: same sentence, same rule,
// same readings. What is not one to one stays apart. The order is that of the first of each pair.
func paired(checks []spec.Check) []row {
	var rows []row
	groups := map[string]bool{}
	for k := range checks {
		one := &checks[k]
		side := slices.Index(spec.Feet[:], one.Foot)
		if side < 0 {
			rows = append(rows, row{match: one})
			continue
		}
		again := one.Group != "" && groups[one.Group]
		groups[one.Group] = true
		at := slices.IndexFunc(rows, func(r row) bool {
			other := r.feet[1-side]
			return r.match == nil && r.feet[side] == nil && other != nil && r.again == again && alike(*other, *one)
		})
		if at < 0 {
			rows, at = append(rows, row{again: again}), len(rows)
		}
		rows[at].feet[side] = one
	}
	// A row whose readings are another's must stand under it, whatever came between the two feet.
	return slices.Clip(underTheirReadings(rows))
}

func alike(a, b spec.Check) bool {
	return a.Key == b.Key && a.Rule == b.Rule && a.Gauge == b.Gauge && a.Unit == b.Unit &&
		slices.Equal(a.Readings, b.Readings) && a.Args.Same(b.Args)
}

func underTheirReadings(rows []row) []row {
	var out []row
	for _, r := range rows {
		if !r.again {
			out = append(out, r)
			continue
		}
		at := slices.IndexFunc(out, func(first row) bool { return !first.again && first.any().Group == r.any().Group })
		for at++; at < len(out) && out[at].again; at++ {
		}
		out = slices.Insert(out, at, r)
	}
	return out
}

// The halves of a row of checks, in mm from the left edge of the block.
const (
	checkWords = 3.0
	checkWide  = 68.0 // of the words
	wantedWide = 22.5 // of nominal and limits in a half
	footGap    = 2.0
)

// half is where the boxes of a foot stand: 0 left, 1 right.
func (p sheetPage) half(side int) (from, wide float64) {
	wide = (p.c.area.w - checkWords - checkWide - 3 - footGap) / 2
	return checkWords + checkWide + float64(side)*(wide+footGap), wide
}

func (p sheetPage) checkHead() part {
	c := p.c
	return part{height: 7.6, draw: func(x, y float64) {
		c.line(x, y, x+c.area.w, y, 0.2)
		s, small := style{face: bold, size: 10}, style{size: 8}
		base := y + 3.8 + s.rise()/2
		c.text(s, x+checkWords, base, c.say("print.check", nil))
		for side, foot := range spec.Feet {
			from, _ := p.half(side)
			c.foot(foot, x+from, y+1.2, 5.2)
			c.text(small, x+from+7, base, c.say("print.wanted", nil))
			c.text(small, x+from+wantedWide, base, c.say("print.reading", nil))
		}
	}}
}

// check is one row: what is measured and with what, then for each foot what is wanted, what is allowed,
// and boxes to write the readings in.
func (p sheetPage) check(r row) part {
	c := p.c
	s, small := style{size: 9.5}, style{size: 7.5}
	one := r.any()
	lines := c.wrap(s, one.Text(c.lang), checkWide-3)
	note := ""
	switch {
	case r.again:
		note = c.say("print.same", nil)
	case one.Rule == spec.Match:
	case one.Gauge != "":
		note = c.say("print.with", message.Args{"gauge": message.Phrase{Key: "print.gauge." + one.Gauge}})
		if one.Times() > 1 {
			note = c.say("print.mean", message.Args{"count": one.Times(), "with": note})
		}
	}
	note = c.clean(note)
	notes := small.wrap(note, checkWide-3)
	// The note stands behind the words if there is room.
	behind := 0.0
	if len(lines) > 0 && note != "" {
		if w := s.width(lines[len(lines)-1]) + 2.5; w+small.width(note) <= checkWide-3 {
			behind, notes = w, nil
		}
	}
	high := float64(len(lines))*s.line() + float64(len(notes))*small.line()
	height := max(high+1.8, 9.4)
	if len(r.boxes(one)) > 1 {
		height = max(height, 12)
	}
	return part{height: height, draw: func(x, y float64) {
		c.line(x, y, x+c.area.w, y, 0.1)
		below := c.lines(s, x+checkWords, y+0.8, lines)
		if behind > 0 {
			c.text(small, x+checkWords+behind, below-s.line()+s.lift(), note)
		}
		c.lines(small, x+checkWords, below, notes)
		if r.match != nil {
			from, wide := p.half(0)
			p.cell(*r.match, x+from, y, wide, r.boxes(*r.match))
			return
		}
		for side, check := range r.feet {
			from, wide := p.half(side)
			if check == nil {
				c.line(x+from+2, y+4.5, x+from+7, y+4.5, 0.25)
				continue
			}
			p.cell(*check, x+from, y, wide, r.boxes(*check))
		}
	}}
}

// boxes names what is written down: the readings, unless they stand in the row above, and what is
// computed from them.
func (r row) boxes(one spec.Check) []string {
	switch {
	case r.again || one.Rule == spec.Match:
		return []string{"result"}
	case one.Rule == spec.Value || one.Rule == "" || len(one.Readings) == 0:
		return []string{"value"}
	}
	return append(slices.Clone(one.Readings), "result")
}

// cell is one foot's half of a row.
func (p sheetPage) cell(one spec.Check, x, y, wide float64, boxes []string) {
	c := p.c
	strong, small := style{face: bold, size: 11}, style{size: 7.5}
	wanted := c.clean(c.show(valueOf(one.Nominal, one.Unit)))
	limits := c.clean(c.say("print.between", message.Args{"lower": valueOf(one.Lower, ""), "upper": valueOf(one.Upper, "")}))
	room := wantedWide - 1.5
	c.text(strong.fit(wanted, room, 6), x, y+0.8+strong.lift(), wanted)
	c.text(small.fit(limits, room, 5), x, y+0.8+strong.line()+small.lift(), limits)
	each := (wide - wantedWide - 1.2*float64(len(boxes)-1)) / float64(len(boxes))
	for k, name := range boxes {
		at, top := x+wantedWide+float64(k)*(each+1.2), y+1.0
		if len(boxes) > 1 {
			label := c.clean(c.say("print.reading."+name, nil))
			c.text(small.fit(label, each, 5), at, top+small.lift()-0.4, label)
			top += small.line() - 0.3
		}
		c.box(rect{at, top, each, 7.4}, 0.25)
	}
}
