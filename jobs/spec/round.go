package spec

import (
	"math"

	"lastroom/jobs/unit"
)

// rounded is a length to the hundredth of a millimetre, in which targets are set: no bench works finer.
func rounded(l unit.Length) unit.Length { return unit.Length(math.Round(float64(l)*100) / 100) }

func roundTo(v float64, n int) float64 {
	scale := math.Pow10(n)
	return math.Round(v*scale) / scale
}
