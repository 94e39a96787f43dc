package check

import (
	"strconv"
	"strings"
	"testing"

	"lastroom/jobs/message"
)

// ISO 22400-2:2014, formulas; the examples are arithmetic.
func TestPublishedIndicators(t *testing.T) {
	keys := map[string]string{
		"FPY": "first-pass-yield", "scrap ratio": "scrap", "rework ratio": "rework", "quality ratio": "quality",
		"allocation ratio": "allocation", "throughput rate per h": "throughput", "worker efficiency": "worker-efficiency",
	}
	tested := 0
	for _, r := range published(t, "indicators") {
		t.Run(r["situation"]+" "+r["indicator"], func(t *testing.T) {
			tested++
			var f Floor
			for _, i := range []string{"1", "2"} {
				v := r.value(t, "value_"+i)
				switch r["element_"+i] {
				case "IP":
					f.Inspected = v
				case "GP":
					f.GoodAtOnce = v
				case "PQ":
					f.Produced = v
				case "SQ":
					f.Scrapped = v
				case "RQ":
					f.Reworked = v
				case "GQ":
					f.Good = v
				case "AOET h":
					f.OrderHours = v
				case "AUBT h":
					f.BusyHours = v
				case "APAT h":
					f.AttendHours = v
				case "APWT h":
					f.WorkHours = v
				default:
					t.Fatalf("no element %s", r["element_"+i])
				}
			}
			for _, i := range f.Indicators() {
				if i.Key != keys[r["indicator"]] {
					continue
				}
				if r["result"] == "undefined" {
					if i.OK {
						t.Errorf("got %v of nothing", i.Value)
					}
					return
				}
				near(t, i.Key, i.Value, r.value(t, "result"), 1e-9)
				return
			}
			t.Errorf("no indicator %s", r["indicator"])
		})
	}
	for _, i := range (Floor{}).Indicators() {
		if i.OK || strings.HasPrefix(i.Text(message.Default), "[") {
			t.Errorf("%s of nothing, called %q: %v", i.Key, i.Text(message.Default), i.Value)
		}
	}
	if tested != 8 {
		t.Errorf("%d examples were read", tested)
	}
}

func TestPareto(t *testing.T) {
	got := Pareto(map[string]int{"height": 3, "angle": 3, "scratch": 6, "none": 0})
	var names []string
	for _, c := range got {
		names = append(names, c.Name+" "+strconv.Itoa(c.Count))
	}
	if text := strings.Join(names, ", "); text != "scratch 6, angle 3, height 3" {
		t.Errorf("got %s", text)
	}
	if got[0].Share != 0.5 || got[1].Cumulative != 0.75 || got[2].Cumulative != 1 {
		t.Errorf("got %+v", got)
	}
	if len(Pareto(nil)) != 0 {
		t.Error("causes of nothing")
	}
}
