package view

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// number writes a value to the hundredth at most, without trailing noughts.
func (b *Builder) number(v float64) string {
	text := strings.TrimRight(strings.TrimRight(strconv.FormatFloat(v, 'f', 2, 64), "0"), ".")
	if text == "-0" {
		text = "0"
	}
	return minus(text)
}

// decimals writes a value to n places.
func (b *Builder) decimals(v float64, n int) string { return minus(strconv.FormatFloat(v, 'f', n, 64)) }

// twoDigits is a small quantity to two significant digits, with its unit.
func (b *Builder) twoDigits(v float64, in string) string {
	if v == 0 {
		return unit.Beside("0", in)
	}
	return unit.Beside(check.RoundTo(v, int(math.Floor(math.Log10(math.Abs(v))))-1), in)
}

// plusMinus is a value with its expanded uncertainty, rounded as JCGM 100 asks (7.2.6).
func (b *Builder) plusMinus(r check.Result, in string) string {
	value, u := check.Round(r.Value, r.Expanded())
	return minus(value) + " ± " + unit.Beside(u, in)
}

// percent is a ratio in whole percent.
func (b *Builder) percent(ratio float64) string {
	return strconv.Itoa(int(math.Round(ratio*100))) + " %"
}

// chance is a probability in percent that is never said to be certain unless it is.
func (b *Builder) chance(p float64) string {
	switch {
	case p > 0.995 && p < 1-1e-9:
		return b.Say("share.nearly", nil)
	case p < 0.005 && p > 1e-9:
		return b.Say("share.hardly", nil)
	}
	return b.percent(p)
}

// smallPercent is a small ratio in percent, with a digit that tells it from nought.
func (b *Builder) smallPercent(ratio float64) string {
	switch {
	case ratio > 0 && ratio < 0.0001:
		return b.Say("share.tiny", nil)
	case ratio < 0.1 && ratio > 0:
		return fmt.Sprintf("%.*f %%", max(0, 1-int(math.Floor(math.Log10(ratio*100)))), ratio*100)
	}
	return b.percent(ratio)
}

// confidence is a forecast's confidence in words, such as "nine in ten".
func (b *Builder) confidence(share float64) string {
	return message.Show(b.language, jobs.Confidence(share))
}

// duration is minutes as people say them: hours from two of them on.
func (b *Builder) duration(minutes float64) string {
	if minutes >= 120 {
		return b.Say("span.hours", message.Args{"hours": b.number(minutes / 60)})
	}
	return b.Say("span.minutes", message.Args{"minutes": b.number(minutes)})
}

// minus writes the sign of a number as people read it (U+2212).
func minus(number string) string { return strings.Replace(number, "-", "−", 1) }

// decimal is a number as a field of a form or a program reads it.
func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// entryNumber is the number of an entry as an address or a field has it.
func entryNumber(n uint64) string { return strconv.FormatUint(n, 10) }
