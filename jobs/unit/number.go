// Package unit says lengths, angles and moments in the words of a workshop: it reads what people and
// callipers type, keeps millimetres, degrees and newton metres, and writes them with their unit, in
// inches where the workshop thinks in inches.
package unit

import (
	"errors"
	"strconv"
	"strings"
	"unicode/utf8"

	"lastroom/jobs/message"
)

// longest is how many characters a typed number may have; a calliper types at most 16.
const longest = 32

// ParseNumber reads a number as people and callipers type it: 12.5, 12,5, +12.5, −3, .25, with space
// around it and, where units names some, one of these units behind it ("12.5mm", "12.5 mm"). The
// decimal sign is one point or one comma. Anything else is a fault (unit.empty, unit.long, unit.number,
// unit.exponent, unit.grouped, unit.trailing) with Where left to the caller: no exponents, no NaN or
// infinity, and no thousands separators; 1,234 could be meant either way and is refused too.
func ParseNumber(s string, units ...string) (float64, error) {
	body, err := trim(s)
	if err != nil {
		return 0, err
	}
	number, rest := split(body)
	rest = strings.TrimSpace(rest)
	if !strings.ContainsAny(number, "0123456789") {
		return 0, fault("unit.number", body)
	}
	if rest != "" && !known(rest, units) {
		return 0, trailing(body, rest, units)
	}
	return decimal(number, body)
}

// trim takes the space off s and refuses what is empty, too long or not text.
func trim(s string) (string, error) {
	// The length is judged before the space is taken off, so that a megabyte of blanks is refused too.
	if n := utf8.RuneCountInString(s); n > longest {
		return "", &message.Fault{
			Kind: message.Invalid, Key: "unit.long",
			Args: message.Args{"length": n, "allowed": longest},
		}
	}
	s = strings.TrimSpace(s)
	if s == "" {
		return "", &message.Fault{Kind: message.Invalid, Key: "unit.empty"}
	}
	return s, nil
}

// split parts s where its number ends: a sign, then digits, points and commas.
func split(s string) (number, rest string) {
	end := 0
	for i, r := range s {
		switch {
		case r >= '0' && r <= '9', r == '.', r == ',':
			end = i + 1
		case i == 0 && (r == '+' || r == '-' || r == '−'):
			end = i + utf8.RuneLen(r)
		default:
			return s[:end], s[end:]
		}
	}
	return s[:end], s[end:]
}

// decimal turns a sign, digits and at most one decimal sign into a number; whole is what was typed.
func decimal(number, whole string) (float64, error) {
	digits, negative := signed(number)
	before, after, found := strings.Cut(strings.Replace(digits, ",", ".", 1), ".")
	switch {
	case strings.ContainsAny(after, ".,"):
		return 0, fault("unit.grouped", whole)
	case found && after == "":
		return 0, fault("unit.number", whole)
	case strings.Contains(digits, ",") && len(after) == 3 && before != "" && len(before) <= 3 && before[0] != '0':
		return 0, &message.Fault{
			Kind: message.Invalid, Key: "unit.comma",
			Args: message.Args{"found": whole, "decimal": before + "." + after, "whole": before + after},
		}
	}
	if before == "" {
		before = "0"
	}
	v, err := strconv.ParseFloat(before+"."+after+"0", 64)
	if err != nil {
		return 0, errors.Join(fault("unit.number", whole), err)
	}
	if negative && v != 0 {
		v = -v
	}
	return v, nil
}

// signed takes the sign off a number: +, -, or the minus that our pages print.
func signed(s string) (rest string, negative bool) {
	for _, minus := range []string{"-", "−"} {
		if rest, negative = strings.CutPrefix(s, minus); negative {
			return rest, true
		}
	}
	return strings.TrimPrefix(s, "+"), false
}

// trailing names what is wrong with what follows a number.
func trailing(whole, rest string, units []string) error {
	switch first := rest[0]; {
	case (first == 'e' || first == 'E') && len(rest) > 1 && strings.ContainsAny(rest[1:2], "+-0123456789"):
		return fault("unit.exponent", whole)
	case first >= '0' && first <= '9', strings.ContainsAny(rest, "0123456789") && (first == '\'' || strings.HasPrefix(rest, "’")):
		return fault("unit.grouped", whole)
	case len(units) == 0:
		return &message.Fault{
			Kind: message.Invalid, Key: "unit.bare",
			Args: message.Args{"found": whole, "rest": rest},
		}
	}
	return &message.Fault{
		Kind: message.Invalid, Key: "unit.unknown",
		Args: message.Args{"found": whole, "rest": rest, "allowed": strings.Join(units, ", ")},
	}
}

func known(name string, units []string) bool {
	for _, u := range units {
		if strings.EqualFold(name, u) {
			return true
		}
	}
	return false
}

func fault(key, found string) error {
	return &message.Fault{Kind: message.Invalid, Key: key, Args: message.Args{"found": found}}
}
