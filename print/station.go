package print

import (
	"strconv"
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// The columns of a station's block, in mm from its left edge.
const (
	tickLeft  = 3.0  // tick boxes of the left foot
	tickRight = 11.5 // and of the right
	wordsAt   = 20.0
)

// station is all that one stage of the route does to the pair: cautions first, then what to do with a
// box to tick for each foot, what to measure with boxes to write in, the rest, and who did it when.
func (p sheetPage) station(index int, op jobs.Operation, numbers map[string]int) block {
	c := p.c
	var rows []part
	for _, one := range op.Cautions {
		rows = append(rows, p.caution(one.Hazard, one.Text, one.Signs)...)
	}
	tickHead, checkHead := p.tickHead(), p.checkHead()
	instructions := p.t.Sheet.InstructionsAt(op.Key)
	if len(instructions) == 0 {
		rows = append(rows, p.plainRow(c.say("print.nothing", nil)))
	}
	for _, i := range instructions {
		for _, row := range p.instruction(i, numbers[i.ID]) {
			row.lead = &tickHead
			rows = append(rows, row)
		}
	}
	for _, one := range paired(p.t.Sheet.ChecksAt(op.Key)) {
		row := p.check(one)
		row.lead = &checkHead
		rows = append(rows, row)
	}
	if op.Rest > 0 || op.Window > 0 {
		rows = append(rows, p.rest(op))
	}
	for _, m := range op.Materials {
		rows = append(rows, p.lot(m))
	}
	rows = append(rows, p.signOff())
	return block{framed: true, rows: rows, head: func(continued bool) part {
		small := style{size: 10, white: true}
		about := c.clean(c.say("print.minutes", message.Args{"time": durationOf(op.Minutes)}))
		room := c.area.w - 10 - small.width(about)
		name := c.clean(c.again(strconv.Itoa(index+1)+"  "+op.Name, continued))
		s := style{face: bold, size: 17, white: true}.fit(name, room, 10)
		lines := s.wrap(name, room)
		high := max(8.6, float64(len(lines))*s.line()+1)
		return part{height: high + 0.9, draw: func(x, y float64) {
			c.ground(rect{x, y, c.area.w, high}, 0)
			c.textRight(small, x+c.area.w-3, y+4.3+small.rise()/2, about)
			if len(lines) == 1 {
				c.text(s, x+3, y+4.3+s.rise()/2, name)
				return
			}
			c.lines(s, x+3, y+0.5, lines)
		}}
	}}
}

// durationOf is a duration as people say it: 45 min, 2 h 30 min, 3 days 4 h.
func durationOf(minutes float64) any {
	m := int(minutes + 0.5)
	words := message.List{As: message.Space}
	say := func(key string, n int) {
		if n > 0 {
			words.Items = append(words.Items, message.Phrase{Key: key, Args: message.Args{"n": n}})
		}
	}
	if m < 48*60 {
		say("print.hours", m/60)
		say("print.mins", m%60)
	} else {
		say("print.days", m/(24*60))
		say("print.hours", m/60%24)
	}
	if len(words.Items) == 0 {
		return message.Phrase{Key: "print.mins", Args: message.Args{"n": m}}
	}
	return words
}

// caution is a hazard with the usual care and its signs.
func (p sheetPage) caution(danger, care string, numbers []string) []part {
	c := p.c
	const side, each, most = 6.4, 7.2, 4 // the words name every sign, the first four are drawn
	signs := numbers[:min(len(numbers), most)]
	left := 3 + each*most + 1.0
	width := c.area.w - left - 3
	strong, small := style{face: bold, size: 9}, style{size: 8.5}
	hazard := c.wrap(strong, danger, width)
	lines := c.wrap(small, care, width)
	named := c.clean(c.signWords(numbers))
	words := small.wrap(named, width)
	// The signs' names stand behind the hazard if there is room.
	behind := 0.0
	if len(hazard) == 1 && len(words) == 1 && strong.width(hazard[0])+3+small.width(named) <= width {
		behind, words = strong.width(hazard[0])+3, nil
	}
	few := lines[:min(len(lines), 8)]
	height := float64(len(hazard))*strong.line() + float64(len(few)+len(words))*small.line()
	rows := []part{{height: max(side, height) + 1.6, draw: func(x, y float64) {
		for k, n := range signs {
			c.sign(n, x+3+float64(k)*each, y+0.8, side)
		}
		at := c.lines(strong, x+left, y+0.5, hazard)
		if behind > 0 {
			c.text(small, x+left+behind, y+0.5+strong.lift(), named)
		}
		at = c.lines(small, x+left, at, words)
		c.lines(small, x+left, at, few)
	}}}
	if len(lines) > 8 {
		rows = append(rows, p.textRows(small, lines[8:], left)...)
	}
	return rows
}

func (p sheetPage) tickHead() part {
	return part{height: 7.4, draw: func(x, y float64) {
		p.c.line(x, y, x+p.c.area.w, y, 0.2)
		p.c.foot(spec.Left, x+tickLeft+0.4, y+1.2, 5.2)
		p.c.foot(spec.Right, x+tickRight+0.4, y+1.2, 5.2)
		s := style{face: bold, size: 10}
		p.c.text(s, x+wordsAt, y+3.8+s.rise()/2, p.c.say("print.do", nil))
	}}
}

func (p sheetPage) plainRow(text string) part {
	s := style{size: 9.5}
	return part{height: s.line() + 2, draw: func(x, y float64) {
		p.c.line(x, y, x+p.c.area.w, y, 0.2)
		p.c.text(s, x+3, y+1+s.lift(), text)
	}}
}

// instruction is one thing to do. What is special is large, what is as usual is small. Of a long
// sentence only the beginning, up to its colon, is large; a long remark is smaller and goes on for as many
// rows as it takes.
func (p sheetPage) instruction(i spec.Instruction, number int) []part {
	c := p.c
	s, box := style{size: 9.5}, 4.6
	amount, value := "", style{face: bold, size: 16}
	if i.Special {
		s, box = style{face: bold, size: 12.5}, 6.4
		amount = c.clean(p.amountText(i))
	}
	left := wordsAt
	if number > 0 {
		left += 8
	}
	width := c.area.w - left - 3
	if amount != "" {
		width -= value.width(amount) + 4
	}
	head, rest := headline(c.clean(i.Text(c.lang)))
	more := style{size: 9.5}
	if i.Work.IsSum() {
		if head, rest = girth(c.clean(i.Text(c.lang))); rest != "" {
			head += ":"
		}
		more.size = 7.5
	}
	if len(head) > 300 {
		s = style{face: bold, size: 10}
	}
	if len(head) > 1200 {
		s.size = 8.5
	}
	const most = 20
	lines, small := s.wrap(head, width), more.wrap(rest, width)
	some := lines[:min(most, len(lines))]
	few := small
	if len(lines)+len(small) > most {
		few = nil
	}
	height := max(box, max(0, (box-s.line())/2)+float64(len(some))*s.line()+float64(len(few))*more.line()) + 1.8
	rows := []part{{height: height, draw: func(x, y float64) {
		for k, foot := range spec.Feet {
			at := x + []float64{tickLeft, tickRight}[k]
			if i.Foot.Has(foot) {
				c.box(rect{at + 3 - box/2, y + 0.9, box, box}, 0.35)
			} else {
				c.line(at+1.6, y+0.9+box/2, at+4.4, y+0.9+box/2, 0.25)
			}
		}
		if number > 0 {
			c.spot(number, i.Foot, x+wordsAt+3, y+0.9+box/2, 2.9)
		}
		top := y + 0.9 + max(0, (box-s.line())/2)
		top = c.lines(s, x+left, top, some)
		c.lines(more, x+left, top, few)
		if amount != "" {
			c.textRight(value, x+c.area.w-3, y+0.9+box/2+value.rise()/2, amount)
		}
	}}}
	rows = append(rows, p.textRows(s, lines[len(some):], left)...)
	return append(rows, p.textRows(more, small[len(few):], left)...)
}

// girth parts what a girth must become from where it starts and why.
func girth(text string) (short, why string) {
	short, why, _ = strings.Cut(text, ": ")
	return short, why
}

// headline parts a sentence that is too long to be large altogether after its first colon.
func headline(text string) (head, rest string) {
	const short, long = 90, 130
	if len(text) <= short {
		return text, ""
	}
	if at := strings.Index(text, ": "); at > 0 && at <= long {
		return text[:at+1], text[at+2:]
	}
	return text, ""
}

// rest says how long the pair must lie and when the next station must begin, with a box for the hour.
func (p sheetPage) rest(op jobs.Operation) part {
	c := p.c
	s := style{face: bold, size: 10}
	var words []string
	if op.Rest > 0 {
		words = append(words, c.say("print.rest", message.Args{"time": durationOf(op.Rest), "reason": op.RestReason}))
	}
	if op.Window > 0 {
		words = append(words, c.say("print.window", message.Args{"time": durationOf(op.Window)}))
	}
	lines := c.wrap(s, strings.Join(words, " "), c.area.w-76)
	return part{height: max(9, float64(len(lines))*s.line()+2), draw: func(x, y float64) {
		c.line(x, y, x+c.area.w, y, 0.2)
		c.lines(s, x+3, y+1, lines)
		label := c.say("print.notbefore", nil)
		c.textRight(s, x+c.area.w-38, y+1+s.lift(), label)
		c.box(rect{x + c.area.w - 36, y + 1, 33, 7}, 0.25)
	}}
}

// lot is where the lot of a material is written down when the network is down.
func (p sheetPage) lot(m jobs.Material) part {
	c := p.c
	s := style{size: 9}
	words := c.say("print.lot.write", message.Args{"material": m.Name})
	if !m.Required {
		words = c.say("print.lot.optional", message.Args{"material": m.Name})
	}
	lines := c.wrap(s, words, c.area.w/2-6)
	return part{height: max(8.6, float64(len(lines))*s.line()+2), draw: func(x, y float64) {
		c.line(x, y, x+c.area.w, y, 0.1)
		c.lines(s, x+3, y+1.6, lines)
		c.box(rect{x + c.area.w/2, y + 0.8, c.area.w/2 - 3, 7}, 0.25)
	}}
}

// signOff is where a person signs when the network is down.
func (p sheetPage) signOff() part {
	c := p.c
	s := style{size: 9}
	return part{height: 9.6, draw: func(x, y float64) {
		c.line(x, y, x+c.area.w, y, 0.2)
		at, base := x+3, y+5+s.rise()/2
		for _, field := range []struct {
			key  string
			wide float64
		}{{"print.started", 30}, {"print.done", 30}, {"print.by", 0}} {
			at += c.text(s, at, base, c.say(field.key, nil)) + 2
			wide := field.wide
			if wide == 0 {
				wide = x + c.area.w - 3 - at
			}
			c.box(rect{at, y + 1.3, wide, 7}, 0.25)
			at += wide + 4
		}
	}}
}
