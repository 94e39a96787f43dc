package templates

// strip is a week of one pair.
func sampleStrip() Strip {
	return Strip{
		Text: "Heat-moulding and Lasting done, cement dries until 14:20, then three operations; ready Thu 26 Nov with nine in ten; promised Fri 27 Nov.",
		Bars: []StripBar{
			{0.02, 0.06, Worked, "Heat-moulding, Mon 08:10 to 09:00"},
			{0.06, 0.12, Rested, "cools until 10:00"},
			{0.22, 0.34, Worked, "Lasting, Tue 11:10 to 13:40"},
			{0.34, 0.42, Rested, "cement dries until 14:20"},
			{0.5, 0.56, Expected, "Holder mounting"},
			{0.58, 0.64, Expected, "Finishing, QC"},
		},
		Ticks:   []StripTick{{0, "Mon 23"}, {0.2, "Tue"}, {0.4, "Wed"}, {0.6, "Thu"}, {0.8, "Fri"}, {0.99, "Sat"}},
		Now:     0.38,
		Promise: 0.9,
		Taper:   Taper{P10: 0.64, P50: 0.7, P80: 0.78, P95: 0.97},
	}
}

func reworkStrip() Strip {
	return Strip{
		Text:  "Back at Lasting after QC found the right boot 3.1 mm high; then on hold; ready Tue 1 Dec with nine in ten; promised Fri 27 Nov.",
		Bars:  []StripBar{{0, 0.2, Worked, "to QC"}, {0.22, 0.3, Reworked, "Lasting again, right"}, {0.3, 0.44, OnHold, "on hold"}, {0.5, 0.7, Expected, "Finishing, QC"}},
		Ticks: []StripTick{{0, "Mon 23"}, {0.25, "Wed"}, {0.5, "Fri"}, {0.75, "Mon 30"}, {0.95, "Wed"}},
		Now:   0.44, Promise: 0.5, Taper: Taper{P10: 0.7, P50: 0.76, P80: 0.84, P95: 0.95},
	}
}

