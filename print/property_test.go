package print

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"lastroom/jobs"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

// author writes texts of which every word is unique, so that a word lost or printed twice is seen.
type author struct {
	*rand.Rand
	words map[string]bool // those that have to be on the sheet once
	count int
}

var alphabets = []string{"abcdefghåäöøłžñß", "αβγδεζηθικλμνξ", "абвгдежзийклмнощ", "ÅÄÖMWQ"}

// say is a text of at most length characters.
func (a *author) say(length int) string {
	var text []string
	size := 0
	for size < length {
		letters := []rune(alphabets[a.IntN(len(alphabets))])
		var b strings.Builder
		for range 1 + a.IntN(9) {
			b.WriteRune(letters[a.IntN(len(letters))])
		}
		word := fmt.Sprintf("%s%d", b.String(), a.count)
		a.count++
		size += len([]rune(word)) + 1
		if size > length && len(text) > 0 {
			break
		}
		a.words[word] = true
		text = append(text, word)
	}
	return strings.Join(text, " ")
}

// anywhere takes words back: they may stand on the sheet any number of times, or not at all.
func (a *author) anywhere(text string) {
	for word := range strings.FieldsSeq(text) {
		delete(a.words, word)
	}
}

// upTo is a length that is mostly short and now and then the longest allowed.
func (a *author) upTo(longest int) int {
	switch a.IntN(12) {
	case 0:
		return longest
	case 1, 2:
		return longest / 4
	}
	return 5 + a.IntN(min(longest, 90))
}

// generated is a sheet that no workshop would make, with everything that a sheet can hold.
func generated(t testing.TB, a *author) Ticket {
	t.Helper()
	base := sampleTicket(t)
	base.Customer, base.Workshop = a.say(a.upTo(60)), a.say(a.upTo(60))
	a.anywhere(base.Customer + " " + base.Workshop) // these stand on every page
	sheet := jobs.Sheet{Job: []int{7, 1001, 123456, 999999}[a.IntN(4)], Number: 1 + a.IntN(99), Spec: base.Sheet.Spec}
	if a.IntN(3) == 0 {
		sheet.Reference = a.say(a.upTo(40))
	}
	operations := 1 + a.IntN(8)
	feet := []spec.Foot{spec.Left, spec.Right, spec.Both}
	for k := range operations {
		op := jobs.Operation{
			Key: fmt.Sprint("op", k), Name: a.say(8 + a.IntN(12)), Minutes: float64(a.IntN(3000)),
			Rest: float64(a.IntN(3) * 700), RestReason: a.say(a.upTo(60)), Window: float64(a.IntN(2) * 90),
		}
		a.anywhere(op.Name) // it stands again where its block goes on
		if op.Rest == 0 {
			a.anywhere(op.RestReason)
		}
		for range a.IntN(3) {
			op.Materials = append(op.Materials, jobs.Material{Name: a.say(a.upTo(80)), Required: a.IntN(2) == 0})
		}
		for range a.IntN(4) {
			var signs []string
			for range a.IntN(6) {
				signs = append(signs, []string{"W017", "M009", "P003", "F001", "X999"}[a.IntN(5)])
			}
			op.Cautions = append(op.Cautions, shop.Caution{Hazard: a.say(a.upTo(80)), Text: a.say(a.upTo(900)), Signs: signs})
		}
		sheet.Route = append(sheet.Route, op)
	}
	for k := range a.IntN(61) {
		i := spec.Instruction{
			ID: fmt.Sprint("i", k), Operation: fmt.Sprint("op", a.IntN(operations)), Work: spec.Works[a.IntN(len(spec.Works))],
			Foot: feet[a.IntN(3)], Special: a.IntN(2) == 0, Key: "spec.do.remark", Args: map[string]any{"text": a.say(a.upTo(2000))},
		}
		if a.IntN(2) == 0 {
			i.Target = &spec.Target{Value: a.NormFloat64() * 100, Unit: []string{"mm", "°", "N·m"}[a.IntN(3)]}
		}
		sheet.Instructions = append(sheet.Instructions, i)
	}
	for k := range a.IntN(25) {
		text := map[string]any{"text": a.say(a.upTo(120))}
		one := spec.Check{
			ID: fmt.Sprint("c", k), Operation: fmt.Sprint("op", a.IntN(operations)), Key: "spec.do.remark", Args: text,
			Nominal: a.NormFloat64() * 100, Lower: -a.Float64() * 1000, Upper: a.Float64() * 1000, Unit: "mm",
			Rule: spec.Value, Readings: []string{"value"}, Gauge: spec.Gauges[a.IntN(len(spec.Gauges))],
		}
		switch a.IntN(4) {
		case 0:
			one.Foot, one.Rule, one.Readings, one.Gauge = spec.Both, spec.Match, nil, ""
			sheet.Checks = append(sheet.Checks, one)
			continue
		case 1:
			one.Rule, one.Readings = spec.Angle, []string{"front", "rear"}
		}
		for _, foot := range feet[:1+a.IntN(2)] { // the pair of a check shares one row and one sentence
			one.Foot = foot
			one.Group = ""
			if one.Rule == spec.Angle {
				one.Group = fmt.Sprint("g", k, foot)
			}
			sheet.Checks = append(sheet.Checks, one)
		}
	}
	if sheet.Number > 1 {
		for range a.IntN(6) {
			sheet.Changes = append(sheet.Changes, spec.Difference{Path: "remarks[0]", Work: spec.RemarkWork, From: a.say(a.upTo(300)), To: a.say(a.upTo(300))})
		}
	}
	for range a.IntN(3) {
		sheet.Passed = append(sheet.Passed, jobs.Passed{
			Finding: spec.Finding{Key: "spec.do.remark", Args: map[string]any{"text": a.say(a.upTo(300))}}, By: a.say(12), Reason: a.say(a.upTo(300)),
		})
	}
	base.Sheet = sheet
	base.Copies = a.IntN(3)
	if a.IntN(5) == 0 {
		base.Figure = spec.Figure{}
	}
	if a.IntN(4) == 0 {
		base.Promise = nil
	}
	return base
}

// howMany is how many generated sheets a test looks at.
func howMany() uint64 {
	if os.Getenv("LASTROOM_FULL") == "1" {
		return 3000
	}
	if testing.Short() {
		return 30
	}
	return 150
}

func TestAnySheetHasNoConflictsAndLosesNoWord(t *testing.T) {
	pages := 0
	for seed := range howMany() {
		a := &author{Rand: rand.New(rand.NewPCG(seed, 7)), words: map[string]bool{}}
		paper := []Paper{A4, Letter}[seed%2]
		ticket := generated(t, a)
		marks, area := recorded(t, paper, ticket)
		if found := conflicts(marks, area); len(found) > 0 {
			t.Fatalf("seed %d, %s: %d conflicts, the first: %s", seed, paper, len(found), found[0])
		}
		seen := map[string]int{}
		for _, m := range marks {
			pages = max(pages, m.page)
			for word := range strings.FieldsSeq(m.text) {
				seen[strings.Trim(word, ":;,.")]++
			}
		}
		for _, word := range slices.Sorted(maps.Keys(a.words)) {
			if seen[word] != 1 {
				t.Fatalf("seed %d: the word %q stands %d times on the sheet, want once", seed, word, seen[word])
			}
		}
	}
	if pages < 10 {
		t.Errorf("the longest sheet has %d pages: the generator does not reach far", pages)
	}
}
