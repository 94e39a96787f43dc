package print

import (
	"bytes"
	"errors"
	"slices"
	"strconv"
	"strings"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
	"lastroom/jobs/unit"
)

func TestTravellerHasNoConflicts(t *testing.T) {
	for _, paper := range []Paper{A4, Letter} {
		marks, area := recorded(t, paper, sampleTicket(t))
		if len(marks) < 200 {
			t.Errorf("%s: only %d marks", paper, len(marks))
		}
		for _, c := range conflicts(marks, area) {
			t.Errorf("%s: %s", paper, c)
		}
	}
}

func TestEachPageSaysWhereItBelongs(t *testing.T) {
	ticket := sampleTicket(t)
	marks, _ := recorded(t, A4, ticket, ticket)
	pages := map[int][]mark{}
	for _, m := range marks {
		pages[m.page] = append(pages[m.page], m)
	}
	half := len(pages) / 2
	for n, page := range pages {
		var texts []string
		var codes []rect
		for _, m := range page {
			texts = append(texts, m.text)
			if m.kind == codeMark {
				codes = append(codes, m.rect)
			}
		}
		own := (n-1)%half + 1
		for _, want := range []string{
			message.Say(message.Default, "print.page", message.Args{"page": own, "pages": half}),
			"1042", "SHEET 2", "job 1042 · sheet 2",
		} {
			if !slices.Contains(texts, want) {
				t.Errorf("page %d does not say %q", n, want)
			}
		}
		digits := 0
		for _, s := range texts {
			if s == ticket.Code.String() {
				digits++
			}
		}
		if len(codes) != 2 || digits != 2 {
			t.Fatalf("page %d has %d squares and %d times their digits", n, len(codes), digits)
		}
		// One blot, fold or thumb must not take both.
		if codes[1].y-codes[0].bottom() < 150 || codes[0].x-codes[1].right() < 100 {
			t.Errorf("page %d: the squares are close together: %v", n, codes)
		}
	}
}

func TestBothReadersReadEveryPage(t *testing.T) {
	var buf bytes.Buffer
	ticket := sampleTicket(t)
	if _, err := Traveller(&buf, []Ticket{ticket}, Options{}); err != nil {
		t.Fatal(err)
	}
	marks, _ := recorded(t, A4, ticket)
	for _, dpi := range []int{150, 300} {
		for n, page := range raster(t, buf.Bytes(), dpi) {
			if testing.Short() && (n > 0 || dpi > 150) {
				break
			}
			if read := readZbar(t, page); !slices.Equal(read, []string{ticket.URL, ticket.URL}) {
				t.Errorf("zbarimg, page %d at %d dpi: read %q", n+1, dpi, read)
			}
			// The other reader is slow on whole pages: it gets the page once, then the neighbourhood of each square.
			if n == 0 && dpi == 150 {
				if read := readZxing(t, page); !slices.Equal(read, []string{ticket.URL, ticket.URL}) {
					t.Errorf("gozxing, page %d at %d dpi: read %q", n+1, dpi, read)
				}
			}
			for _, m := range marks {
				if m.kind == codeMark && m.page == n+1 {
					if read := readZxing(t, crop(page, m.inset(-2), dpi)); !slices.Equal(read, []string{ticket.URL}) {
						t.Errorf("gozxing, square at %.0f on page %d at %d dpi: read %q", m.rect, n+1, dpi, read)
					}
				}
			}
		}
	}
}

func TestReprintSaysThatItIsOne(t *testing.T) {
	ticket := sampleTicket(t)
	says := func(ticket Ticket) bool {
		marks, area := recorded(t, A4, ticket)
		for _, c := range conflicts(marks, area) {
			t.Error(c)
		}
		return slices.ContainsFunc(marks, func(m mark) bool { return strings.Contains(m.text, "REPRINT, copy 3") })
	}
	if says(ticket) {
		t.Error("a first print calls itself a reprint")
	}
	ticket.Copies = 2
	if !says(ticket) {
		t.Error("a third print does not say so")
	}
}

