package jobs

import (
	"math"

	"lastroom/jobs/message"
)

// leastDifference is the least difference of two chances that is shown as one: a chance from so few plays as
// a way to keep a promise is tried with is off by √(0.25/TrialPlays) at most, one standard error.
const leastDifference = 0.03

// Higher says whether a chance is higher than another by more than the plays behind them leave open. A chance
// that is not known, NaN, is neither higher nor lower.
func Higher(chance, than float64) bool { return chance-than > leastDifference }

// Confidence is a probability in words where there are some, and in percent otherwise: 0.9 is nine in ten.
func Confidence(p float64) message.Phrase {
	for _, one := range []struct {
		p   float64
		key string
	}{{0.5, "five"}, {0.8, "eight"}, {0.9, "nine"}, {0.95, "nineteen"}} {
		if math.Abs(p-one.p) < 1e-9 {
			return message.Phrase{Key: "confidence." + one.key}
		}
	}
	return message.Phrase{Key: "confidence.percent", Args: message.Args{"percent": int(math.Round(100 * p))}}
}
