package check

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestPlot(t *testing.T) {
	p := PlotOf([]float64{1, 3, 2}, []Level{{Kind: "centre", Value: 2}, {Kind: "control", Value: 5}}, []int{1, 7}, 200, 110)
	// From 1 to 5 with a twentieth of the width on either side: 0.8 at the bottom, 5.2 at the top, 25 a unit.
	if got := PathData(p.Curve); got != "M0 105L100 55L200 80" {
		t.Errorf("curve %s", got)
	}
	if len(p.Levels) != 2 || math.Abs(p.Levels[0].Y-80) > 1e-9 || math.Abs(p.Levels[1].Y-5) > 1e-9 {
		t.Errorf("levels %+v", p.Levels)
	}
	if len(p.Marks) != 1 || p.Marks[0].Index != 1 || p.Marks[0].Y != p.Curve[1].Y {
		t.Errorf("marks %+v", p.Marks)
	}
	var ticks []float64
	for _, tick := range p.Ticks {
		ticks = append(ticks, tick.Value)
	}
	if !slices.Equal(ticks, []float64{1, 2, 3, 4, 5}) {
		t.Errorf("ticks %v", ticks)
	}
}

func TestPlotOfLittle(t *testing.T) {
	if p := PlotOf(nil, nil, nil, 100, 50); len(p.Curve) != 0 || PathData(p.Curve) != "" || p.High <= p.Low {
		t.Errorf("nothing: %+v", p)
	}
	if p := PlotOf([]float64{7}, nil, []int{0}, 100, 50); PathData(p.Curve) != "M50 25" {
		t.Errorf("one value: %+v", p)
	}
	if p := PlotOf([]float64{7, 9}, nil, []int{0, 1, 2, -1}, 100, 50); len(p.Marks) != 2 || p.Marks[0].Point != p.Curve[0] || p.Marks[1].Point != p.Curve[1] {
		t.Errorf("the first and the last are marked: %+v", p.Marks)
	}
	if p := PlotOf([]float64{7, 7}, nil, nil, 100, 50); PathData(p.Curve) != "M0 25L100 25" {
		t.Errorf("equal values: %+v", p)
	}
	if got := fmt.Sprint(roundValues(-0.3, 0.3, 8)); got != "[-0.3 -0.2 -0.1 0 0.1 0.2 0.3]" {
		t.Errorf("ticks %s", got)
	}
}

// However many values there are, the drawing stays small and inside its frame, and shows the greatest and
// the least of them.
func TestPlotKeepsOutliers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 20_000).Draw(t, "n")
		random := rand.New(rand.NewPCG(uint64(n), 3))
		values := make([]float64, n)
		for i := range values {
			values[i] = random.NormFloat64()
		}
		values[random.IntN(n)] = 40
		values[random.IntN(n)] = -30
		p := PlotOf(values, nil, nil, 300, 100)
		if len(p.Curve) > 4*300 {
			t.Fatalf("%d points", len(p.Curve))
		}
		low, high := math.Inf(1), math.Inf(-1)
		for i, point := range p.Curve {
			low, high = math.Min(low, point.Y), math.Max(high, point.Y)
			if point.X < -1e-9 || point.X > 300+1e-9 || point.Y < 0 || point.Y > 100 || i > 0 && point.X < p.Curve[i-1].X {
				t.Fatalf("point %d at %v", i, point)
			}
		}
		top := 100 * (p.High - slices.Max(values)) / (p.High - p.Low)
		bottom := 100 * (p.High - slices.Min(values)) / (p.High - p.Low)
		if math.Abs(low-top) > 1e-9 || math.Abs(high-bottom) > 1e-9 {
			t.Fatalf("drawn from %v to %v, values from %v to %v", low, high, top, bottom)
		}
	})
}

// A chart of 100 000 readings with all Western Electric rules, and the drawing of it.
func BenchmarkChart(b *testing.B) {
	random := rand.New(rand.NewPCG(100, 5))
	values := make([]float64, 100_000)
	for i := range values {
		values[i] = random.NormFloat64()
	}
	for b.Loop() {
		c, err := IndividualsChart(values, WesternElectric())
		if err != nil {
			b.Fatal(err)
		}
		var marks []int
		for _, s := range c.Signals {
			marks = append(marks, s.Index)
		}
		p := PlotOf(values, []Level{{"centre", c.X.Centre, 0}, {"control", c.X.Lower, 0}, {"control", c.X.Upper, 0}}, marks, 1200, 400)
		if PathData(p.Curve) == "" {
			b.Fatal("nothing drawn")
		}
	}
}
