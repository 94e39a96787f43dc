package view

import (
	"time"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// minuteOnly is how a datetime-local field writes an instant (HTML, 2.3.5.4).
const minuteOnly = "2006-01-02T15:04"

// written is an instant by one of the patterns of message, in the workshop's zone.
func (b *Builder) written(t time.Time, as string) string {
	return message.Show(b.language, message.Time{At: b.local(t), As: as})
}

// local is an instant in the workshop's zone.
func (b *Builder) local(t time.Time) time.Time { return t.In(b.shop.Zone) }

// day is a day in words, "Fri 27 Nov".
func (b *Builder) day(t time.Time) string { return b.written(t, message.Day) }

// At is an instant in words, its day left out when that is today.
func (b *Builder) At(t time.Time) string {
	local, now := b.local(t), b.local(b.now)
	if local.YearDay() == now.YearDay() && local.Year() == now.Year() {
		return b.written(t, message.Clock)
	}
	return b.written(t, message.DayClock)
}

// dayOfMonth is a day in words without its weekday, "27 Nov".
func (b *Builder) dayOfMonth(t time.Time) string {
	return b.written(t, message.DayOfMonth)
}

// date is a day in words, with its year where that is not this one: "Fri 27 Nov", "Fri 27 Nov 2025".
func (b *Builder) date(d spec.Date) string {
	t, err := d.In(b.shop.Zone)
	if err != nil {
		return ""
	}
	if t.Year() != b.local(b.now).Year() {
		return b.written(t, message.DayOfYear)
	}
	return b.written(t, message.Day)
}

// fullDate is a day in words with its year; a zero instant was never.
func (b *Builder) fullDate(t time.Time) string {
	if t.IsZero() {
		return b.Say("gauge.never", nil)
	}
	return b.written(t, message.DayOfYear)
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}
