package templates

import (
	"html/template"
	"slices"
)

// Sample is one page in one state.
type Sample struct {
	Name string // page and state, such as "station, empty"
	View View
}

// Gallery returns every page in every state that differs to the eye, from ready-made views: the story of
// one day in an invented workshop. New shows each of them once; the tests walk them in a browser.
func Gallery() []Sample {
	return slices.Concat(galleryDoor(), galleryStation(), galleryPair(), galleryQC(), galleryDesk(), galleryOrder(), galleryOrderForm(), galleryLead(), galleryPlan(), galleryQuality())
}

// frame is what the gallery's pages have around them.
func frame(role, here string) Frame {
	places := map[string][]Link{
		"bench worker":  {{Href: "/station", Text: "Stations"}},
		"inspector":     {{Href: "/station", Text: "Stations"}, {Href: "/desk", Text: "Pairs"}},
		"front desk":    {{Href: "/desk", Text: "Pairs"}, {Href: "/order", Text: "New order"}},
		"workshop lead": {{Href: "/lead", Text: "Overview"}, {Href: "/plan", Text: "Plan"}, {Href: "/desk", Text: "Pairs"}, {Href: "/order", Text: "New order"}, {Href: "/station", Text: "Stations"}, {Href: "/shop", Text: "Shop file"}},
	}[role]
	f := Frame{Shop: "Kvartsisen Bootmakers", Key: "8d1f0c6b52aa4e17", AsOf: "14:05"}
	if role == "" {
		return f
	}
	f.Role = role
	f.Person = map[string]string{"bench worker": "Ylva Näs", "inspector": "Olle Ström", "front desk": "Signe Dahl", "workshop lead": "Tor Hedin"}[role]
	for _, p := range places {
		p.Here = p.Text == here
		f.Places = append(f.Places, p)
	}
	return f
}

func (f Frame) live(address string) Frame { f.Live = address; return f }

func (f Frame) refused(form string, fields ...Field) Frame {
	f.Form, f.Sound = Form{Name: form, Fields: fields}, "refused"
	return f
}

func (f Frame) noticed(sound, text string, undo Undo, links ...Link) Frame {
	f.Notice, f.Sound = Notice{Text: text, Undo: undo, Links: links}, sound
	return f
}

func head(sheet int) JobHead {
	return JobHead{Number: "1042", Sheet: sheet, Code: "1 0010 4201 77", Customer: "I. L.", Pattern: "Tour high", Size: "Mondopoint 262", Promise: "Fri 27 Nov"}
}

func lateHead() JobHead {
	h := head(1)
	h.Late = "at risk"
	return h
}

var lastingCautions = []Caution{
	{Hazard: "flammable vapour from cement", Text: "Keep flames and sparks away, the extraction on and the lid closed; wear the gloves and follow the supplier's safety data sheet.", Signs: []string{"W021", "M009"}},
	{Hazard: "nails and knife", Text: "Cut away from the hand; wear eye protection when pulling nails.", Signs: []string{"M004"}},
}

// soles stands for the drawing that the server passes in.
const soles template.HTML = `<svg viewBox="0 0 240 300" role="img" aria-label="Two soles from above. Mark 1: right foot, inner ankle bone.">
<g fill="none" stroke="currentColor" stroke-width="2"><path d="M78 12c-32 0-44 40-38 84 4 26 10 44 8 72-2 30-2 60 0 84 2 24 12 38 28 38s28-14 30-38c2-30-4-54-2-84 2-26 10-46 8-78-2-48-10-78-34-78z"/><path d="M162 12c32 0 44 40 38 84-4 26-10 44-8 72 2 30 2 60 0 84-2 24-12 38-28 38s-28-14-30-38c-2-30 4-54 2-84-2-26-10-46-8-78 2-48 10-78 34-78z"/></g>
<g font-size="15" font-weight="700" text-anchor="middle"><circle cx="134" cy="212" r="12" fill="currentColor"/><text x="134" y="217" fill="#fbf8f0">1</text><text x="76" y="150" fill="currentColor">L</text><text x="164" y="150" fill="currentColor">R</text></g></svg>`

func galleryDoor() []Sample {
	tired := frame("", "").refused("sign-in", Field{"badge", "900012345678986", ""}, Field{"pin", "", "this PIN is not the one of the badge; two tries are left before a pause"})
	return []Sample{
		{"sign-in, first", SignIn{Frame: frame("", ""), Next: "/station/lasting"}},
		{"sign-in, badge read", SignIn{Frame: frame("", ""), Badge: "900012345678986", Name: "Ylva", Next: "/station/lasting"}},
		{"sign-in, wrong PIN", SignIn{Frame: tired, Next: "/"}},
		{"sign-in, badge unknown", SignIn{Frame: frame("", "").refused("sign-in", Field{"badge", "900012345678987", "the check digits do not fit: scan the badge again"}), Next: "/"}},
		{"sign-in, too many tries", SignIn{Frame: frame("", "").refused("sign-in", Field{"badge", "900012345678986", ""}, Field{"pin", "", ""}), Next: "/", Wait: "five wrong PINs: wait 30 seconds, then try again"}},
		{"stranger", Stranger{Frame: frame("", ""), Next: "/S/10010420177", Phone: "0000 555 0142"}},
		{"error, no such page", Error{Frame: frame("bench worker", ""), Status: 404, What: "There is nothing at this address", Do: "Check the address, or begin again from the first page."}},
		{"error, not allowed", Error{Frame: frame("bench worker", ""), Status: 403, What: "A bench worker may not open the shop file", Do: "Ask the workshop lead."}},
		{"error, fault of the program", Error{Frame: frame("front desk", ""), Status: 500, What: "This page could not be made", Do: "Nothing was changed. Try again; if it stays so, tell whoever keeps the computer the number below.", ID: "f3a91c20"}},
		{"scan, ready to start", Scan{Frame: frame("bench worker", ""), Job: head(1), Where: "At Holder mounting, waiting", Forecast: thursday(), Station: "holder-mounting", Act: "Start Holder mounting", Specials: specials(), Links: []Link{{Href: "/job/1042", Text: "The whole job"}}}},
		{"scan, in hand", Scan{Frame: frame("bench worker", ""), Job: head(1), Where: "At Finishing since 13:10", Forecast: thursday(), Station: "finishing", Specials: specials(), Links: []Link{{Href: "/station/finishing/job/1042", Text: "Go on with it"}}}},
		{"scan, resting", Scan{Frame: frame("bench worker", "").noticed("refused", "", Undo{}), Job: lateHead(), Where: "Rests after Lasting", Station: "holder-mounting", Forecast: thursday(), Why: "The cement dries until 14:20. Nothing to do before then.", Specials: specials()}},
	}
}

func thursday() Forecast {
	return Forecast{Date: "Thu 26 Nov", Confidence: "nine in ten", Range: "Wed 25 to Mon 30 Nov", Why: "waits behind 3 pairs at Holder mounting"}
}

func specials() []Special {
	return []Special{
		{Foot: Right, Text: "Last out at the inner ankle bone", Target: "4 mm"},
		{Foot: Both, Text: "Boot height", Target: "+3 mm"},
		{Foot: Left, Text: "Ring pad at the outer ankle bone", Target: "5 mm"},
	}
}
