package templates

import (
	"strings"
	"testing"
)

func TestATaperIsAsThickAsTheChanceOfNotBeingDone(t *testing.T) {
	d := drawStrip(Strip{Taper: Taper{P10: 0.5, P50: 0.6, P80: 0.7, P95: 1}})
	if d.TaperX != "50.00%" || d.TaperWide != "50.00%" {
		t.Errorf("the taper stands at %s, %s wide", d.TaperX, d.TaperWide)
	}
	want := "0.0,5.0 20.0,25.0 40.0,40.0 100.0,47.5 100.0,52.5 40.0,60.0 20.0,75.0 0.0,95.0"
	if d.TaperShape != want {
		t.Errorf("got  %s\nwant %s", d.TaperShape, want)
	}
}

func TestAStripStaysWithinItsBounds(t *testing.T) {
	d := drawStrip(Strip{Now: 1.4, Promise: -0.2, Bars: []StripBar{{From: -0.5, To: 0.1}}})
	if d.Now != "100.00%" || d.Promise != "" || d.Bars[0].X != "0.00%" {
		t.Errorf("got now %s, promise %q, bar at %s", d.Now, d.Promise, d.Bars[0].X)
	}
	if d.TaperShape != "" {
		t.Error("a finished pair has no taper")
	}
}

func TestABarThatBeginsBeforeTheStripEndsWhereItShould(t *testing.T) {
	d := drawStrip(Strip{Bars: []StripBar{{From: -0.5, To: 0.1}, {From: 0.9, To: 1.3}}})
	if d.Bars[0].Width != "10.00%" || d.Bars[1].Width != "10.00%" {
		t.Errorf("got %s and %s wide, want 10 %% each", d.Bars[0].Width, d.Bars[1].Width)
	}
}

func TestSignsHaveTheShapeOfTheirClass(t *testing.T) {
	// ISO 7010 (and ISO 3864-1 for the shapes): W warning, M mandatory action, P prohibition.
	var shapes []string
	for _, s := range drawSigns([]string{"W017", "M004", "P003", "E003", ""}) {
		shapes = append(shapes, s.Shape)
	}
	if got := strings.Join(shapes, " "); got != "triangle disc ring square square" {
		t.Errorf("got %s", got)
	}
}
