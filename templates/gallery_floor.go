package templates

import "slices"

func queueItem(number, customer, size string) QueueItem {
	return QueueItem{Number: number, Customer: customer, Pattern: "Tour high", Size: size, Promise: "Fri 27 Nov", Expected: "expected ready Thu 26 Nov, nine in ten"}
}

func ready() []QueueItem {
	first, second := queueItem("1042", "I. L.", "262"), queueItem("1047", "B. A.", "255")
	first.Next, first.May = true, true
	first.Special = "right: last out at the inner ankle bone 4\u00a0mm"
	first.When = "must begin by 16:40"
	second.May, second.Late, second.Promise = true, "at risk", "Wed 25 Nov"
	third := queueItem("1051", "E. S.", "248")
	third.May = true
	return []QueueItem{first, second, third}
}

func galleryStation() []Sample {
	worker := func() Frame { return frame("bench worker", "Stations").live("/live?station=lasting") }
	inHand := queueItem("1038", "K. T.", "270")
	inHand.When, inHand.Who = "since 11:10", "Ylva Näs"
	oven := queueItem("1060", "M. O.", "240")
	oven.When, oven.Who = "since 07:00", "Ylva Näs"
	resting := queueItem("1036", "A. B.", "265")
	resting.When = "cement dries until 14:20"
	held := queueItem("1029", "T. N.", "281")
	held.Why = "on hold: the customer calls back about the height"
	coming := queueItem("1058", "H. R.", "235")
	coming.Why = "from Heat-moulding, cools until 14:50"
	full := Station{
		Frame: worker(), Station: "lasting", Name: "Lasting", InHand: []QueueItem{inHand}, Ready: ready(),
		Resting: []QueueItem{resting}, Coming: []QueueItem{coming}, Held: []QueueItem{held}, Cautions: lastingCautions,
	}
	after := full
	after.Frame = worker().noticed("done", "1042 goes back to Heat-moulding.",
		Undo{Action: "/station/lasting/job/1042/undo", Entry: "20481", What: "rework of 1042"}, Link{Href: "/job/1042/slip/20481", Text: "Print its slip"})
	mistyped := full
	mistyped.Frame = worker().refused("scan", Field{"code", "10010420108", "the check digits of 10010420108 do not fit: scan it again, or type it from the paper"})
	load := Station{
		Frame: frame("bench worker", "Stations").live("/live?station=heat-moulding"), Station: "heat-moulding", Name: "Heat-moulding",
		InHand: []QueueItem{oven}, Ready: ready()[1:],
		Load: Load{Programme: "85 °C, 12 min", Room: 1, Pairs: []LoadPair{
			{Number: "1061", Sheet: 1, Customer: "L. V.", Pattern: "Tour high", Size: "244", TakeOut: "/station/heat-moulding?load=1062-2"},
			{Number: "1062", Sheet: 2, Customer: "P. G.", Pattern: "Bandy low", Size: "268", TakeOut: "/station/heat-moulding?load=1061-1"},
		}},
		Cautions: []Caution{{Hazard: "burn from oven or boot", Text: "Let nobody touch rails, eyelets or shell bare-handed until the surface is cool enough to hold.", Signs: []string{"W017", "M009"}}},
	}
	loaded := load
	loaded.Load.Room = 0
	early := Refusal{
		Frame: worker().noticed("refused", "", Undo{}), Station: "holder-mounting", StationName: "Holder mounting", Code: "1 0010 4201 77",
		What: "1042 rests until 14:20", Do: "The cement dries. Take the next pair meanwhile.", Job: head(1), Next: ready()[1:2],
	}
	outdated := Refusal{
		Frame: frame("inspector", "Stations").live("/live").noticed("refused", "", Undo{}), Station: "finishing", StationName: "Finishing", Code: "1 0010 4201 77",
		What: "This is sheet 1; sheet 2 replaces it", Do: "Height +6 mm instead of +3 mm. Ask the desk for sheet 2 and throw this one away.", Job: head(2),
		Links: []Link{{Href: "/job/1042", Text: "What changed on 1042"}},
	}
	mixed := Refusal{
		Frame: worker().noticed("refused", "", Undo{}), Station: "lasting", StationName: "Lasting", Code: "2 0010 4701 80",
		What: "Wrong boot: this is the left boot of 1047", Do: "The sheet on the bench is 1042. Put the boot back and find the left boot of 1042.", Job: head(1),
	}
	return []Sample{
		{"stations", Stations{Frame: frame("bench worker", "Stations"), List: []StationLine{{"heat-moulding", "Heat-moulding", 4, 1, 2}, {"lasting", "Lasting", 3, 2, 1}, {"holder-mounting", "Holder mounting", 7, 1, 0}, {"finishing", "Finishing", 2, 2, 0}, {"qc", "QC", 1, 0, 0}}}},
		{"station, morning", full},
		{"station, after a decision", after},
		{"station, mistyped code", mistyped},
		{"station, gathering a load", load},
		{"station, load full", loaded},
		{"station, nothing waits", Station{Frame: worker(), Station: "lasting", Name: "Lasting", Cautions: lastingCautions}},
		{"refusal, too early", early},
		{"refusal, outdated sheet", outdated},
		{"refusal, wrong boot", mixed},
	}
}

