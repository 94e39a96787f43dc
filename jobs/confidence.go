package jobs

import (
	"math"

	"lastroom/jobs/message"
)

// Confidence is a chance in words where there are some, and in percent otherwise: 0.9 is nine in ten.
func Confidence(share float64) message.Phrase {
	for _, one := range []struct {
		share float64
		key   string
	}{{0.5, "five"}, {0.8, "eight"}, {0.9, "nine"}, {0.95, "nineteen"}} {
		if math.Abs(share-one.share) < 1e-9 {
			return message.Phrase{Key: "confidence." + one.key}
		}
	}
	return message.Phrase{Key: "confidence.percent", Args: message.Args{"percent": int(math.Round(100 * share))}}
}
