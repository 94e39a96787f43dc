package print

import (
	"slices"
	"strconv"
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
)

// changes says what this sheet changes against the one that it replaces.
func (p sheetPage) changes(f *flow) {
	if p.t.Sheet.Number < 2 {
		return
	}
	c := p.c
	title := c.say("print.replaces", message.Args{"sheet": p.t.Sheet.Number - 1})
	head := style{face: bold, size: 12, white: true}
	body := style{face: bold, size: 11}
	var rows []part
	for _, one := range jobs.Alterations(message.Default, p.t.Sheet.Changes) {
		lines := c.wrap(body, one.String(), f.width-8)
		rows = append(rows, p.textRows(body, lines, 4)...)
	}
	f.addBlock(block{framed: true, rows: rows, head: func(continued bool) part {
		return part{height: 7, draw: func(x, y float64) {
			c.ground(rect{x, y, f.width, 6.4}, 0)
			c.text(head, x+3, y+3.2+head.rise()/2, c.again(title, continued))
		}}
	}})
}

func (c *canvas) again(name string, continued bool) string {
	if continued {
		return c.say("print.continued", message.Args{"name": name})
	}
	return name
}

func footWord(f spec.Foot) message.Phrase {
	if f == "" {
		f = spec.Both
	}
	return message.Phrase{Key: "print.foot." + string(f)}
}

// textRows makes parts of lines: a few lines each, so that a long text can go over the page.
func (p sheetPage) textRows(s style, lines []string, indent float64) []part {
	const most = 12
	var rows []part
	for len(lines) > 0 {
		some := lines[:min(most, len(lines))]
		lines = lines[len(some):]
		rows = append(rows, part{height: float64(len(some))*s.line() + 0.8, draw: func(x, y float64) {
			p.c.lines(s, x+indent, y+0.2, some)
		}})
	}
	return rows
}

// drawing places the two soles and the sides of both boots.
func (p sheetPage) drawing(f *flow) {
	fig := p.t.Figure
	if len(fig.Views) == 0 || fig.Width <= 0 || fig.Height <= 0 {
		return
	}
	s := newSketch(p.c.lang, fig, f.width, 92)
	f.add(part{height: s.height + 2, draw: func(x, y float64) {
		p.c.sketch(s, x+(f.width-s.width)/2, y+1)
	}})
}

// facings lists by how much each boot's facing is moved at each eyelet, for the boots where it is cut.
func (p sheetPage) facings(f *flow) {
	c := p.c
	name, strong := style{size: 8.5}, style{face: bold, size: 9}
	const label, line = 27.0, 4.2
	in := message.Phrase{Key: "unit.symbol.mm"}
	if p.t.Units == unit.Inch {
		in.Key = "print.facing.inches"
	}
	amount := func(l unit.Length) string {
		q := p.t.Units.Value(l)
		q.Unit, q.Signed = "", true
		return c.show(q)
	}
	for _, one := range p.t.Figure.Facings {
		if len(one.Eyelets) == 0 {
			continue
		}
		wide := min(16, (f.width-label)/float64(len(one.Eyelets)))
		rows := []struct {
			key string
			s   style
			of  func(spec.Eyelet) string
		}{
			{"print.facing.eyelet", name, func(e spec.Eyelet) string { return strconv.Itoa(e.Number) }},
			{"print.facing.inner", name, func(e spec.Eyelet) string { return amount(e.Inner) }},
			{"print.facing.outer", name, func(e spec.Eyelet) string { return amount(e.Outer) }},
			{"print.facing.difference", strong, func(e spec.Eyelet) string { return amount(e.Difference) }},
		}
		f.add(part{height: 6.5 + line*float64(len(rows)) + 2, draw: func(x, y float64) {
			c.foot(one.Foot, x, y, 4.6)
			c.text(strong, x+6.5, y+2.3+strong.rise()/2, c.say("print.facing", message.Args{"foot": footWord(one.Foot), "unit": in}))
			for k, row := range rows {
				base := y + 6.5 + line*float64(k) + line/2
				c.text(row.s, x, base+row.s.rise()/2, c.say(row.key, nil))
				for i, e := range one.Eyelets {
					c.textRight(row.s, x+label+wide*float64(i+1)-1, base+row.s.rise()/2, row.of(e))
				}
				if k == 0 || k == len(rows)-2 {
					c.line(x, base+line/2, x+label+wide*float64(len(one.Eyelets)), base+line/2, 0.2)
				}
			}
		}})
	}
}