func galleryPair() []Sample {
	worker := func() Frame { return frame("bench worker", "Stations").live("/live?job=1042") }
	do := []Instruction{
		{ID: "last.opening.inner-ankle.right", Foot: Right, Mark: "1", Text: "Bring the last out at the inner ankle bone, over 40 mm", Target: "4 mm"},
		{ID: "inside.padding.right", Foot: Right, Mark: "2", Text: "Ring pad round the inner ankle bone", Target: "5 mm"},
		{ID: "shell.height", Foot: Both, Text: "Boot height one step over the base", Target: "+3 mm"},
		{ID: "inside.liner", Foot: Both, Text: "Wool felt lining 3 mm", Ordinary: true},
	}
	girth := Check{
		ID: "last.girth.right", Foot: Right, Name: "Instep girth of the last", Nominal: "252.5 mm", Limits: "251.5 to 253.5 mm",
		Gauges: []Choice{{"tape-1", "tape 1", true}, {"tape-2", "tape 2", false}}, Method: "tape over the last, without pull, at the mark",
		Inputs: []Input{{Name: "value", Label: "Reading", Unit: "mm"}},
	}
	pair := Pair{
		Frame: worker(), Station: "lasting", StationName: "Lasting", Operation: "Lasting", Job: head(1), State: Ready,
		Figure: soles, Do: do, Checks: []Check{girth}, Cautions: lastingCautions, Rest: "the cement dries 90 min", Then: "Holder mounting",
	}
	begun := pair
	begun.State, begun.Since, begun.By = InHand, "11:10", "Ylva Näs"
	girth.Open = true
	begun.Checks = []Check{girth}
	begun.Missing = []Link{{Href: "#do-last.opening.inner-ankle.right", Text: "right: last out at the inner ankle bone"}, {Href: "#check-last.girth.right", Text: "right: instep girth"}}
	begun.Undo = Undo{Action: "/station/lasting/job/1042/undo", Entry: "20480", What: "starting Lasting on 1042"}
	confirmed := begun
	confirmed.Do = make([]Instruction, len(do))
	for i, d := range do {
		d.Done, d.By, d.At = true, "Ylva Näs", "11:52"
		confirmed.Do[i] = d
	}
	confirmed.Missing = begun.Missing[1:]
	bad := confirmed
	bad.Frame = worker().refused("reading-last.girth.right", Field{"value", "25,2,5", "25,2,5 is not a length: write it as 252.5 or 252,5"}, Field{"gauge", "tape-2", ""})
	readIn := girth
	readIn.Readings = []Reading{{Value: "225.2 mm", Gauge: "tape 1", By: "Ylva Näs", At: "11:57", Void: true}, {Value: "252.0 mm, 252.5 mm, 251.5 mm", Gauge: "tape 1", By: "Ylva Näs", At: "11:58", Note: "reading: mean 252.0 mm of 3, range 1.0 mm, up to 1.7 mm is usual"}}
	readIn.Verdict, readIn.Said = In, "0.5 mm under nominal"
	done := confirmed
	done.Checks, done.Missing = []Check{readIn}, nil
	done.Parts = []Part{{Name: "cement", Label: "Lot of the cement", Lot: "C-2611"}}
	finished := done
	finished.State, finished.Since, finished.Parts = Finished, "12:50", nil
	readIn.Open = false
	finished.Checks = []Check{readIn}
	replaced := begun
	replaced.Replaced = "Sheet 2 replaces this one: height +6 mm instead of +3 mm. Stop and ask the desk for sheet 2."
	reworked := begun
	reworked.Again = "right: boot height 4 mm too high at the back; boot height at the back, right: 128.5 mm, allowed 123 to 126 mm"
	forgotten := begun
	forgotten.Forgotten = Forgotten{Since: "yesterday 15:40", By: "Ylva Näs", At: "2026-11-24T16:30"}
	ended := forgotten
	ended.Forgotten, ended.Ended = Forgotten{}, "Ylva Näs says that it ended yesterday 16:30."
	holder := done
	holder.Checks = []Check{{
		ID: "blade.holder.left", Foot: Left, Name: "Holder alignment", Nominal: "0.00°", Limits: "−0.50 to 0.50°", Verdict: In,
		Readings: []Reading{{Value: "front +0.1 mm, rear −0.1 mm", Gauge: "rule 1", By: "Ylva Näs", At: "12:20"}},
		Values:   []Value{{Name: "angle", Value: "0.08 ± 0.11°", Limits: "−0.50 to 0.50°", Verdict: In, Chance: "more than 99 % likely to conform, guarded acceptance"}},
	}}
	plain := pair
	plain.Do, plain.Checks, plain.Figure = nil, nil, ""
	return []Sample{
		{"pair, ready", pair},
		{"pair, in hand", begun},
		{"pair, all confirmed", confirmed},
		{"pair, reading refused", bad},
		{"pair, may be finished", done},
		{"pair, finished", finished},
		{"pair, sheet replaced", replaced},
		{"pair, nobody scanned off", forgotten},
		{"pair, told when it ended", ended},
		{"pair, sent back", reworked},
		{"pair, a value from two readings", holder},
		{"pair, nothing special", plain},
	}
}

