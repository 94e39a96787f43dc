package templates

func sampleChart(id, title string) Chart {
	return Chart{
		ID: id, Title: title, Tall: 180, Wide: 800, From: "2 Nov", Until: "24 Nov",
		Text:   title + ": 8 readings, the last two beyond the upper control limit.",
		Curve:  "M0 120L114 96L228 118L342 92L457 110L571 104L685 30L800 22",
		Ticks:  []ChartLine{{"tick", 150, "−1"}, {"tick", 100, "0"}, {"tick", 50, "1"}},
		Levels: []ChartLine{{"centre", 101, "mean 0.02 mm"}, {"control", 40, "upper control limit 1.21 mm"}, {"control", 162, "lower control limit −1.17 mm"}, {"limit", 25, "tolerance +1.5 mm"}},
		Dots:   []ChartDot{{10, 120, "1031: −0.4 mm"}, {22.5, 96, "1032: 0.1 mm"}, {85.4, 30, "1038: 1.4 mm"}, {98, 22, "1042: 1.6 mm"}},
		Marks:  []ChartDot{{98, 22, "1042: part of a signal"}},
		Head:   []string{"When", "Deviation"},
		Rows:   []ChartRow{{"1031", []string{"2 Nov 10:20", "−0.4 mm"}, false}, {"1042", []string{"24 Nov 13:50", "1.6 mm"}, true}, {"", []string{"24 Nov 13:50", "0.2 mm"}, false}},
		More:   "The last 2 of 8 readings; the CSV holds all.",
	}
}

func sampleSignals(may bool) []Signal {
	return []Signal{
		{
			Key: "height.back:WE1:20503", ID: "20503", Rule: "one point beyond 3σ", Check: "height at the back", When: "Tue 24 Nov 13:50", Chart: "/quality?check=height.back",
			Pairs: []Link{{Href: "/job/1038", Text: "1038"}, {Href: "/job/1042", Text: "1042"}}, Hint: "All were read with Height gauge 1: could the gauge be the cause?", May: may,
		},
		{
			Key: "girth.ball:WE4:20117", ID: "20117", Rule: "eight points in a row on one side", Check: "girth at the ball", When: "Mon 9 Nov 09:10", Chart: "/quality?check=girth.ball",
			Pairs: []Link{{Href: "/job/1012", Text: "1012"}}, Note: "tape stretched, replaced by tape 3", By: "Tor Hedin", At: "Mon 9 Nov 15:00", Anew: true,
		},
	}
}