// numbersByID gives the number under which an instruction stands in the drawing.
func numbersByID(fig spec.Figure) map[string]int {
	numbers := map[string]int{}
	for _, v := range fig.Views {
		for _, m := range v.Marks {
			numbers[m.ID] = m.Number
		}
	}
	return numbers
}

// specials lists what is not as usual, in two columns: left foot on the left, right foot on the right,
// and what is the same on both across them.
func (p sheetPage) specials(f *flow) {
	c := p.c
	numbers := numbersByID(p.t.Figure)
	half := f.width/2 - 2
	offset := f.width/2 + 2
	var columns [2][]part
	var rows []part
	for _, i := range p.t.Sheet.Instructions {
		switch side := slices.Index(spec.Feet[:], i.Foot); {
		case !special(i):
		case side < 0:
			rows = append(rows, p.specialLine(i, numbers[i.ID], f.width))
		default:
			columns[side] = append(columns[side], p.specialLine(i, numbers[i.ID], half))
		}
	}
	nothing := [2]bool{len(columns[0])+len(rows) == 0, len(columns[1])+len(rows) == 0}
	for k := range max(len(columns[0]), len(columns[1])) {
		var pair [2]part
		for side := range pair {
			if k < len(columns[side]) {
				pair[side] = columns[side][k]
			}
		}
		rows = append(rows, part{height: max(pair[0].height, pair[1].height), draw: func(x, y float64) {
			for side, one := range pair {
				if one.draw != nil {
					one.draw(x+float64(side)*offset, y)
				}
			}
		}})
	}
	f.addBlock(block{rows: rows, flows: true, head: func(continued bool) part {
		return part{height: 9, draw: func(x, y float64) {
			for side, foot := range spec.Feet {
				left := x + float64(side)*offset
				c.foot(foot, left, y+0.4, 7)
				s := style{face: bold, size: 13}
				word := c.show(footWord(foot))
				if nothing[side] {
					word = c.say("print.usual", message.Args{"foot": word})
				}
				c.text(s, left+9.5, y+3.9+s.rise()/2, c.again(word, continued))
				c.line(left+9.5, y+7.7, left+half, y+7.7, 0.4)
			}
		}}
	}})
}

// special says that a thing belongs in the large list. Girths follow from the feet and from the layers;
// they stand with the other numbers.
func special(i spec.Instruction) bool { return i.Special && !i.Work.IsSum() }

// specialLine is one line of the list: what is special, in few words, and its number large.
func (p sheetPage) specialLine(i spec.Instruction, number int, width float64) part {
	c := p.c
	value := style{face: bold, size: 15}
	amount := c.clean(p.amountText(i))
	room := width - 9.5
	if amount != "" {
		room -= value.width(amount) + 3
	}
	s := style{face: bold, size: 12}
	lines := c.wrap(s, c.inShort(i), room)
	both := i.Foot != spec.Left && i.Foot != spec.Right
	return part{height: max(7, float64(len(lines))*s.line()+1.6), draw: func(x, y float64) {
		switch {
		case number > 0:
			c.spot(number, i.Foot, x+3.5, y+3.5, 2.9)
		case both:
			c.foot(spec.Left, x+0.2, y+1.6, 3.9)
			c.foot(spec.Right, x+4.5, y+1.6, 3.9)
		default:
			c.foot(i.Foot, x+1.5, y+1.5, 4)
		}
		c.lines(s, x+9.5, y+3.5-s.line()/2, lines)
		if amount != "" {
			c.textRight(value, x+width, y+3.5+value.rise()/2, amount)
		}
	}}
}

// usual lists in small type everything else that is made, left and right beside each other, so that the
// whole pair stands on one page.
func (p sheetPage) usual(f *flow) {
	c := p.c
	s, strong := style{size: 8.5}, style{face: bold, size: 8.5}
	const columns = 3
	wide := (f.width - 6 - 4*(columns-1)) / columns
	var names []string
	values := map[string]string{}
	for _, i := range p.t.Sheet.Instructions {
		if special(i) {
			continue
		}
		name, value := c.clean(c.inShort(i)), ""
		if _, named := i.Args["name"]; !named {
			value = c.clean(p.amountText(i))
		}
		if _, seen := values[name]; !seen {
			names = append(names, name)
		}
		if i.Foot == spec.Left || i.Foot == spec.Right {
			value = strings.TrimSpace(values[name] + "  " + c.say("print.foot.letter."+string(i.Foot), nil) + " " + value)
		}
		values[name] = value
	}
	var cells []part
	for _, name := range names {
		value := values[name]
		lines := s.wrap(name, max(wide/3, wide-strong.width(value)-2))
		amounts := strong.wrap(value, wide*2/3-2)
		high := max(float64(len(lines))*s.line(), float64(len(amounts))*strong.line())
		cells = append(cells, part{height: high + 0.5, draw: func(x, y float64) {
			c.lines(s, x, y, lines)
			for _, one := range amounts {
				c.textRight(strong, x+wide, y+strong.lift(), one)
				y += strong.line()
			}
		}})
	}
	var rows []part
	for group := range slices.Chunk(cells, columns) {
		high := 0.0
		for _, one := range group {
			high = max(high, one.height)
		}
		rows = append(rows, part{height: high, draw: func(x, y float64) {
			for k, one := range group {
				one.draw(x+3+float64(k)*(wide+4), y)
			}
		}})
	}
	if len(rows) == 0 {
		return
	}
	rows = append(rows, gap(1))
	f.addBlock(block{framed: true, rows: rows, head: func(continued bool) part {
		return part{height: 6, draw: func(x, y float64) {
			c.text(strong, x+3, y+3.2+strong.rise()/2, c.again(c.say("print.asusual", nil), continued))
		}}
	}})
}