func galleryQC() []Sample {
	inspector := func() Frame { return frame("inspector", "Stations").live("/live?job=1042") }
	gauges := []Choice{{"calliper-1", "calliper 1, 0.05 mm", true}, {"height-1", "height gauge, 0.01 mm", false}}
	height := func(foot Foot) Check {
		return Check{
			ID: "shell.height." + string(foot), Foot: foot, Name: "Boot height, back", Nominal: "121.0 mm", Limits: "120.0 to 122.0 mm",
			Gauges: gauges, Inputs: []Input{{Name: "value", Label: "Height", Unit: "mm"}}, Open: true,
		}
	}
	align := func(foot Foot) Check {
		return Check{
			ID: "blade.holder." + string(foot), Foot: foot, Name: "Holder alignment", Nominal: "0.00°", Limits: "−0.50 to 0.50°",
			Gauges: gauges[1:], Method: "offset of the holder from the boot's line, medial positive, 150 mm apart",
			Inputs: []Input{{Name: "front", Label: "Front offset", Unit: "mm"}, {Name: "rear", Label: "Rear offset", Unit: "mm"}}, Open: true,
		}
	}
	look := []Instruction{{ID: "blade.edges", Foot: Both, Text: "Edges level and free of burr on both runners"}}
	qc := QC{
		Frame: inspector(), Station: "qc", StationName: "QC", Job: head(1), State: InHand, Since: "13:40", By: "Olle Ström", Figure: soles, Do: look,
		Checks:   []Check{height(Left), align(Left), height(Right), align(Right)},
		Cautions: []Caution{{Hazard: "sharpened blades", Text: "Wear cut-resistant gloves; put the guards on whenever a boot is carried.", Signs: []string{"M009"}}},
		Missing:  []Link{{Href: "#check-shell.height.left", Text: "left: boot height"}, {Href: "#check-shell.height.right", Text: "right: boot height"}},
	}
	waiting := qc
	waiting.State, waiting.Since, waiting.By, waiting.Missing = Ready, "", "", nil
	waiting.Checks = slices.Clone(qc.Checks)
	for i := range waiting.Checks {
		waiting.Checks[i].Open = false
	}
	read := func(c Check, value, said string, v Verdict) Check {
		c.Readings = []Reading{{Value: value, Gauge: "calliper 1", By: "Olle Ström", At: "13:44"}}
		c.Verdict, c.Said = v, said
		return c
	}
	angle := func(c Check, v Verdict, value string) Check {
		c.Values = []Value{{Name: "angle", Value: value, Limits: "−0.50 to 0.50°", Verdict: v}, {Name: "shift", Value: "0.05 ± 0.14 mm", Limits: "−1.00 to 1.00 mm", Verdict: In}}
		return c
	}
	unsure := read(angle(align(Right), Close, "0.42 ± 0.11°"), "front +0.6 mm, rear −0.5 mm", "within the gauge's uncertainty of the upper limit", Close)
	unsure.Ask = "Measure again, with the height gauge."
	leftIn := read(angle(align(Left), In, "0.08 ± 0.11°"), "front +0.1 mm, rear −0.1 mm", "", In)
	out := qc
	out.Checks = []Check{read(height(Left), "121.2 mm", "0.2 mm over nominal", In), leftIn, read(height(Right), "125.1 mm", "3.1 mm over the upper limit", Out), unsure}
	out.Verdict, out.MayDecide = Out, true
	out.Missing = []Link{{Href: "#check-shell.height.right", Text: "right: boot height is out"}, {Href: "#check-blade.holder.right", Text: "right: holder alignment is too close to call"}}
	out.Findings = []Choice{{"shell.height.right", "right: boot height, 3.1 mm over", true}, {"", "something else", false}}
	out.Causes = []Choice{{"work", "work at the bench", false}, {"unknown", "not known", true}}
	out.Foot = Right
	out.Reworks = []Choice{{"lasting", "Lasting", true}, {"holder-mounting", "Holder mounting", false}, {"finishing", "Finishing", false}}
	out.Undo = Undo{Action: "/station/qc/job/1042/undo", Entry: "20502", What: "the last reading on 1042"}
	noReason := out
	noReason.Frame = inspector().refused("rework", Field{"check", "shell.height.right", ""}, Field{"foot", "", "say which foot goes back: left, right or both"}, Field{"to", "lasting", ""}, Field{"reason", "", "write the reason, so that the bench knows what to do"})
	noAgreed := out
	noAgreed.Frame = inspector().refused("concession", Field{"foot", "right", ""}, Field{"agreed", "", "write who agreed to the concession"}, Field{"reason", "customer has tried it on", ""})
	noScrap := out
	noScrap.Frame = inspector().refused("scrap", Field{"foot", "both", ""}, Field{"reason", "", "write the reason"}, Field{"", "", "the pair was put on hold meanwhile: ask the desk"})
	good := qc
	good.Job = lateHead()
	good.Do = []Instruction{{ID: "blade.edges", Foot: Both, Text: "Edges level and free of burr on both runners", Done: true, By: "Olle Ström", At: "13:46"}}
	good.Checks = []Check{read(height(Left), "121.2 mm", "0.2 mm over nominal", In), leftIn, read(height(Right), "121.4 mm", "0.4 mm over nominal", In), read(angle(align(Right), In, "0.31 ± 0.04°"), "front +0.4 mm, rear −0.4 mm", "", In)}
	good.Verdict, good.Missing, good.MayRelease = In, nil, true
	good.Open = []Nonconformity{{What: "Boot height, 3.1 mm over", Foot: Right, Disposition: "rework at Lasting, done", Reason: "take the shell down to the mark", Who: "Olle Ström", When: "Tue 24 Nov 13:50", Slip: "/job/1042/slip/20503"}}
	released := good
	released.State, released.Since, released.MayRelease = Finished, "14:02", false
	released.Checks = slices.Clone(good.Checks)
	for i := range released.Checks {
		released.Checks[i].Open = false
	}
	replaced := good
	replaced.Replaced = "this is sheet 1 of job 1042; sheet 2 replaces it: boot height, step above the base: 6 mm instead of 3 mm; ask the desk for sheet 2"
	return []Sample{
		{"qc, ready", waiting},
		{"qc, no reading yet", qc},
		{"qc, right too high, alignment too close to call", out},
		{"qc, rework without a reason", noReason},
		{"qc, concession without a name", noAgreed},
		{"qc, scrap without a reason", noScrap},
		{"qc, all in", good},
		{"qc, sheet replaced", replaced},
		{"qc, released", released},
	}
}
