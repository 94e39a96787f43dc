package check

import (
	"math"
	"strconv"
	"strings"
)

// text is a number for a sentence: decimals, no exponent, no rounding noise.
func text(v float64) string { return strconv.FormatFloat(snap(v), 'f', -1, 64) }

// rounded is v to a number of significant digits.
func rounded(v float64, digits int) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', digits-1, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// exponent is the power of ten of the first digit of v, which is not 0.
func exponent(v float64) int {
	_, e, _ := strings.Cut(strconv.FormatFloat(v, 'e', -1, 64), "e")
	n, err := strconv.Atoi(e)
	if err != nil {
		return 0
	}
	return n
}

// Round rounds a value and its uncertainty as JCGM 100:2008, 7.2.6 asks: the uncertainty to two
// significant digits, the value to the same place, halves to even. Both come back as decimals with their
// noughts, "118.13" and "0.15". The value's own shortest decimal is what is rounded, not its binary
// neighbour. An uncertainty of 0, or one that is not finite, leaves the value as it is.
func Round(value, u float64) (valueText, uText string) {
	if !finite(value) || !finite(u) || u <= 0 {
		return strconv.FormatFloat(value, 'f', -1, 64), strconv.FormatFloat(u, 'f', -1, 64)
	}
	place := exponent(u) - 1
	uText = RoundTo(u, place)
	if r, err := strconv.ParseFloat(uText, 64); err == nil && exponent(r)-1 > place {
		place++ // 0.0996 is 0.10, not 0.100
		uText = RoundTo(u, place)
	}
	return RoundTo(value, place), uText
}

// RoundTo rounds a value to the decimal place 10^place (−1: tenths, 1: tens), halves to even (ISO
// 80000-1:2009, annex B, rule A), and writes it with exactly the decimals of that place. It works on the
// shortest decimal that reads back as the value, so that 12.25 is a half although its binary is not.
func RoundTo(value float64, place int) string {
	digits := strconv.FormatFloat(math.Abs(value), 'f', -1, 64)
	whole, part, _ := strings.Cut(digits, ".")
	keep := len(whole) - place // how many of the digits stay
	all := whole + part
	for ; keep < 0; keep++ {
		all = "0" + all
	}
	for keep > len(all) {
		all += "0"
	}
	head, tail := []byte("0"+all[:keep]), all[keep:]
	if roundsUp(head[len(head)-1], tail) {
		for i := len(head) - 1; ; i-- {
			if head[i] != '9' {
				head[i]++
				break
			}
			head[i] = '0'
		}
	}
	out := string(head) + strings.Repeat("0", max(place, 0))
	if place < 0 {
		for len(out) <= -place {
			out = "0" + out
		}
		out = out[:len(out)+place] + "." + out[len(out)+place:]
	}
	out = strings.TrimLeft(out, "0")
	if out == "" || out[0] == '.' {
		out = "0" + out
	}
	if value < 0 && strings.Trim(out, "0.") != "" {
		out = "-" + out
	}
	return out
}

// roundsUp says whether the digits of tail round the digit before them up: more than a half, or a half
// after an odd digit.
func roundsUp(last byte, tail string) bool {
	if tail == "" || tail[0] < '5' {
		return false
	}
	if tail[0] > '5' || strings.Trim(tail[1:], "0") != "" {
		return true
	}
	return (last-'0')%2 == 1
}