func galleryQuality() []Sample {
	lead := func(here string) Frame { return frame("workshop lead", here) }
	filters := []Filter{
		{"check", "Check", []Choice{{"height.back", "height at the back", true}, {"girth.ball", "girth at the ball", false}}},
		{"station", "Made at", []Choice{{"", "any", true}, {"lasting", "Lasting", false}}},
	}
	quality := Quality{
		Frame: lead("Quality"), Filters: filters, Series: "height at the back, both feet", Count: 8,
		Charts:      []Chart{sampleChart("x", "Deviation from nominal"), sampleChart("mr", "Moving range")},
		FalseAlarms: "The four rules together signal about once in 92 points when nothing has changed.",
		Signals:     sampleSignals(true),
		Capability: []Figure{
			{"Cp", "1.12", "0.71 to 1.90 with 95 % confidence"},
			{"Share out of tolerance", "0.4 %", "expected, by mean and spread"},
		},
		Trust:      "8 readings are few: Ppk came out as 1.02, but all that can be said with 95 % confidence is that it is at least 0.55.",
		Risks:      []Figure{{"Bad pair passed", "0.1 %", "of all pairs"}, {"Good pair not passed", "2.3 %", "of all pairs"}},
		RisksWhy:   "For Height gauge 1 and the rule in force, from these readings.",
		Indicators: []Figure{{"first pass yield", "86 %", "24 of 28 pairs"}, {"worker efficiency", "not known", ""}},
		Paretos:    []Pareto{{"By place", []ParetoBar{{"height at the back, right", 3, 0.6, "60 %, together 60 %"}, {"something else, both", 2, 0.4, "40 %, together 100 %"}}}},
		Chains:     []Chain{{[]Link{{Href: "/job/1042", Text: "1042"}, {Href: "/job/1051", Text: "1051"}}, []string{"Tue 24 Nov: rework at Lasting, boot height 3.1 mm over", "Wed 25 Nov: scrap, shell split"}, true}},
		CSVs:       []Link{{Href: "/quality.csv?check=height.back", Text: "the readings charted"}},
	}
	short := quality
	short.Frame = lead("Quality").refused("answer-20503", Field{"note", "", "write something here"})
	short.Paretos, short.Chains, short.Capability, short.Risks = nil, nil, nil, nil
	gauge := GaugeLine{
		Key: "height-1", Name: "Height gauge 1", Kind: "height gauge", Step: "0.1 mm", Uncertainty: "0.05 mm", Repeatability: "0.08 mm, from the shop file",
		Calibrated: "Mon 15 Jun 2026", Due: "Tue 15 Jun 2027", State: In, Says: "current",
	}
	overdue := gauge
	overdue.Key, overdue.Name, overdue.State, overdue.Says = "tape-2", "Girth tape 2", Close, "overdue by 3 days: refused in 11 days"
	stopped := gauge
	stopped.Key, stopped.Name, stopped.State, stopped.Says = "rig-1", "Bending rig 1", Out, "refused: overdue by 20 days"
	people := []Choice{{"runa", "Ylva Näs", true}, {"ask", "Olle Ström", false}}
	one := Gauge{
		Frame: lead("Gauges"), Gauge: gauge, MayKeep: true, Today: "2026-11-25", People: people, Since: "Mon 15 Jun 2026", CSV: "/gauges/height-1/passed.csv",
		History: []GaugeEvent{{"20610", "Mon 23 Nov 10:00", "Tor Hedin", "calibrated, due Tue 23 Nov 2027"}, {"", "Mon 15 Jun 2026", "", "calibrated, as the shop file says"}},
		Studies: []StudyLine{{"/gauges/height-1/study?study=height-1-1", "study height-1-1, 60 of 90 readings"}},
		Passed:  []PassedLine{{"1042", []string{"height at the back, left: 118.4 ± 0.2 mm"}, "Tue 24 Nov 13:50, Olle Ström", "at QC since 13:40"}},
	}
	wrong := one
	wrong.Frame = lead("Gauges").refused("calibrated", Field{"on", "2027-01-01", "2027-01-01 is still to come"}, Field{"due", "2026-01-01", ""})
	noPlan := one
	noPlan.Frame = lead("Gauges").refused("plan", Field{"parts", "1", ""}, Field{"people", "", "choose at least two people"})
	mistaken := Gauge{Frame: frame("inspector", "Gauges"), Gauge: gauge, Since: "Mon 15 Jun 2026", Until: "Tue 24 Nov 2026"}
	fresh := Gauge{Frame: frame("inspector", "Gauges"), Gauge: gauge, Since: "Mon 15 Jun 2026"}
	study := Study{
		Frame: frame("bench worker", ""), Gauge: gauge, Study: "height-1-1", Done: 10, Total: 90, Person: "Olle Ström", Trial: 1, From: 10,
		Readings: []StudyReading{{"reading-10", "part 7"}, {"reading-11", "part 2"}}, Anew: "/gauges/height-1/study?study=height-1-1&anew=1",
	}
	results := []StudyResult{{"repeatability", "0.081 mm (0.069 to 0.098)", "0.079 mm"}, {"between people", "0 mm", "0.01 mm"}}
	done := Study{
		Frame: lead("Gauges"), Gauge: gauge, Study: "height-1-1", Done: 90, Total: 90, Results: results, Verdict: "11 % of the spread seen is the gauge's; it tells 12 kinds of part apart.",
		Notes: []string{"The component between people came out below nought and was set to nought."}, Becomes: []Figure{{"Repeatability", "0.081 mm", "with 78 degrees of freedom; so far 0.08 mm"}},
		MayAdopt: true, CSV: "/gauges/height-1/study.csv?study=height-1-1",
	}
	adopted := done
	adopted.MayAdopt, adopted.Adopted = false, "taken over by Tor Hedin, Tue 24 Nov 16:00"
	return []Sample{
		{"quality, a signal", quality},
		{"quality, an answer refused", short},
		{"quality, no readings", Quality{Frame: frame("inspector", "Quality"), Filters: filters[1:]}},
		{"gauges", Gauges{Frame: lead("Gauges"), List: []GaugeLine{gauge, overdue, stopped}, Grace: 14, CSV: "/gauges.csv"}},
		{"gauges, none", Gauges{Frame: lead("Gauges"), CSV: "/gauges.csv"}},
		{"gauge", one},
		{"gauge, calibration refused", wrong},
		{"gauge, plan refused", noPlan},
		{"gauge, nothing recorded", fresh},
		{"gauge, found wrong", mistaken},
		{"study, blind entry", study},
		{"study, done", done},
		{"study, taken over", adopted},
		{"bias", Bias{Frame: lead("Gauges"), Gauge: gauge}},
		{"bias, computed", Bias{
			Frame: lead("Gauges"), Gauge: gauge, Lines: "2 2.7 2.5 2.4\n10 9.1 9.3 9.5", Rows: []BiasRow{{"2 mm", 3, "0.53 mm", "0.15 to 0.91 mm with 95 % confidence", "off"}},
			Linearity: []Figure{{"Slope", "−0.1292", "t = −6.1"}}, Says: []string{"2 of 2 references are read off.", "The bias changes along the range."},
		}},
		{"bias, refused", Bias{Frame: lead("Gauges").refused("bias", Field{"lines", "2 two", "line 1: “two” is no number"}), Gauge: gauge}},
		{"recall", Recall{Frame: lead("Recall"), Lots: []Link{{Href: "/recall?lot=C-2611", Text: "Cement C-2611"}}}},
		{"recall, found", Recall{Frame: lead("Recall"), Lot: "C-2611", Asked: true, CSV: "/recall.csv?lot=C-2611", Found: []RecallLine{{"1042", "Ida Lindroos-Wahlström", "Cement", "C-2611", Both, "Lasting", "Tue 24 Nov 13:40", "Ylva Näs", "at QC since 13:40"}}}},
		{"recall, not found", Recall{Frame: lead("Recall"), Lot: "C-9", Asked: true}},
	}
}
