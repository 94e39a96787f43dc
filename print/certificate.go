package print

import (
	"io"
	"math"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
)

// Certificate is a released pair as it was built: what was ordered, what was measured and how that was
// judged, what was conceded, and who released it.
type Certificate struct {
	Job      *jobs.Job
	Customer string
	Pattern  string
	Address  string            // of the workshop
	People   map[string]string // names by key
	Agreed   map[string]string // who agreed to a concession, by the key of the private record
	Lots     []jobs.Holding    // the materials that went into the pair
	URL      string            // opens the workshop's own record of the job, to compare with
	Seal     string            // the hash of the ledger's entry of the release: the record cannot be changed after it
}

// AsBuilt writes the certificate of a released pair. Faults: print.unreleased, print.address.
func AsBuilt(w io.Writer, one Certificate, p Paper, o Origin) (Made, error) {
	if one.Job.Released == nil {
		return Made{}, &message.Fault{
			Kind: message.Refused, Key: "print.unreleased", Args: message.Args{"job": jobs.NumberText(one.Job.Number)},
		}
	}
	c := newCanvasOn(p, o.about("print.title.certificate", message.Args{"job": jobs.NumberText(one.Job.Number)}))
	if err := c.certificate(one, o); err != nil {
		return Made{}, err
	}
	return c.finish(w)
}

func (c *canvas) certificate(one Certificate, o Origin) error {
	square, err := newSymbol(one.URL)
	if err != nil {
		return addressFault(one.URL)
	}
	certificate{Certificate: one, c: c, square: square, origin: o}.draw()
	return nil
}

// certificate is one on its way to paper.
type certificate struct {
	Certificate
	c      *canvas
	square symbol
	origin Origin
}

const certificateHead, certificateFoot = 34.0, 12.0 // mm

func (d certificate) draw() {
	c := d.c
	f := &flow{c: c, width: c.area.w, space: func(page int) (top, bottom float64) {
		return c.area.y + certificateHead, c.area.bottom() - certificateFoot
	}}
	f.newPage()
	d.built(f)
	d.measured(f)
	d.conceded(f)
	d.lots(f)
	d.release(f)
	for i, page := range f.pages {
		c.addPage()
		d.head()
		d.foot(i+1, len(f.pages))
		for _, one := range page {
			one.draw(one.x, one.y)
		}
	}
}

func (d certificate) head() {
	c := d.c
	side := d.square.side(qrModule)
	quiet := qrQuiet * qrModule
	c.symbol(d.square, c.area.right()-side+quiet, c.area.y-quiet, qrModule)
	right := c.area.right() - side + quiet - 3
	room := right - c.area.x
	small := style{size: 9.5}
	house := style{face: bold, size: 11}
	workshop := c.clean(d.origin.Workshop)
	c.text(house.fit(workshop, room, 4), c.area.x, c.area.y+house.lift(), workshop)
	y := c.area.y + house.line()
	address := small.fit(c.clean(d.Address), room, 4)
	c.text(address, c.area.x, y+small.lift(), d.Address)
	y += small.line() + 1
	title := style{face: bold, size: 22}
	text := c.say("print.certificate", message.Args{"job": jobs.NumberText(d.Job.Number)})
	c.text(title.fit(text, room, 12), c.area.x, y+title.lift(), text)
	y += title.line()
	for _, line := range []string{
		c.show(pairOf(d.Pattern, d.Job.Sheet.Spec.Size)),
		c.say("print.certificate.sheet", message.Args{"sheet": d.Job.Sheet.Number, "customer": d.Customer}),
	} {
		line = c.clean(line)
		c.text(small.fit(line, room, 6), c.area.x, y+small.lift(), line)
		y += small.line()
	}
	c.line(c.area.x, c.area.y+certificateHead-2.5, c.area.right(), c.area.y+certificateHead-2.5, 0.5)
}

func (d certificate) foot(page, pages int) {
	c := d.c
	s := style{size: 8}
	y := c.area.bottom() - certificateFoot + 2.5
	c.line(c.area.x, y, c.area.right(), y, 0.3)
	c.textRight(s, c.area.right(), y+1+s.lift(), c.say("print.page", message.Args{"page": page, "pages": pages}))
	text := c.clean(c.say("print.certificate.verify", message.Args{"url": d.URL}))
	c.text(s.fit(text, c.area.w-26, 5), c.area.x, y+1+s.lift(), text)
	if d.Seal != "" {
		seal := c.clean(c.say("print.certificate.seal", message.Args{"seal": d.Seal}))
		c.text(s.fit(seal, c.area.w, 5), c.area.x, y+1+s.line()+s.lift(), seal)
	}
}

