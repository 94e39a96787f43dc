package check

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// JCGM 106:2012, 9.5; NCSLI RP-19 draft; Deaver 1993.
func TestPublishedRisks(t *testing.T) {
	limits := Between(-1, 1)
	for _, r := range published(t, "risk") {
		t.Run(r["case"]+" "+r["quantity"], func(t *testing.T) {
			share := 0.954499736104 // within two sigmas
			if _, after, found := strings.Cut(r["case"], "itp-"); found {
				share = row{"v": after}.value(t, "v")
			}
			sd := 1 / quantile((1+share)/2, 0)
			got, err := GlobalRisks(0, sd, limits, limits, sd/4)
			if err != nil {
				t.Fatal(err)
			}
			want := r.value(t, "exact")
			switch r["quantity"] {
			case "consumer_risk_percent":
				near(t, r["quantity"], 100*got.Consumer, want, 1e-7)
			case "consumer_risk_given_accepted_percent":
				near(t, r["quantity"], 100*got.GivenAccepted, want, 1e-7)
			case "producer_risk_percent":
				near(t, r["quantity"], 100*got.Producer, want, 1e-7)
			case "consumer_risk":
				near(t, r["quantity"], got.Consumer, want, 1e-7)
			case "producer_risk":
				near(t, r["quantity"], got.Producer, want, 1e-7)
			default:
				t.Fatalf("no test for %s", r["quantity"])
			}
			if printed := r["printed"]; printed != "" && math.Abs(row{"v": printed}.value(t, "v")-want) > 1e-5*want && !half(t, printed, want) {
				t.Errorf("printed %s is not %v", printed, want)
			}
		})
	}
}

// The integral agrees with a seeded stream of pieces that are measured and decided one by one.
func TestRisksOfAStream(t *testing.T) {
	random := rand.New(rand.NewPCG(106, 9))
	limits, rule, u, sd := Between(117, 119), Rule{Acceptance: Guarded, K: 2}, 0.2, 0.6
	const pieces = 400_000
	z, err := ZoneOf(u, 0, limits, rule)
	if err != nil {
		t.Fatal(err)
	}
	var consumer, producer float64
	readings := make([]float64, pieces)
	for i := range readings {
		truth := 118.1 + sd*random.NormFloat64()
		readings[i] = truth + u*random.NormFloat64()
		in := truth >= 117 && truth <= 119
		switch accepted := z.Decide(readings[i]).Verdict == In; {
		case accepted && !in:
			consumer++
		case !accepted && in:
			producer++
		}
	}
	got, own, err := RisksOf(readings, limits, rule, u, 0)
	if err != nil || !own {
		t.Fatal(own, err)
	}
	near(t, "consumer's risk", got.Consumer, consumer/pieces, 0.15)
	near(t, "producer's risk", got.Producer, producer/pieces, 0.02)
	if got, own, err = RisksOf([]float64{118, 118.1, 118}, limits, rule, 0.2, 0); err != nil || own {
		t.Errorf("a spread smaller than the gauge's: %+v, %v, %v", got, own, err)
	}
	if got, _, err = RisksOf(readings[:1000], limits, rule, 0.6, 0); err != nil || got.Consumer != 0 || got.Producer < 0.8 {
		t.Errorf("an empty acceptance zone: %+v, %v", got, err)
	}
}
