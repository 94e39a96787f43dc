package check

import (
	"math"
	"testing"
)

func TestBias(t *testing.T) {
	b, err := BiasOf(10, []float64{10.2, 10.3, 10.1, 10.2})
	if err != nil || !b.Significant || math.Abs(b.Mean-0.2) > 1e-12 {
		t.Errorf("%+v, %v", b, err)
	}
	// R 4.2.2: qt(.975, 3) = 3.182446305; s/√n = 0.0408248290.
	near(t, "half the interval", b.Upper-b.Mean, 3.182446305*0.040824829, 1e-8)
	if b, err = BiasOf(10.2, []float64{10.2, 10.3, 10.1, 10.2}); err != nil || b.Significant {
		t.Errorf("%+v, %v", b, err)
	}
	if b, err = BiasOf(10, []float64{9.9, 10.3}); err != nil || b.Significant || b.Mean < 0.09 {
		t.Errorf("a mean above the reference that two readings cannot prove: %+v, %v", b, err)
	}
	if b, err = BiasOf(10, []float64{10.5, 10.5}); err != nil || !b.Significant || b.T != 0 {
		t.Errorf("equal readings: %+v, %v", b, err)
	}
}
