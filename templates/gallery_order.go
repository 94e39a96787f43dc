package templates

// sampleDrawing is a photo of a right foot with one point.
func sampleDrawing() Drawing {
	return Drawing{Src: "/static/icon.svg", Width: 800, Height: 600, Radius: 22, Text: "photo 1, right foot, 1 point", Marks: []PhotoMark{{1, 200, 240}}}
}

func samplePhoto() Photo {
	return Photo{Drawing: sampleDrawing(), Foot: Right, Points: []PhotoPoint{{"25", "40", "last at the inner ankle bone, right: 4 mm over 40 mm"}}}
}

// samplePhotoForm has a row for the point that is tied, and one for the next.
func samplePhotoForm() PhotoForm {
	tie := func(chosen bool) []Choice {
		return []Choice{{"", "not tied to anything yet", !chosen}, {"last.opening.inner-ankle.right", "last at the inner ankle bone, right", chosen}}
	}
	return PhotoForm{
		ID: "0a1b2c3d4e5f", Drawing: sampleDrawing(), Foot: Right, Feet: []Choice{{"left", "left", false}, {"right", "right", true}, {"both", "both", false}},
		Rows: []PointRow{{1, "25", "40", "4 mm over 40 mm", tie(true)}, {Number: 2, Choices: tie(false)}},
	}
}

func galleryOrderForm() []Sample {
	desk := func() Frame { return frame("front desk", "New order") }
	customer := FormBench{Key: "customer", Name: "Customer", Open: true, Fields: []FormField{
		{SpecField: SpecField{Name: "customer.name", Label: "name", Foot: Both, Required: true}},
		{SpecField: SpecField{Name: "customer.phone", Label: "telephone", Foot: Both}, Kind: "tel"},
		{SpecField: SpecField{Name: "customer.address", Label: "address", Foot: Both, Long: true}},
	}}
	patterns := []Choice{{"", "choose", true}, {"tour-high", "Tour high", false}}
	pair := FormBench{Key: "pair", Name: "The pair", Open: true, Fields: []FormField{
		{SpecField: SpecField{Name: "last.pattern", Label: "pattern", Foot: Both, Required: true, Choices: patterns}},
	}}
	first := OrderForm{Frame: desk(), Base: "{}", Benches: []FormBench{customer, pair}, Summary: "Choose the pattern and the size: then the benches come, and the review.", Blocked: true, Limit: "10 MB"}

	filled := first
	told := sampleFindings()[1:]
	filled.Draft, filled.Saved, filled.SavedAt = "draft-77", "Saved Mon 23 Nov 08:02 by Signe Dahl.", "2026-11-23T07:02:11.25Z"
	filled.Reviewed, filled.Blocked = true, false
	filled.Quote, filled.Findings, filled.Summary = thursday(), told, "2 to answer; the desk can promise Thu 26 Nov, nine in ten."
	customer.Filled = 1
	last := FormBench{Key: "last", Name: "Last", Open: true, Filled: 1, Fields: []FormField{
		{SpecField: SpecField{Name: "last.opening.inner-ankle.left", Label: "last at the inner ankle bone", Foot: Left, Unit: "mm", Help: "such as 4 mm, -2 mm for inwards"}},
		{SpecField: SpecField{Name: "last.opening.inner-ankle.right", Label: "last at the inner ankle bone", Foot: Right, Unit: "mm", Value: "4 mm over 40 mm"}, Said: []Beside{{Finding: told[1].ID, Severity: told[1].Severity, Text: told[1].Text}}},
	}}
	finish := FormBench{Key: "finish", Name: "Finish", Fields: []FormField{{SpecField: SpecField{Name: "last.lacing", Label: "laces", Foot: Both, Choices: []Choice{{"", "as the pattern has it", true}, {"waxed", "waxed flat laces", false}}}}}}
	filled.Benches = []FormBench{customer, pair, last, finish}
	filled.Photos = []PhotoForm{samplePhotoForm()}

	wrong := filled
	wrong.Frame = desk().refused("order", Field{"last.opening.inner-ankle.right", "4 furlongs", "4 furlongs is not a length: write it as 4 mm or 1/8 in"})
	wrong.Reviewed, wrong.Blocked, wrong.Findings, wrong.Quote, wrong.Photos = false, true, nil, Forecast{}, nil

	blocked := filled
	blocked.Findings, blocked.Blocked, blocked.Photos = sampleFindings(), true, nil

	repeat := filled
	repeat.Draft, repeat.Saved, repeat.SavedAt, repeat.Photos = "", "", "", nil
	repeat.Earlier = Earlier{
		Number: "1029", Said: []string{"boot height at the back (right): job 1029 came out at 124.1 mm where 122.5 mm was wanted; say whether to aim elsewhere"},
		Built: []BuiltLine{{"boot height at the back", Right, "122.5 mm", "124.1 mm"}, {"girth at the ball", Left, "249 mm", "249.5 mm"}},
	}
	return []Sample{
		{"order form, empty", first},
		{"order form, filled", filled},
		{"order form, wrong", wrong},
		{"order form, cannot be built", blocked},
		{"order form, repeat", repeat},
	}
}