func (d certificate) section(f *flow, title string, rows []part) {
	c := d.c
	f.addBlock(block{rows: rows, flows: true, head: func(continued bool) part {
		return part{height: 7.5, draw: func(x, y float64) {
			s := style{face: bold, size: 12}
			c.text(s, x, y+s.lift(), c.again(title, continued))
			c.line(x, y+6, x+f.width, y+6, 0.25)
		}}
	}})
}

// built lists what was made, with the special in bold.
func (d certificate) built(f *flow) {
	p := sheetPage{c: d.c}
	var rows []part
	for _, i := range d.Job.Sheet.Instructions {
		s := style{size: 9}
		if i.Special {
			s.face = bold
		}
		text := i.Text(d.c.lang)
		if i.Work.IsSum() {
			text, _ = girth(text) // how it came about is the workshop's own matter
		}
		lines := d.c.wrap(s, d.c.say("named", message.Args{"what": footWord(i.Foot), "name": text}), f.width-4)
		rows = append(rows, p.textRows(s, lines, 2)...)
	}
	d.section(f, d.c.say("print.certificate.built", nil), rows)
}

// The columns of what was measured, in mm from the left edge.
const (
	footAt, wantedAt, valueAt, verdictAt, whoAt = 62.0, 73.0, 102.0, 131.0, 159.0
)

func (d certificate) measured(f *flow) {
	c := d.c
	s, strong, small := style{size: 8.5}, style{face: bold, size: 8.5}, style{size: 7}
	head := part{height: 5.5, draw: func(x, y float64) {
		for _, column := range []struct {
			at  float64
			key string
		}{{0, "print.check"}, {footAt, "print.foot"}, {wantedAt, "print.allowed"}, {valueAt, "print.found"}, {verdictAt, "print.verdict"}, {whoAt, "print.with.by"}} {
			c.text(strong, x+column.at, y+strong.lift(), c.say(column.key, nil))
		}
	}}
	var rows []part
	for _, one := range d.Job.Sheet.Checks {
		lines := c.wrap(s, one.Text(c.lang), footAt-3)
		limits := c.say("print.between", message.Args{"lower": valueOf(one.Lower, ""), "upper": valueOf(one.Upper, one.Unit)})
		found, who := c.say("print.unmeasured", nil), ""
		var verdict check.Verdict
		if r, ok := d.latest(one.ID); ok {
			found = c.show(uncertain(r.result.Value, r.result.Expanded(), one.Unit))
			verdict = r.result.Verdict
			who = c.say("print.gauge.by", message.Args{"gauge": r.gauge, "by": nameOf(d.People, r.by)})
		}
		whoLines := c.wrap(small, who, f.width-whoAt)
		height := max(float64(len(lines))*s.line(), float64(len(whoLines))*small.line()) + 1.2
		rows = append(rows, part{lead: &head, height: height, draw: func(x, y float64) {
			c.lines(s, x, y+0.6, lines)
			base := y + 0.6 + s.lift()
			foot := c.clean(c.show(footWord(one.Foot)))
			c.text(s.fit(foot, wantedAt-footAt-1, 5), x+footAt, base, foot)
			limits, found := c.clean(limits), c.clean(found)
			c.text(s.fit(limits, valueAt-wantedAt-1, 5), x+wantedAt, base, limits)
			c.text(strong.fit(found, verdictAt-valueAt-1, 5), x+valueAt, base, found)
			if verdict != "" {
				c.verdict(verdict, x+verdictAt, base-1)
				word := c.clean(verdict.Text(c.lang))
				c.text(s.fit(word, whoAt-verdictAt-5, 5), x+verdictAt+4, base, word)
			}
			c.lines(small, x+whoAt, y+0.6, whoLines)
		}})
	}
	if len(rows) > 0 {
		d.section(f, c.say("print.certificate.measured", nil), rows)
	}
}

