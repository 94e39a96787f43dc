package jobs

import (
	"fmt"
	"math"

	"lastroom/jobs/message"
)

// Confidence is a chance in words where there are some, and in percent otherwise: 0.9 is nine in ten.
func Confidence(share float64) string {
	for _, one := range []struct {
		share float64
		key   string
	}{{0.5, "five"}, {0.8, "eight"}, {0.9, "nine"}, {0.95, "nineteen"}} {
		if math.Abs(share-one.share) < 1e-9 {
			return message.Say(message.Default, "confidence."+one.key, nil)
		}
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}
