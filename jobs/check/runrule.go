package check

import (
	"math"
	"math/bits"

	"lastroom/jobs/message"
)

// RunRule names a pattern of points on a control chart that is a signal.
type RunRule string

// The rules of the Western Electric Statistical Quality Control Handbook (1956) and of L. S. Nelson,
// Journal of Quality Technology 16 (1984) 237–239. Where the sources are silent: beyond is strictly
// beyond; a point on the centre line is on neither side and breaks a run; equal neighbours break rising,
// falling and alternating; the point that completes "k of m" must itself take part.
const (
	WE1 RunRule = "WE1" // one point beyond 3σ
	WE2 RunRule = "WE2" // two of three successive points beyond 2σ on one side
	WE3 RunRule = "WE3" // four of five successive points beyond 1σ on one side
	WE4 RunRule = "WE4" // eight successive points on one side of the centre line
	N1  RunRule = "N1"  // one point beyond 3σ
	N2  RunRule = "N2"  // nine successive points on one side of the centre line
	N3  RunRule = "N3"  // six successive points steadily rising or falling
	N4  RunRule = "N4"  // fourteen successive points alternately up and down
	N5  RunRule = "N5"  // two of three successive points beyond 2σ on one side
	N6  RunRule = "N6"  // four of five successive points beyond 1σ on one side
	N7  RunRule = "N7"  // fifteen successive points within 1σ
	N8  RunRule = "N8"  // eight successive points beyond 1σ on either side
)

// WesternElectric and Nelson are the whole sets.
func WesternElectric() []RunRule { return []RunRule{WE1, WE2, WE3, WE4} }

// Nelson: see WesternElectric.
func Nelson() []RunRule { return []RunRule{N1, N2, N3, N4, N5, N6, N7, N8} }

// The sets of rules that charts are judged by, as a shop file names them.
const (
	LimitsAlone         = "limits"           // a point beyond 3σ and nothing else
	WesternElectricFour = "western-electric" // all four
	NelsonEight         = "nelson"           // all eight
)

// RuleSets are all of them.
var RuleSets = [3]string{LimitsAlone, WesternElectricFour, NelsonEight}

// RuleSet returns the rules of a set; none for a name that is not one of RuleSets.
func RuleSet(name string) []RunRule {
	switch name {
	case LimitsAlone:
		return []RunRule{WE1}
	case WesternElectricFour:
		return WesternElectric()
	case NelsonEight:
		return Nelson()
	}
	return nil
}

// Text is the rule in words.
func (r RunRule) Text(lang message.Language) string {
	return message.Say(lang, "check.rule."+string(r), nil)
}

// automaton is a run rule as a machine that reads one standardised point after the other. Its state is
// a number, so that a chart and the chain of its run length use the same machine.
type automaton struct {
	window int  // how many points the pattern spans
	order  bool // looks at the order of neighbours, not only at how far from the centre a point lies
	step   func(state uint16, z, before float64) (next uint16, signal bool)
}

var automata = map[RunRule]automaton{
	WE1: beyond(3), WE2: someOf(2, 3, 2), WE3: someOf(4, 5, 1), WE4: oneSide(8),
	N1: beyond(3), N2: oneSide(9), N3: trend(6), N4: alternating(14),
	N5: someOf(2, 3, 2), N6: someOf(4, 5, 1),
	N7: successive(15, func(z float64) bool { return below(math.Abs(z), 1) }),
	N8: successive(8, func(z float64) bool { return above(math.Abs(z), 1) }),
}

func beyond(sigmas float64) automaton {
	return automaton{window: 1, step: func(_ uint16, z, _ float64) (uint16, bool) { return 0, above(math.Abs(z), sigmas) }}
}

// someOf keeps, for each side, which of the last m−1 points were beyond.
func someOf(k, m int, sigmas float64) automaton {
	mask := uint16(1)<<(m-1) - 1
	return automaton{window: m, step: func(state uint16, z, _ float64) (uint16, bool) {
		up, down := state&mask, state>>8
		isUp, isDown := above(z, sigmas), below(z, -sigmas)
		signal := isUp && bits.OnesCount16(up)+1 >= k || isDown && bits.OnesCount16(down)+1 >= k
		up, down = up<<1&mask, down<<1&mask
		if isUp {
			up |= 1
		}
		if isDown {
			down |= 1
		}
		return up | down<<8, signal
	}}
}

// run counts on while the same thing goes on; the top bit says which of two things it is.
func run(state uint16, goesOn bool, side bool, start, length int) (uint16, bool) {
	const other = 1 << 15
	count := state &^ other
	if !goesOn {
		return 0, false
	}
	if count == 0 || (state&other != 0) != side {
		count = uint16(start)
	} else {
		count = min(count+1, uint16(length))
	}
	signal := int(count) >= length
	if side {
		count |= other
	}
	return count, signal
}

func oneSide(length int) automaton {
	return automaton{window: length, step: func(state uint16, z, _ float64) (uint16, bool) {
		up := above(z, 0)
		return run(state, up || below(z, 0), up, 1, length)
	}}
}

func trend(length int) automaton {
	return automaton{window: length, order: true, step: func(state uint16, z, before float64) (uint16, bool) {
		up := above(z, before)
		return run(state, !math.IsNaN(before) && (up || below(z, before)), up, 2, length)
	}}
}

// alternating counts points whose steps change direction; its state also keeps the last direction.
func alternating(length int) automaton {
	const up = 1 << 15
	return automaton{window: length, order: true, step: func(state uint16, z, before float64) (uint16, bool) {
		rises := above(z, before)
		if math.IsNaN(before) || !rises && !below(z, before) {
			return 0, false
		}
		count := state &^ up
		if count == 0 || (state&up != 0) == rises {
			count = 2
		} else {
			count = min(count+1, uint16(length))
		}
		signal := int(count) >= length
		if rises {
			count |= up
		}
		return count, signal
	}}
}

func successive(length int, holds func(z float64) bool) automaton {
	return automaton{window: length, step: func(state uint16, z, _ float64) (uint16, bool) {
		return run(state, holds(z), false, 1, length)
	}}
}

// Signal is a pattern that a rule found: the points From to Index, counted from 0; Index completes it.
type Signal struct {
	Rule  RunRule `json:"rule"`
	Index int     `json:"index"`
	From  int     `json:"from"`
}

// Signals runs the rules over standardised points z = (x − centre)/σ and returns every point that
// completes a pattern, rule by rule in the order of rules. An unknown rule is a fault (check.rule.unknown).
func Signals(z []float64, rules []RunRule) ([]Signal, error) {
	var found []Signal
	for _, rule := range rules {
		a, ok := automata[rule]
		if !ok {
			return nil, unknownRule(rule)
		}
		state, before := uint16(0), math.NaN()
		for i, v := range z {
			var signal bool
			if state, signal = a.step(state, v, before); signal {
				found = append(found, Signal{Rule: rule, Index: i, From: max(0, i-a.window+1)})
			}
			before = v
		}
	}
	return found, nil
}

func unknownRule(rule RunRule) error {
	return &message.Fault{
		Kind: message.Invalid, Key: "check.rule.unknown", Where: "rules",
		Args: message.Args{"found": string(rule)},
	}
}