func galleryDesk() []Sample {
	desk := func() Frame { return frame("front desk", "Pairs").live("/live?desk=1") }
	filter := []Choice{{"open", "open pairs", true}, {"late", "late or at risk", false}, {"held", "on hold", false}, {"released", "released", false}}
	late := DeskPair{
		Number: "1029", Customer: "Tuva Nordin", Pattern: "Bandy low, 281",
		Forecast: Forecast{Date: "Tue 1 Dec", Confidence: "nine in ten", Range: "Mon 30 Nov to Thu 3 Dec", Why: "rework at Lasting, then waits behind 2 pairs"},
		Promise:  "Fri 27 Nov", Late: "2 days late", Hold: "the customer calls back about the height", Strip: reworkStrip(),
	}
	good := DeskPair{Number: "1042", Customer: "Ida Lindroos-Wahlström", Pattern: "Tour high, 262", Where: "Rests after Lasting until 14:20; Holder mounting tomorrow", Forecast: thursday(), Promise: "Fri 27 Nov", Strip: sampleStrip()}
	fresh := DeskPair{Number: "1063", Customer: "Abel Ek", Pattern: "Tour high, 290", Where: "Waits for Heat-moulding"}
	all := Desk{Frame: desk(), Pairs: []DeskPair{late, good, fresh}, Total: 41, Late: 1, Filter: filter, Unprinted: 3, Calendar: "/calendar.ics?token=uD1wq0mJfO5xT2vB7nKc4RzLhYgEaS9iPdXo8tUeVbM"}
	found := all
	found.Query, found.Found, found.Pairs = "lin", 1, []DeskPair{good}
	job := Job{
		Frame: desk().live("/live?job=1042"), Job: head(2), State: "Rests after Lasting until 14:20", Forecast: thursday(), Strip: sampleStrip(),
		Contact: "Ida Lindroos-Wahlström, 0000 555 0117", WantedBy: "Mon 30 Nov",
		Sheets: []SheetLine{{2, "Tue 24 Nov 10:05, Signe Dahl", "height +6 mm instead of +3 mm", 1, false, "/job/1042/sheet/2.pdf"}, {1, "Mon 23 Nov 08:02, Signe Dahl", "", 2, true, "/job/1042/sheet/1.pdf"}},
		History: []HistoryLine{
			{"20481", "Tue 24 Nov 12:50", "Ylva Näs", "finished Lasting; the cement dries until 14:20", false},
			{"20479", "Tue 24 Nov 11:58", "Ylva Näs", "right: instep girth 252.0 mm, in", false},
			{"20470", "Tue 24 Nov 11:09", "Ylva Näs", "started Lasting", true},
			{"20391", "Mon 23 Nov 08:02", "Signe Dahl", "opened the job", false},
		},
		Spec: sampleSpec(), Figure: soles, Papers: []Link{{Href: "/job/1042/customer-slip.pdf", Text: "Customer's slip"}}, LabelsOnSheet: 23,
		MayHold: true, MayChange: true, MayPrint: true,
	}
	held := job
	held.Job, held.Held, held.MayHold, held.MayResume = lateHead(), "the customer calls back about the height (Signe Dahl, Tue 24 Nov 15:10)", false, true
	held.Open = []Nonconformity{{What: "Boot height, 3.1 mm over", Foot: Right, Disposition: "rework at Lasting", Reason: "take the shell down to the mark", Who: "Olle Ström", When: "Tue 24 Nov 13:50", Slip: "/job/1042/slip/20503"}}
	pinned := job
	pinned.Frame = frame("workshop lead", "Pairs").live("/live?job=1042")
	pinned.Turn, pinned.Pinned, pinned.MayPin = "fixed as number 1 in each queue by Tor Hedin, 13:20: the customer travels on Friday", true, true
	noTurn := pinned
	noTurn.Frame = frame("workshop lead", "Pairs").live("/live?job=1042").refused("pin", Field{"turn", "0", "0 is no turn: 1, the next, to 20 are allowed"}, Field{"reason", "", "write why"})
	noTurn.Turn, noTurn.Pinned = "number 3 of 7 at Holder mounting", false
	noHold := job
	noHold.Frame = desk().refused("hold", Field{"reason", "", "write why, so that the benches know"})
	released := job
	released.Frame = frame("workshop lead", "Pairs").live("/live?job=1042")
	released.Strip.Taper, released.Forecast = Taper{}, Forecast{}
	released.State, released.Released = "", "released on Thu 26 Nov 14:02 by Olle Ström"
	released.MayHold, released.MayChange, released.MayRepeat, released.MayErase = false, false, true, true
	released.SameName = []Choice{{Value: "1007", Text: "1007, Floe, bandy boot, Mondopoint 262: released Mon 3 Aug by Olle Ström"}}
	released.Photos = []Photo{samplePhoto()}
	change := Change{
		Frame: desk(), Job: head(1),
		Groups: []FieldGroup{
			{"Last", []SpecField{{Name: "last.openings.0.by", Label: "Out at the inner ankle bone", Foot: Right, Unit: "mm", Value: "4"}}},
			{"Shell", []SpecField{
				{Name: "shell.height.left", Label: "Height over base", Foot: Left, Unit: "mm", Value: "6", Choices: []Choice{{"0", "0", false}, {"3", "+3", false}, {"6", "+6", true}, {"9", "+9", false}}},
				{Name: "shell.height.right", Label: "Height over base", Foot: Right, Unit: "mm", Value: "3", Choices: []Choice{{"0", "0", false}, {"3", "+3", true}}},
				{Name: "shell.toe_box", Label: "Toe box", Foot: Both, Value: "wide", Required: true},
				{Name: "shell.facing.inner.right", Label: "Facing, inner side", Foot: Right, Help: "such as 6.35 mm on 1-6"},
				{Name: "shell.remark", Label: "Remark", Foot: Both, Long: true},
			}},
		},
		NextSheet: 2,
	}
	wrong := change
	wrong.Frame = desk().refused("change", Field{"shell.height.left", "7", "7 mm is no step of Tour high: 0, 3, 6 or 9 mm"})
	confirm := Change{
		Frame: desk(), Job: head(1), Reason: "feels low after the fitting", NextSheet: 2, Draft: "b1c7",
		Differences: []Difference{{"Height over base", Both, "+3 mm", "+6 mm"}},
		Touched:     []TouchedOperation{{"Lasting", "done, must be redone", true}, {"QC", "not begun", false}},
		Before:      thursday(), After: Forecast{Date: "Mon 30 Nov", Confidence: "nine in ten", Range: "Fri 27 Nov to Tue 1 Dec", Why: "Lasting is redone"},
		Findings: sampleFindings()[1:],
	}
	blocked := confirm
	blocked.Findings, blocked.Blocked = sampleFindings()[:1], true
	return []Sample{
		{"desk", all},
		{"desk, found", found},
		{"desk, nothing found", Desk{Frame: desk(), Query: "xyz", Filter: filter, Total: 41, Late: 1, Calendar: all.Calendar}},
		{"desk, no pairs", Desk{Frame: desk(), Filter: filter, Calendar: all.Calendar}},
		{"job, resting, changed once", job},
		{"job, on hold", held},
		{"job, its turn fixed", pinned},
		{"job, no such turn", noTurn},
		{"job, hold without a reason", noHold},
		{"job, released", released},
		{"change, the fields", change},
		{"change, refused", wrong},
		{"change, to confirm", confirm},
		{"change, blocked", blocked},
	}
}