// longestShort is how many letters of a remark stand in a list; the whole stands at its station.
const longestShort = 240

// inShort names an instruction in few words: its material or part where that has a name, else the kind
// of work and the place; a remark by its own words.
func (c *canvas) inShort(i spec.Instruction) string {
	if i.Work == spec.RemarkWork {
		text := []rune(i.Text(c.lang))
		if len(text) <= longestShort {
			return "“" + string(text) + "”"
		}
		return c.say("print.remark.long", message.Args{"begin": strings.TrimSpace(string(text[:longestShort]))})
	}
	work := c.say("print.work."+string(i.Work), nil)
	if name, ok := i.Args["name"]; ok {
		text := c.show(name)
		if !strings.Contains(strings.ToLower(text), strings.ToLower(work)) {
			text = work + ": " + text
		}
		if _, off := i.Args["shift"]; off {
			text += c.say("print.short.holder", i.Args)
		}
		return text
	}
	for _, arg := range []string{"place", "section", "side", "direction", "pads"} {
		if v, ok := i.Args[arg]; ok {
			work += ", " + c.show(v)
		}
	}
	if _, apart := i.Args["inner"]; apart {
		work += c.say("print.short.height", i.Args)
	}
	return work
}

// amountText is the number that an instruction must reach, with its unit; empty where it has none.
func (p sheetPage) amountText(i spec.Instruction) string {
	if radius, ok := i.Args["radius"]; ok {
		return p.c.show(radius)
	}
	if _, off := i.Args["shift"]; off || i.Target == nil { // shift and turn stand behind the holder's name
		return ""
	}
	q := valueOf(i.Target.Value, i.Target.Unit)
	if i.Target.Unit == "mm" {
		q = p.t.Units.Value(unit.Length(i.Target.Value))
	}
	q.Signed = i.Work.IsChange()
	return p.c.show(q)
}

// valueOf is a number with its unit, to the thousandth.
func valueOf(v float64, unit string) message.Quantity { return message.Quantity{Value: v, Unit: unit} }

// foot draws the letter of a foot: black on white in a ring for the left, white on a black square for
// the right, so that they differ by shape and pattern.
func (c *canvas) foot(f spec.Foot, x, y, side float64) {
	s := style{face: bold, size: side * 2.1}
	letter := c.say("print.foot.letter."+string(f), nil)
	if f == spec.Right {
		s.white = true
		c.ground(rect{x, y, side, side}, 0)
	} else {
		c.disc(x+side/2, y+side/2, side/2-0.2, pen{thick: 0.4})
	}
	c.textCentre(s, x+side/2, y+side/2+s.rise()/2, letter)
}

// passed lists what the review asked about and somebody let pass, with name and reason.
func (p sheetPage) passed(f *flow) {
	if len(p.t.Sheet.Passed) == 0 {
		return
	}
	c := p.c
	s := style{size: 9}
	var rows []part
	for _, one := range p.t.Sheet.Passed {
		by := p.t.People[one.By]
		if by == "" {
			by = one.By
		}
		text := c.say("print.passed.one", message.Args{"finding": one.Finding.PassedText(c.lang), "by": by, "reason": one.Reason})
		rows = append(rows, p.textRows(s, c.wrap(s, text, f.width-8), 4)...)
	}
	f.addBlock(block{framed: true, rows: rows, head: func(continued bool) part {
		return part{height: 7, draw: func(x, y float64) {
			h := style{face: bold, size: 11}
			c.text(h, x+3, y+3.6+h.rise()/2, c.again(c.say("print.passed", nil), continued))
		}}
	}})
}
