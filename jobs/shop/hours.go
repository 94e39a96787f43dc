package shop

import (
	"fmt"
	"strings"
	"time"

	"lastroom/jobs/message"
	"lastroom/jobs/plan"
)

var weekdays = map[string]time.Weekday{
	"mon": time.Monday, "tue": time.Tuesday, "wed": time.Wednesday, "thu": time.Thursday,
	"fri": time.Friday, "sat": time.Saturday, "sun": time.Sunday,
}

// calendar reads working hours, holidays, closures and overtime.
func (b *builder) calendar(path string, w week, zone *time.Location) *plan.Calendar {
	hours := plan.Hours{Zone: zone, Week: map[time.Weekday][]plan.Period{}, Country: w.Holidays}
	for name, spans := range map[string][]string{"mon": w.Mon, "tue": w.Tue, "wed": w.Wed, "thu": w.Thu, "fri": w.Fri, "sat": w.Sat, "sun": w.Sun} {
		for _, text := range spans {
			if span, ok := parseSpan(text); ok {
				hours.Week[weekdays[name]] = append(hours.Week[weekdays[name]], span)
			} else {
				b.refuse(path+"."+name, "shop.span", text, "")
			}
		}
	}
	for _, text := range w.Closed {
		first, last, found := strings.Cut(text, "/")
		if !found {
			last = first
		}
		from, ok1 := parseDay(first)
		until, ok2 := parseDay(last)
		if !ok1 || !ok2 || first > last {
			b.refuse(path+".closed", "shop.closed", text, "")
			continue
		}
		hours.Closed = append(hours.Closed, plan.Closure{First: from, Last: until})
	}
	for _, text := range w.Overtime {
		day, span, _ := strings.Cut(text, " ")
		on, ok1 := parseDay(day)
		open, ok2 := parseSpan(span)
		if !ok1 || !ok2 {
			b.refuse(path+".overtime", "shop.overtime", text, "")
			continue
		}
		hours.Overtime = append(hours.Overtime, plan.Overtime{On: on, Periods: []plan.Period{open}})
	}
	return b.newCalendar(path, hours)
}

func (b *builder) newCalendar(path string, hours plan.Hours) *plan.Calendar {
	calendar, err := plan.NewCalendar(hours)
	if err != nil && len(message.Faults(err)) == 0 {
		err = &message.Fault{Kind: message.Invalid, Key: "shop.hours", Args: message.Args{"found": err.Error()}}
	}
	b.fault(path, err)
	return calendar
}

// pickUp is the calendar of the desk: the workshop's own, on the days on which pairs are handed out.
func (b *builder) pickUp(zone *time.Location) *plan.Calendar {
	w := b.file.Hours
	open := map[string]bool{}
	for _, day := range b.file.Workshop.PickUp {
		if _, ok := weekdays[day]; !ok {
			b.refuse("workshop.pickup_days", "shop.choice", day, "mon, tue, wed, thu, fri, sat, sun")
		}
		open[day] = true
	}
	if len(open) == 0 {
		b.refuse("workshop.pickup_days", "shop.empty", "", "")
		return nil
	}
	for name, spans := range map[string]*[]string{"mon": &w.Mon, "tue": &w.Tue, "wed": &w.Wed, "thu": &w.Thu, "fri": &w.Fri, "sat": &w.Sat, "sun": &w.Sun} {
		if !open[name] {
			*spans = nil
		}
	}
	w.Overtime = nil
	told := len(b.faults)
	calendar := b.calendar("hours", w, zone)
	b.faults = b.faults[:told] // the same hours were reviewed as the benches'
	return calendar
}

// parseSpan reads "07:00-12:00"; 24:00 is the end of the day.
func parseSpan(text string) (plan.Period, bool) {
	from, until, _ := strings.Cut(text, "-")
	a, ok1 := minuteOf(from)
	z, ok2 := minuteOf(until)
	return plan.Period{From: a, Until: z}, ok1 && ok2 && a < z
}

func minuteOf(text string) (int, bool) {
	var hour, minute int
	if n, err := fmt.Sscanf(text, "%02d:%02d", &hour, &minute); n != 2 || err != nil || len(text) != len("15:04") {
		return 0, false
	}
	of := hour*60 + minute
	return of, hour >= 0 && minute >= 0 && minute < 60 && of <= 24*60
}

func parseDay(text string) (plan.Day, bool) {
	t, err := time.Parse(time.DateOnly, text)
	return plan.Day{Year: t.Year(), Month: t.Month(), Day: t.Day()}, err == nil
}
