package print

import (
	"fmt"
	"testing"

	"lastroom/jobs/message"
)

// recorded draws sheets and returns every mark on the paper.
func recorded(t testing.TB, paper Paper, tickets ...Ticket) ([]mark, rect) {
	t.Helper()
	c := newCanvasOn(paper, aboutTickets(tickets, message.English))
	var marks []mark
	c.watch = func(m mark) { marks = append(marks, m) }
	for _, ticket := range tickets {
		if err := drawTraveller(c, ticket); err != nil {
			t.Fatal(err)
		}
	}
	return marks, c.area
}

const hair = 0.03 // mm that two marks may share: less than a dot of a 600 dpi printer

func (r rect) overlaps(o rect) bool {
	return r.x+hair < o.right() && o.x+hair < r.right() && r.y+hair < o.bottom() && o.y+hair < r.bottom()
}

func (r rect) covers(o rect) bool {
	return o.x >= r.x-hair && o.y >= r.y-hair && o.right() <= r.right()+hair && o.bottom() <= r.bottom()+hair
}

// conflicts lists what lies on something else, or where no printer prints.
func conflicts(marks []mark, area rect) []string {
	var found []string
	pages := map[int][]mark{}
	for _, m := range marks {
		pages[m.page] = append(pages[m.page], m)
	}
	for _, page := range pages {
		for i, a := range page {
			if !area.covers(a.inset(a.edge)) { // a code's quiet zone is white: it may lie in the margin
				found = append(found, fmt.Sprintf("page %d: %s %q at %.1f is outside %.1f", a.page, a.kind, a.text, a.rect, area))
			}
			for _, b := range page[i+1:] {
				if clash(a, b) || clash(b, a) {
					found = append(found, fmt.Sprintf("page %d: %s %q at %.1f lies on %s %q at %.1f", a.page, a.kind, a.text, a.rect, b.kind, b.text, b.rect))
				}
			}
		}
	}
	return found
}

// clash says that a may not lie where b lies; each pair is asked both ways.
func clash(a, b mark) bool {
	if !a.overlaps(b.rect) {
		return false
	}
	solid := func(k kind) bool { return k == textMark || k == codeMark || k == boxMark || k == figureMark }
	switch {
	case a.kind == ownMark || b.kind == ownMark:
		return false
	case solid(a.kind) && solid(b.kind):
		return true
	case a.kind == lineMark && (b.kind == textMark || b.kind == codeMark || b.kind == figureMark):
		return true
	case a.kind == lineMark && b.kind == boxMark:
		return a.overlaps(b.rect.inset(0.4))
	case a.kind == groundMark && b.kind == textMark:
		return !a.covers(b.rect)
	case a.kind == groundMark:
		return solid(b.kind) || b.kind == groundMark
	}
	return false
}

// The proof of the proof: the checker sees each kind of slip.
func TestConflictsAreSeen(t *testing.T) {
	w, h := A4.size()
	area := rect{0, 0, w, h}.inset(margin)
	at := func(k kind, x, y, w, h float64) mark { return mark{rect: rect{x, y, w, h}, kind: k, page: 1} }
	for _, row := range []struct {
		name  string
		marks []mark
		want  int
	}{
		{"two lines of text apart", []mark{at(textMark, 20, 20, 50, 4), at(textMark, 20, 24, 50, 4)}, 0},
		{"text on text", []mark{at(textMark, 20, 20, 50, 4), at(textMark, 60, 23, 50, 4)}, 1},
		{"text on the same place of another page", []mark{at(textMark, 20, 20, 50, 4), {rect: rect{20, 20, 50, 4}, kind: textMark, page: 2}}, 0},
		{"text over the margin", []mark{at(textMark, 180, 20, 22, 4)}, 1},
		{"text in a quiet zone", []mark{at(codeMark, 100, 100, 20, 20), at(textMark, 100, 118, 30, 4)}, 1},
		{"a line through text", []mark{at(textMark, 20, 20, 50, 4), at(lineMark, 10, 22, 100, 0.3)}, 1},
		{"text in a box to write in", []mark{at(boxMark, 20, 20, 30, 8), at(textMark, 22, 22, 10, 4)}, 1},
		{"text on a ground", []mark{at(groundMark, 20, 20, 30, 8), at(textMark, 22, 22, 10, 4)}, 0},
		{"text half on a ground", []mark{at(groundMark, 20, 20, 30, 8), at(textMark, 45, 22, 10, 4)}, 1},
		{"a line that closes a box", []mark{at(boxMark, 20, 20, 30, 8), at(lineMark, 10, 27.9, 100, 0.2)}, 0},
		{"a line through a box", []mark{at(boxMark, 20, 20, 30, 8), at(lineMark, 10, 24, 100, 0.2)}, 1},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := conflicts(row.marks, area); len(got) != row.want {
				t.Errorf("%d conflicts, want %d: %q", len(got), row.want, got)
			}
		})
	}
}
