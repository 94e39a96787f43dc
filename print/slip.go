package print

import (
	"io"
	"strings"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/code"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
)

// CustomerSlip is what the customer takes home: the number to ask by and the day to come. It carries no
// square and nothing of the order but the pattern: whoever finds it learns little.
type CustomerSlip struct {
	Job      int
	Customer string // as the shop's privacy choice says
	Pattern  string
	Size     spec.Size
	Received spec.Date
	Promise  *jobs.Promise
	Address  string // of the workshop
	Contact  string // telephone or mail of the workshop
}

// CustomerSlips writes slips, two on a page, with a line to cut along. Faults: print.none.
func CustomerSlips(w io.Writer, slips []CustomerSlip, p Paper, o Origin) (Made, error) {
	if len(slips) == 0 {
		return Made{}, &message.Fault{Kind: message.Invalid, Key: "print.none"}
	}
	c := newCanvasOn(p, o.about("print.title.slips", message.Args{"count": len(slips)}))
	c.customerSlips(slips, o)
	return c.finish(w)
}

func (c *canvas) customerSlips(slips []CustomerSlip, o Origin) {
	half := c.area.h / 2
	for i, one := range slips {
		y := c.area.y
		if i%2 == 0 {
			c.addPage()
			c.line(c.area.x, c.area.y+half, c.area.right(), c.area.y+half, 0.15)
		} else {
			y += half + 8
		}
		c.customerSlip(one, rect{c.area.x, y, c.area.w, half - 8}, o)
	}
}

func (c *canvas) customerSlip(one CustomerSlip, at rect, o Origin) {
	house := style{face: bold, size: 16}
	y := c.lines(house, at.x, at.y, c.wrap(house, o.Workshop, at.w))
	small := style{size: 10}
	for _, line := range []string{one.Address, one.Contact} {
		y = c.lines(small, at.x, y, c.wrap(small, line, at.w))
	}
	y += 3
	c.line(at.x, y, at.right(), y, 0.5)
	y += 3
	label := style{size: 11}
	c.text(label, at.x, y+label.lift(), c.say("print.slip.number", nil))
	y += label.line() + 2.5
	big := style{face: bold, size: 84}.fit(jobs.NumberText(one.Job), at.w*0.5, 30)
	c.text(big, at.x, y+big.rise(), jobs.NumberText(one.Job))
	right := at.x + at.w*0.54
	ready := style{face: bold, size: 20}
	when, sure := c.say("print.slip.unpromised", nil), ""
	if one.Promise != nil {
		when = c.say("print.slip.promise", message.Args{"day": dayOf(one.Promise.Day)})
		sure = c.say("print.slip.sure", message.Args{"confidence": jobs.Confidence(one.Promise.Confidence)})
	}
	under := c.lines(ready, right, y, c.wrap(ready, when, at.right()-right))
	if sure != "" {
		c.lines(label, right, under+1, c.wrap(label, sure, at.right()-right))
	}
	y += big.rise() + 5
	for _, row := range []struct {
		key  string
		said any
	}{
		{"print.slip.for", one.Customer},
		{"print.slip.pair", pairOf(one.Pattern, one.Size)},
		{"print.slip.received", dayOf(one.Received)},
	} {
		text := c.show(row.said)
		if text == "" {
			continue
		}
		c.text(label, at.x, y+label.lift(), c.say(row.key, nil))
		strong := style{face: bold, size: 11}
		y = c.lines(strong, at.x+34, y, c.wrap(strong, text, at.w-34))
	}
	note := style{size: 9}
	lines := c.wrap(note, c.say("print.slip.note", nil), at.w)
	c.lines(note, at.x, at.bottom()-float64(len(lines))*note.line(), lines)
}

// ReworkSlip goes with a pair that was sent back: what was found, where it goes, what to do there, and
// what to measure again.
type ReworkSlip struct {
	Job      *jobs.Job
	Decision jobs.Decision
	Code     code.Code // of the sheet in force
	URL      string
	People   map[string]string // names by key
}

// ReworkSlips writes a slip on each page. Faults: print.none, print.address.
func ReworkSlips(w io.Writer, slips []ReworkSlip, p Paper, o Origin) (Made, error) {
	if len(slips) == 0 {
		return Made{}, &message.Fault{Kind: message.Invalid, Key: "print.none"}
	}
	c := newCanvasOn(p, o.about("print.title.rework", message.Args{"job": jobs.NumberText(slips[0].Job.Number)}))
	for _, one := range slips {
		if err := c.reworkSlip(one, o); err != nil {
			return Made{}, err
		}
	}
	return c.finish(w)
}