func TestTravellerRefuses(t *testing.T) {
	long := sampleTicket(t)
	long.URL = "http://" + strings.Repeat("A", 3000)
	for _, row := range []struct {
		name    string
		tickets []Ticket
		key     string
		where   string
	}{
		{"no sheet at all", nil, "print.none", ""},
		{"an address that no square can hold", []Ticket{long}, "print.address", "workshop.public_address"},
	} {
		t.Run(row.name, func(t *testing.T) {
			var buf bytes.Buffer
			_, err := Traveller(&buf, row.tickets, Options{})
			var f *message.Fault
			if !errors.As(err, &f) || f.Key != row.key || f.Where != row.where {
				t.Errorf("got %v", err)
			}
			if buf.Len() != 0 {
				t.Error("something was written")
			}
		})
	}
}

func TestManySheetsTellHowFarTheyAre(t *testing.T) {
	var told []int
	made, err := Traveller(&bytes.Buffer{}, []Ticket{sampleTicket(t), sampleTicket(t), sampleTicket(t)}, Options{
		Paper: Letter, Progress: func(done, total int) { told = append(told, done, total) },
	})
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(told, []int{1, 3, 2, 3, 3, 3}) {
		t.Errorf("told %v", told)
	}
	if made.Pages%3 != 0 || made.Pages == 0 {
		t.Errorf("%d pages of three like sheets", made.Pages)
	}
}

// without is a text without white space: where a line was broken does not count.
func without(text string) string { return strings.Join(strings.Fields(text), "") }

// pdftotext reads the sheets of real orders as a search or a screen reader would.
func TestOutsideReaderFindsEverySentence(t *testing.T) {
	for _, order := range []string{"ordinary.json", "remark.json", "special.json"} {
		t.Run(order, func(t *testing.T) {
			ticket := ticketOf(t, 1001, 1, sampleOrder(t, order).Spec)
			var buf bytes.Buffer
			if _, err := Traveller(&buf, []Ticket{ticket}, Options{}); err != nil {
				t.Fatal(err)
			}
			text := without(pdfText(t, buf.Bytes()))
			count := 0
			find := func(what, sentence string) {
				count++
				if !strings.Contains(text, without(sentence)) {
					t.Errorf("%s %q is not on the sheet", what, sentence)
				}
			}
			for _, i := range ticket.Sheet.Instructions {
				find("instruction", i.Text(message.Default))
			}
			for _, c := range ticket.Sheet.Checks {
				find("check", c.Text(message.Default))
				find("wanted value", valueOf(c.Nominal, c.Unit).String())
				find("limits", message.Say(message.Default, "print.between", message.Args{"lower": valueOf(c.Lower, ""), "upper": valueOf(c.Upper, "")}))
			}
			for _, op := range ticket.Sheet.Route {
				for _, c := range op.Cautions {
					find("hazard", c.Hazard)
					find("caution", c.Text)
				}
			}
			if count < 20 {
				t.Errorf("only %d sentences were looked for", count)
			}
		})
	}
}

func TestOneLongWordIsBrokenNotCut(t *testing.T) {
	ticket := sampleTicket(t)
	long := strings.Repeat("abcdefghij", 200)
	ticket.Sheet.Instructions = append(ticket.Sheet.Instructions, spec.Instruction{
		ID: "remark", Operation: ticket.Sheet.Route[0].Key, Work: spec.RemarkWork, Foot: spec.Both, Special: true,
		Key: "spec.do.remark", Args: message.Args{"text": long},
	})
	marks, area := recorded(t, A4, ticket)
	for _, c := range conflicts(marks, area) {
		t.Error(c)
	}
	var all strings.Builder
	for _, m := range marks {
		if strings.Trim(m.text, "abcdefghij") == "" {
			all.WriteString(m.text)
		}
	}
	if !strings.Contains(all.String(), long) {
		t.Error("some of 2 000 letters without a space are gone")
	}
}

