package spec

import (
	"fmt"
	"strings"
	"testing"

	"lastroom/jobs/unit"
)

// manyRows is a CSV file of n orders, each with something special.
func manyRows(n int) string {
	var b strings.Builder
	b.WriteString("name,pattern,size_system,size,length_left,length_right,ball_girth_left,ball_girth_right,opening_right_inner-ankle,stiffness,height,facing_right_inner,foam,hollow,remark\n")
	for i := range n {
		fmt.Fprintf(&b, "Customer %d,floe,mondopoint,%d,264,265,245,246,4 mm over 40 mm,1,3 mm,1/4 in on 1-6,comfort-2,1/2 in,push the left toes out 2 mm\n", i, 260+5*(i%2))
	}
	return b.String()
}

// The promise: one order is reviewed in less than a millisecond.
func BenchmarkReview(b *testing.B) {
	o, c := sample(b, "special.json")[0], workshop()
	o.Spec.Remarks = []Remark{{Text: "push the left toes out 2 mm, and raise the right boot by 3 mm"}}
	for b.Loop() {
		Review(o, c, spring)
	}
}

func BenchmarkInstructionsAndChecks(b *testing.B) {
	s, c := sample(b, "special.json")[0].Spec, workshop()
	for b.Loop() {
		if _, err := Instructions(s, c); err != nil {
			b.Fatal(err)
		}
		if _, err := Checks(s, c); err != nil {
			b.Fatal(err)
		}
	}
}

// The promise: ten thousand orders of one CSV are read and reviewed in less than ten seconds.
func BenchmarkTenThousandRows(b *testing.B) {
	text, c := manyRows(10_000), workshop()
	for b.Loop() {
		orders, err := ParseCSV(strings.NewReader(text), unit.Metric)
		if err != nil {
			b.Fatal(err)
		}
		for _, o := range orders {
			Review(o, c, spring)
		}
	}
}

// Both promises as a test: a tenth of the rows, with room for a slow machine and the race detector.
func TestReadingAndReviewingIsQuick(t *testing.T) {
	text, c := manyRows(1000), workshop()
	result := testing.Benchmark(func(b *testing.B) {
		for b.Loop() {
			orders, err := ParseCSV(strings.NewReader(text), unit.Metric)
			if err != nil || len(orders) != 1000 {
				b.Fatalf("%d orders, %v", len(orders), err)
			}
			for _, o := range orders {
				Review(o, c, spring)
			}
		}
	})
	if per := result.NsPerOp() / 1000; per == 0 || per > 10_000_000 {
		t.Errorf("%d ns an order", per)
	}
}