func sampleSpec() []SpecGroup {
	return []SpecGroup{
		{"Last", []SpecLine{{Name: "Inner ankle bone", Left: "as the pattern", Right: "outwards 4 mm over 40 mm"}, {Name: "Volume", Both: "0 mm"}}},
		{"Shell", []SpecLine{{Name: "Stiffness", Both: "grade 4, 12.5 N·m"}, {Name: "Height", Both: "+6 mm"}}},
		{"Blade", []SpecLine{{Name: "Holder", Both: "280, long touring"}, {Name: "Hollow", Both: "1/2 in (12.7 mm)"}}},
	}
}

func sampleFindings() []Finding {
	return []Finding{
		{ID: "holder-length", Severity: "cannot be built", Text: "the holder is 300 mm long; this sole takes 260 to 285 mm", Fields: "blade.holder"},
		{ID: "remark-right-ankle", Severity: "contradiction", Text: "the remark speaks of the right ankle and 4 mm, but nothing is adjusted on the right foot", Fields: "remarks, last.openings", Offer: "right, inner ankle bone, outwards, 4 mm", Pass: true},
		{ID: "left-right-length", Severity: "unusual", Text: "left is 9 mm longer than right", Fields: "feet.left.length, feet.right.length", Pass: true},
	}
}

func galleryOrder() []Sample {
	desk := func() Frame { return frame("front desk", "New order") }
	order := OrderFindings{Reference: "2026-118", Customer: "Ida Lindroos-Wahlström", Pattern: "Tour high, Mondopoint 262", WantedBy: "Mon 30 Nov", Quote: thursday(), Findings: sampleFindings()[1:], Lines: sampleSpec()}
	review := OrderReview{Frame: desk(), File: "orders-november.json", Upload: "a41f", Orders: []OrderFindings{order, {Customer: "Abel Ek", Pattern: "Tour high, Mondopoint 290"}}, Count: 2}
	unnamed := review
	unnamed.Frame = desk().refused("open", Field{"accept.remark-right-ankle", "yes", ""}, Field{"who.left-right-length", "Signe Dahl", ""}, Field{"reason.left-right-length", "", "write why it may pass"})
	blocked := review
	stopped := order
	stopped.Findings = sampleFindings()
	blocked.Orders, blocked.Blocked, blocked.Count = []OrderFindings{stopped}, true, 1
	return []Sample{
		{"order", OrderNew{Frame: desk(), Limit: "10 MB", Drafts: []DraftLine{{"draft-77", "Ida Lindroos-Wahlström", "Tour high", "saved Mon 23 Nov 08:02 by Signe Dahl"}}}},
		{"order, no file", OrderNew{Frame: desk().refused("review", Field{"file", "", "choose a file first: JSON or CSV"}), Limit: "10 MB"}},
		{"review, findings to pass", review},
		{"review, passed without a reason", unnamed},
		{"review, cannot be built", blocked},
		{"review, not an order", OrderReview{Frame: desk(), File: "orders.csv", Refused: []Refused{{"orders.csv:3:7", "girth_ball_left_mm: 25,2,5 is not a length"}, {"orders.csv:4", "pattern: there is no pattern \"Tour hgih\""}}}},
	}
}

