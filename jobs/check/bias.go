package check

import (
	"math"

	"gonum.org/v1/gonum/stat"

	"lastroom/jobs/message"
)

// Bias is how far a gauge reads off a reference, on average.
type Bias struct {
	Mean        float64 `json:"mean"` // of reading less reference
	U           float64 `json:"u"`    // standard error of it
	T           float64 `json:"t"`
	Lower       float64 `json:"lower"` // 95 % interval
	Upper       float64 `json:"upper"`
	Significant bool    `json:"significant"` // the interval does not hold 0
}

// BiasOf computes the bias from at least two readings of one reference (check.chart.few,
// check.reading.number). Readings that are all equal have no interval: any bias is then significant.
func BiasOf(reference float64, readings []float64) (Bias, error) {
	if !finite(reference) {
		return Bias{}, reading("reference", reference)
	}
	if err := enough(readings, 2); err != nil {
		return Bias{}, err
	}
	e := TypeA(readings)
	b := Bias{Mean: e.Value - reference, U: e.U}
	half := CoverageFactor(0.95, e.DoF) * e.U
	b.Lower, b.Upper = b.Mean-half, b.Mean+half
	if b.U > 0 {
		b.T = b.Mean / b.U
	}
	b.Significant = above(b.Lower, 0) || below(b.Upper, 0)
	return b, nil
}

// Linearity is the straight line of bias over reference values.
type Linearity struct {
	Slope      float64 `json:"slope"`
	Intercept  float64 `json:"intercept"`
	RSquared   float64 `json:"rSquared"`
	S          float64 `json:"s"` // residual standard deviation
	TSlope     float64 `json:"tSlope"`
	TIntercept float64 `json:"tIntercept"`
	TCritical  float64 `json:"tCritical"` // two-sided 95 %, n − 2 degrees of freedom
	MeanBias   float64 `json:"meanBias"`
	Linear     bool    `json:"linear"` // the slope does not differ from 0 significantly
}

// LinearityOf fits bias = intercept + slope·reference to readings beside their references: least squares,
// as in the Measurement Systems Analysis reference manual. At least three readings at two different
// references (check.chart.few, check.study.references). A perfect line has no residual spread: S and both T
// are 0 then, and Linear says whether its slope is.
func LinearityOf(references, readings []float64) (Linearity, error) {
	if err := enough(readings, 3); err != nil {
		return Linearity{}, err
	}
	if err := enough(references, 3); err != nil {
		return Linearity{}, err
	}
	if len(references) != len(readings) || spread(references) == 0 {
		return Linearity{}, &message.Fault{Kind: message.Invalid, Key: "check.study.references", Where: "references"}
	}
	bias := make([]float64, len(readings))
	for i, v := range readings {
		bias[i] = v - references[i]
	}
	n := float64(len(readings))
	l := Linearity{MeanBias: stat.Mean(bias, nil), TCritical: CoverageFactor(0.95, n-2)}
	l.Intercept, l.Slope = stat.LinearRegression(references, bias, nil, false)
	l.RSquared = stat.RSquared(references, bias, nil, l.Intercept, l.Slope)
	middle := stat.Mean(references, nil)
	var residual, sxx float64
	for i, x := range references {
		residual += square(bias[i] - l.Intercept - l.Slope*x)
		sxx += square(x - middle)
	}
	if l.S = math.Sqrt(residual / (n - 2)); l.S < grain { // a perfect line
		l.S, l.Slope, l.Intercept = 0, snap(l.Slope), snap(l.Intercept)
		l.Linear = l.Slope == 0
		return l, nil
	}
	l.TSlope = l.Slope / (l.S / math.Sqrt(sxx))
	l.TIntercept = l.Intercept / (l.S * math.Sqrt(1/n+middle*middle/sxx))
	l.Linear = math.Abs(l.TSlope) <= l.TCritical
	return l, nil
}
