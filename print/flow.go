package print

// part is a piece of a page that is never split: its height in mm, and what draws it with its top left
// corner at x, y. All of a part is measured when it is made, so a page is laid out before it is drawn.
// A row of a table has its table's head as lead: it is put before the first row, and again where the
// rows go on over the page.
type part struct {
	height float64
	draw   func(x, y float64)
	lead   *part
}

// gap is an empty part.
func gap(height float64) part { return part{height: height, draw: func(float64, float64) {}} }

// placed is a part with its place on a page.
type placed struct {
	part
	x, y float64
}

// flow fills pages from the top. It only plans: what it has placed is drawn when the number of pages is
// known.
type flow struct {
	c      *canvas
	width  float64
	space  func(page int) (top, bottom float64) // of page n, from 1
	pages  [][]placed
	y      float64
	bottom float64
}

func (f *flow) newPage() {
	f.pages = append(f.pages, nil)
	f.y, f.bottom = f.space(len(f.pages))
}

func (f *flow) place(p part) {
	last := len(f.pages) - 1
	f.pages[last] = append(f.pages[last], placed{p, f.c.area.x, f.y})
	f.y += p.height
}

// add places a part, on the next page if this one has no room.
func (f *flow) add(p part) {
	if len(f.pages) == 0 || f.y+p.height > f.bottom && !f.fresh() {
		f.newPage()
	}
	f.place(p)
}

// fresh says that nothing stands on the page yet.
func (f *flow) fresh() bool { return len(f.pages) > 0 && len(f.pages[len(f.pages)-1]) == 0 }

// block is parts that belong together under one head. It stays on one page if a page can hold it; else
// it is parted between its rows, with a pointer at the foot of the one page and the head again on the next.
type block struct {
	head   func(continued bool) part
	rows   []part
	framed bool
	flows  bool // may be parted although a page could hold it
}

const blockGap = 2.6 // mm between two blocks

func (f *flow) addBlock(b block) {
	if len(f.pages) == 0 {
		f.newPage()
	}
	head, more := b.head(false), f.pointer()
	whole := head.height
	var lead *part
	for _, r := range b.rows {
		whole += r.height + r.leadAfter(lead)
		lead = r.lead
	}
	if f.y+whole > f.bottom && !f.fresh() {
		top, bottom := f.space(len(f.pages) + 1)
		page, room := bottom-top, f.bottom-f.y
		least := head.height + more.height
		if len(b.rows) > 0 {
			least += b.rows[0].height + b.rows[0].leadAfter(nil)
		}
		// A block that no page can hold starts here if a good part of it fits.
		parted := b.flows || whole > page && room >= page/3
		if !parted || room < least {
			f.newPage()
		}
	}
	rows := b.rows
	for continued := false; ; continued = true {
		segment := []part{b.head(continued)}
		used := segment[0].height
		lead = nil
		for len(rows) > 0 {
			next := rows[0]
			room := f.bottom - f.y - used - next.height - next.leadAfter(lead)
			if len(rows) > 1 {
				room -= more.height
			}
			if room < 0 && len(segment) > 1 {
				break
			}
			if next.leadAfter(lead) > 0 {
				segment, used = append(segment, *next.lead), used+next.lead.height
			}
			segment, used, rows = append(segment, next), used+next.height, rows[1:]
			lead = next.lead
		}
		if len(rows) > 0 {
			segment, used = append(segment, more), used+more.height
		}
		f.place(f.frame(segment, used, b.framed))
		if len(rows) == 0 {
			break
		}
		f.newPage()
	}
	f.y += blockGap
}

// leadAfter is the height of the lead that p needs after a row that had the lead before.
func (p part) leadAfter(before *part) float64 {
	if p.lead == nil || p.lead == before {
		return 0
	}
	return p.lead.height
}

// frame makes one part of several under each other.
func (f *flow) frame(parts []part, height float64, framed bool) part {
	return part{height: height, draw: func(x, y float64) {
		if framed {
			f.c.frame(rect{x, y, f.width, height}, 0.35)
		}
		for _, p := range parts {
			p.draw(x, y)
			y += p.height
		}
	}}
}

// pointer says that a block goes on.
func (f *flow) pointer() part {
	s := style{face: bold, size: 10}
	return part{height: s.line() + 2, draw: func(x, y float64) {
		f.c.textRight(s, x+f.width-3, y+1+s.lift(), f.c.say("print.more", nil))
	}}
}