func galleryLead() []Sample {
	lead := func(here string) Frame { return frame("workshop lead", here) }
	parts := []SpecGroup{{"Stations", []SpecLine{{Name: "Lasting", Both: "3 places, Mon to Thu 07:00–16:30"}}}, {"Gauges", []SpecLine{{Name: "calliper 1", Both: "0.05 mm, u 0.03 mm"}}}}
	text := "[workshop]\nname = \"Kvartsisen Bootmakers\"\nzone = \"Europe/Stockholm\"\n\n[[station]]\nkey = \"lasting\"\nname = \"Lasting\"\nplaces = 3\n"
	return []Sample{
		{"lead", Lead{
			Frame: lead("Overview").live("/live?lead=1"),
			Late:  []LeadPair{{Number: "1029", Customer: "Tuva Nordin", Where: "On hold at Lasting", Promise: "Fri 27 Nov", Late: "2 days late", Forecast: Forecast{Date: "Tue 1 Dec", Confidence: "nine in ten", Range: "Mon 30 Nov to Thu 3 Dec", Why: "rework at Lasting"}, Save: "resume it today and take it first at Lasting: then Fri 27 Nov, seven in ten"}},
			Load: []StationLoad{
				{Key: "lasting", Name: "Lasting", Places: 3, Waiting: 3, InHand: 2, Resting: 1, Work: "31 h", Capacity: "114 h", Share: 0.27, ShareText: "27 %"},
				{Key: "holder-mounting", Name: "Holder mounting", Places: 1, Waiting: 7, InHand: 1, Work: "42 h", Capacity: "38 h", Share: 1.1, ShareText: "110 %", Bottleneck: true},
			},
			Recent: []Nonconformity{{What: "Boot height, 3.1 mm over", Foot: Right, Disposition: "rework at Lasting", Reason: "take the shell down to the mark", Who: "Olle Ström", When: "Tue 24 Nov 13:50", Slip: "/job/1042/slip/20503"}},

			Signals: sampleSignals(true),
		}},
		{"lead, nothing late", Lead{Frame: lead("Overview"), Load: []StationLoad{{Key: "qc", Name: "QC", Places: 1, Work: "0 h", Capacity: "38 h", ShareText: "0 %"}}}},
		{"shop", Shop{Frame: lead("Shop file"), File: "shop.toml", Text: text, Since: "Mon 2 Nov", Parts: parts, Papers: []Link{{Href: "/shop/badges.pdf", Text: "Badges"}}}},
		{"shop, with faults", Shop{Frame: lead("Shop file"), File: "shop.toml", Text: text + "palces = 3\n", Since: "Mon 2 Nov", Parts: parts, Faults: []ShopFault{{9, "there is no key \"palces\"; did you mean \"places\"?"}, {0, "no route is given"}}}},
		{"shop, fits", Shop{Frame: lead("Shop file"), File: "shop.toml", Text: text, Since: "Mon 2 Nov", Parts: parts, Fits: true}},
	}
}