// uncertain is a value with its uncertainty: that to two digits, and the value to the same place, zeros and
// all (JCGM 100:2008, 7.2.6).
func uncertain(value, u float64, unit string) any {
	if u <= 0 {
		return valueOf(value, unit)
	}
	places := 0
	for scale := 1.0; math.Round(u*scale) < 10 && places < 6; scale *= 10 {
		places++
	}
	if places == 0 {
		value, u = math.Round(value), math.Round(u)
	}
	return message.Phrase{Key: "print.uncertain", Args: message.Args{
		"value": message.Quantity{Value: value, Decimals: places}, "u": message.Quantity{Value: u, Decimals: places, Unit: unit},
	}}
}

// verdict draws a verdict's shape: a full disc is in, a cross is out, an open diamond is too close to call.
func (c *canvas) verdict(v check.Verdict, x, y float64) {
	const r = 1.3
	switch v {
	case check.In:
		c.disc(x+r, y, r, pen{fill: grey(0)})
	case check.Out:
		c.path([]step{
			{op: 'M', points: [3][2]float64{{x, y - r}}},
			{op: 'L', points: [3][2]float64{{x + 2*r, y + r}}},
			{op: 'M', points: [3][2]float64{{x, y + r}}},
			{op: 'L', points: [3][2]float64{{x + 2*r, y - r}}},
		}, pen{thick: 0.6})
	default:
		c.path(polygon([2]float64{x + r, y - r}, [2]float64{x + 2*r, y}, [2]float64{x + r, y + r}, [2]float64{x, y}), pen{thick: 0.3})
	}
}

// measuredValue is the last that was found of a check.
type measuredValue struct {
	result check.Result
	gauge  string
	by     string
}

func (d certificate) latest(id string) (last measuredValue, ok bool) {
	for _, s := range d.Job.Steps {
		for _, r := range s.Readings {
			for _, o := range r.Outcomes {
				if o.Check == id {
					last, ok = measuredValue{o.Result, r.Gauge.Name, r.By}, true
				}
			}
		}
	}
	return last, ok
}

func (d certificate) conceded(f *flow) {
	p := sheetPage{c: d.c}
	s := style{size: 9}
	var rows []part
	for _, one := range d.Job.Decisions {
		if one.Disposition != jobs.Concession {
			continue
		}
		agreed := d.Agreed[one.AgreedBy]
		if agreed == "" {
			agreed = d.c.say("print.erased", nil)
		}
		text := d.c.say("print.conceded", message.Args{
			"foot": footWord(one.Foot), "found": one.Found, "agreed": agreed,
			"by": nameOf(d.People, one.By), "when": momentOf(one.At, d.origin.Zone),
		})
		rows = append(rows, p.textRows(s, d.c.wrap(s, text, f.width-4), 2)...)
	}
	if len(rows) == 0 {
		text := d.c.say("print.conceded.none", nil)
		rows = p.textRows(s, d.c.wrap(s, text, f.width-4), 2)
	}
	d.section(f, d.c.say("print.certificate.conceded", nil), rows)
}

func (d certificate) lots(f *flow) {
	if len(d.Lots) == 0 {
		return
	}
	p := sheetPage{c: d.c}
	s := style{size: 9}
	var rows []part
	for _, lot := range d.Lots {
		text := d.c.say("print.lot", message.Args{"material": lot.Name, "lot": lot.Lot, "operation": lot.Operation, "foot": footWord(lot.Foot)})
		rows = append(rows, p.textRows(s, d.c.wrap(s, text, f.width-4), 2)...)
	}
	d.section(f, d.c.say("print.certificate.lots", nil), rows)
}

// release is who says that the pair may leave, with room for a signature.
func (d certificate) release(f *flow) {
	c := d.c
	s := style{face: bold, size: 11}
	lines := c.wrap(s, c.say("print.released", message.Args{"signed": signed(d.People, d.Job.Released, d.origin.Zone)}), f.width*0.55)
	d.section(f, c.say("print.certificate.release", nil), []part{{height: max(16, float64(len(lines))*s.line()+2), draw: func(x, y float64) {
		c.lines(s, x+2, y+1, lines)
		c.line(x+f.width*0.6, y+12, x+f.width, y+12, 0.25)
		small := style{size: 7.5}
		c.text(small, x+f.width*0.6, y+12.5+small.lift(), c.say("print.signature", nil))
	}}})
}
