package templates

func galleryPlan() []Sample {
	lead := func() Frame { return frame("workshop lead", "Plan").live("/live?plan=1") }
	kinds := []Choice{{"away", "a person away", true}, {"extra", "an extra place", false}, {"closed", "closed", false}, {"overtime", "overtime", false}}
	stations := []Choice{{"lasting", "Lasting", true}, {"holder-mounting", "Holder mounting", false}, {"all", "the whole workshop", false}}
	asItIs := Plan{
		Frame: lead(), Kinds: kinds, Stations: stations, From: "Mon 23 Nov", Until: "Thu 3 Dec",
		Load: []LoadAhead{
			{"lasting", "Lasting", []LoadWeek{{"Mon 23 Nov", "31 h", "57 h", 0.54, "54 %"}, {"Mon 30 Nov", "12 h", "114 h", 0.11, "11 %"}}},
			{"holder-mounting", "Holder mounting", []LoadWeek{{"Mon 23 Nov", "21 h", "19 h", 1.1, "110 %"}, {"Mon 30 Nov", "29 h", "38 h", 0.76, "76 %"}}},
		},
		Pairs: []PlanPair{
			{Number: "1042", Customer: "Ida Lindroos-Wahlström", Where: "Rests after Lasting until 14:20", Forecast: thursday(), Promise: "Fri 27 Nov", Strip: sampleStrip()},
			{Number: "1029", Customer: "Tuva Nordin", Where: "Waits for Lasting again", Forecast: Forecast{Date: "Tue 1 Dec", Confidence: "nine in ten", Range: "Mon 30 Nov to Thu 3 Dec", Why: "waits behind 2 pairs at Lasting"}, Promise: "Fri 27 Nov", Late: "at risk, 12 % to be in time", Strip: reworkStrip()},
		},
		Paces: []Pace{{"Lasting", "95 min", "108 min from 61 finished steps", "4 %, shop file 3 %"}, {"QC", "25 min", "nothing finished yet", "5 %, shop file 5 %"}},
	}
	tried := asItIs
	tried.Ifs = []string{"away lasting 2026-11-26"}
	tried.Tried = []Tried{{"a person away at Lasting, Thu 26 Nov", "/plan"}}
	tried.Changes = []PlanChange{
		{"1042", "Ida Lindroos-Wahlström", "Fri 27 Nov", PlanDate{"Thu 26 Nov", "nine in ten", "97 %"}, PlanDate{"Mon 30 Nov", "nine in ten", "61 %"}, "4 d later"},
		{"1063", "Abel Ek", "", PlanDate{"Wed 2 Dec", "nine in ten", ""}, PlanDate{"Tue 8 Dec", "nine in ten", ""}, "6 d later"},
	}
	same := tried
	same.Changes = nil
	refused := Plan{Frame: lead().refused("try", Field{"kind", "overtime", ""}, Field{"station", "all", ""}, Field{"first", "2026-11-26", ""}, Field{"last", "2026-11-25", "the last day, 2026-11-25, lies before the first, 2026-11-26"}, Field{"hours", "13", "13 is no overtime: more than 0 and at most 12 hours a day are allowed"}), Kinds: kinds, Stations: stations, Load: asItIs.Load, Paces: asItIs.Paces, From: "Mon 23 Nov", Until: "Wed 25 Nov"}
	return []Sample{
		{"plan", asItIs},
		{"plan, a person away", tried},
		{"plan, nothing changes", same},
		{"plan, refused, no pairs", refused},
	}
}