func TestUnprintableIsReportedByTheSheet(t *testing.T) {
	ticket := sampleTicket(t)
	ticket.Customer = "Zoë 😀"
	made, err := Traveller(&bytes.Buffer{}, []Ticket{ticket}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if string(made.Unprintable) != "😀" {
		t.Errorf("reported %q", string(made.Unprintable))
	}
}

func TestInchWorkshopReadsInches(t *testing.T) {
	ticket := sampleTicket(t)
	ticket.Units = unit.Inch
	marks, area := recorded(t, A4, ticket)
	for _, c := range conflicts(marks, area) {
		t.Error(c)
	}
	if !slices.ContainsFunc(marks, func(m mark) bool { return m.text == "+1/4 in" }) {
		t.Error("the facing's quarter inch is not said in inches")
	}
}

func TestEachFootHasItsBoxes(t *testing.T) {
	ticket := sampleTicket(t)
	marks, _ := recorded(t, A4, ticket)
	boxes, numbered := 0, map[string]int{}
	for _, m := range marks {
		switch m.kind {
		case boxMark:
			boxes++
		case textMark:
			numbered[m.text]++
		}
	}
	want := 0
	for _, op := range ticket.Sheet.Route {
		want += 3 + len(op.Materials) // begun, done, by whom, and each lot
		if op.Rest > 0 {
			want++ // not before
		}
	}
	for _, i := range ticket.Sheet.Instructions {
		want++ // a tick
		if i.Foot == spec.Both {
			want++ // a tick for the other boot
		}
	}
	read := map[string]bool{}
	for _, c := range ticket.Sheet.Checks {
		switch {
		case c.Rule == spec.Value || c.Rule == spec.Match || read[c.Group]:
			want++
		default: // two readings and what follows from them
			read[c.Group] = c.Group != ""
			want += 3
		}
	}
	if boxes != want {
		t.Errorf("%d boxes to tick and write in, want %d", boxes, want)
	}
	for _, f := range ticket.Figure.Facings {
		for _, e := range f.Eyelets {
			numbered[strconv.Itoa(e.Number)]--
		}
	}
	// A mark's number stands in the list of what is special and beside its instruction.
	for id, n := range numbersByID(ticket.Figure) {
		if got := numbered[strconv.Itoa(n)]; got != 2 {
			t.Errorf("number %d of %s stands %d times outside the drawing, want 2", n, id, got)
		}
	}
}

// Common practice, no source: the inner side of the facing is raised by a quarter of an inch, 6.35 mm, and
// the top three eyelets are left as they are. So the inner side is that much higher below them.
func TestTheFacingIsToldEyeletByEyelet(t *testing.T) {
	ticket := sampleTicket(t)
	if len(ticket.Figure.Facings) != 1 || ticket.Figure.Facings[0].Foot != spec.Right || len(ticket.Figure.Facings[0].Eyelets) != 9 {
		t.Fatalf("the sample's facings are %+v", ticket.Figure.Facings)
	}
	for _, row := range []struct {
		units                unit.System
		moved, still, header string
	}{
		{unit.Metric, "+6.35", "0", "right facing, by how much it is moved at each eyelet, in mm, 1 at the toe end"},
		{unit.Inch, "+1/4", "0", "right facing, by how much it is moved at each eyelet, in inches, 1 at the toe end"},
	} {
		ticket.Units = row.units
		marks, _ := recorded(t, A4, ticket)
		at := slices.IndexFunc(marks, func(m mark) bool { return m.kind == textMark && m.text == row.header })
		if at < 0 {
			t.Fatalf("no mark says %q", row.header)
		}
		var got []string
		for _, m := range marks[at+1:] {
			if m.kind == textMark && len(got) < 40 {
				got = append(got, m.text)
			}
		}
		want := []string{"eyelet", "1", "2", "3", "4", "5", "6", "7", "8", "9"}
		for _, side := range []struct{ name, low string }{{"inner", row.moved}, {"outer", row.still}, {"inner less outer", row.moved}} {
			want = append(want, side.name)
			for n := 1; n <= 9; n++ {
				want = append(want, map[bool]string{true: side.low, false: row.still}[n <= 6])
			}
		}
		if !slices.Equal(got, want) {
			t.Errorf("got %q\nwant %q", got, want)
		}
	}
}