func (c *canvas) reworkSlip(one ReworkSlip, o Origin) error {
	square, err := newSymbol(one.URL)
	if err != nil {
		return addressFault(one.URL)
	}
	t := Ticket{Ticket: workshop.Ticket{
		Sheet: one.Job.Sheet, Code: one.Code, URL: one.URL, Workshop: o.Workshop, Zone: o.Zone, Printed: o.Printed,
	}}
	p := sheetPage{c: c, t: t, square: square}
	f := &flow{c: c, width: c.area.w, space: func(int) (top, bottom float64) {
		return c.area.y + laterHead.height, c.area.bottom() - footHeight
	}}
	f.newPage()
	large, body := style{face: bold, size: 15}, style{size: 11}
	section := func(title string, rows []part) {
		f.addBlock(block{framed: true, rows: rows, head: func(continued bool) part {
			return part{height: 7.2, draw: func(x, y float64) {
				c.ground(rect{x, y, f.width, 7}, 0)
				s := style{face: bold, size: 13, white: true}
				c.text(s, x+3, y+3.5+s.rise()/2, c.again(title, continued))
			}}
		}})
	}
	d := one.Decision
	found := p.textRows(large, c.wrap(large, d.Found, f.width-8), 4)
	found = append(found, p.textRows(body, c.wrap(body, c.say("print.rework.by", message.Args{
		"by": nameOf(one.People, d.By), "when": momentOf(d.At, o.Zone),
	}), f.width-8), 4)...)
	section(c.say("print.rework.found", message.Args{"foot": footWord(d.Foot)}), found)

	to, _, _ := one.Job.Sheet.Operation(d.To)
	name := to.Name
	if name == "" {
		name = d.To
	}
	var todo []part
	for _, i := range one.Job.Sheet.InstructionsAt(d.To) {
		if d.Foot != spec.Both && i.Foot.Has(d.Foot) {
			i.Foot = d.Foot // the other boot stays as it is
		}
		if d.Foot == spec.Both || i.Foot == d.Foot {
			todo = append(todo, p.instruction(i, 0)...)
		}
	}
	lead := p.tickHead()
	for k := range todo {
		todo[k].lead = &lead
	}
	if len(todo) == 0 {
		todo = append(todo, p.plainRow(c.say("print.nothing", nil)))
	}
	section(c.say("print.rework.to", message.Args{"station": name}), append(todo, p.signOff()))

	var checks []part
	table := p.checkHead()
	for _, r := range paired(againChecks(one.Job.Sheet.Checks, d.Checks)) {
		row := p.check(r)
		row.lead = &table
		checks = append(checks, row)
	}
	if len(checks) > 0 {
		section(c.say("print.rework.measure", nil), append(checks, p.signOff()))
	}
	for i, page := range f.pages {
		c.addPage()
		p.slipHead(c.say("print.rework", nil), one.Decision.Foot)
		p.foot(i+1, len(f.pages))
		for _, part := range page {
			part.draw(part.x, part.y)
		}
	}
	return nil
}

// againChecks are the checks of the ids, and those that share readings with them.
func againChecks(all []spec.Check, ids []string) []spec.Check {
	groups, wanted := map[string]bool{}, map[string]bool{}
	for _, id := range ids {
		wanted[id] = true
	}
	for _, one := range all {
		if wanted[one.ID] && one.Group != "" {
			groups[one.Group] = true
		}
	}
	var out []spec.Check
	for _, one := range all {
		if wanted[one.ID] || groups[one.Group] {
			out = append(out, one)
		}
	}
	return out
}

// nameOf is the name of a person, or the key where the workshop has forgotten it.
func nameOf(people map[string]string, key string) string {
	if name := people[key]; name != "" {
		return name
	}
	return strings.TrimSpace(key)
}

// signed says who did something and when.
func signed(people map[string]string, s *jobs.Signature, zone *time.Location) any {
	if s == nil {
		return ""
	}
	return message.Phrase{Key: "print.signed", Args: message.Args{"by": nameOf(people, s.By), "when": momentOf(s.At, zone)}}
}
