package spec

import (
	"encoding/json"
	"maps"
	"testing"

	"lastroom/jobs/message"
)

// reword puts other words into every English sentence for the length of a test.
func reword(t *testing.T) {
	t.Helper()
	c := message.Of(message.English)
	was := maps.Clone(c.Sentences)
	t.Cleanup(func() { c.Sentences = was })
	c.Sentences = map[string]message.Sentence{}
	for key, s := range was {
		s.Text = "other words: " + s.Text
		c.Sentences[key] = s
	}
}

// A sentence that reads better in the next release leaves what is sealed as it was: no confirmation is lost,
// and pairs of before and after share a load.
func TestOtherWordsChangeNothingThatIsSealed(t *testing.T) {
	o := sample(t, "special.json")[0]
	seal := func() (instructions []Instruction, checks []Check, programme string, raw []byte) {
		t.Helper()
		var err error
		if instructions, err = Instructions(o.Spec, workshop()); err != nil {
			t.Fatal(err)
		}
		if checks, err = Checks(o.Spec, workshop()); err != nil {
			t.Fatal(err)
		}
		changed := o.Spec.Clone()
		changed.Shell.Height = Pair[Height]{Height{Step: 6}, Height{Step: 6}}
		changed.Remarks = nil
		raw, err = json.Marshal([]any{instructions, checks, Review(o, workshop(), spring), Diff(o.Spec, changed, workshop())})
		if err != nil {
			t.Fatal(err)
		}
		return instructions, checks, Programme(o.Spec.Pattern, instructions), raw
	}
	before, checksBefore, programme, sealed := seal()
	said := before[0].Text(message.English)
	reword(t)
	after, checksAfter, programmeAfter, sealedAfter := seal()
	if after[0].Text(message.English) == said {
		t.Fatal("the words are the same still")
	}
	if string(sealed) != string(sealedAfter) {
		t.Error("other words are sealed")
	}
	if programme != programmeAfter || programme == "" {
		t.Errorf("the programme was %q and is %q", programme, programmeAfter)
	}
	for i := range before {
		if !before[i].Same(after[i]) {
			t.Errorf("%s asks for something else", before[i].ID)
		}
	}
	for i := range checksBefore {
		if !checksBefore[i].Same(checksAfter[i]) {
			t.Errorf("%s checks something else", checksBefore[i].ID)
		}
	}
}

// Sheets of before hold texts where values are sealed now: they ask for the same.
func TestASheetOfBeforeAsksForTheSame(t *testing.T) {
	for _, i := range instructions(t, sample(t, "special.json")[0].Spec, workshop()) {
		old := i
		old.Args = message.Args{}
		for name, v := range i.Args {
			old.Args[name] = message.Show(message.English, v)
		}
		if !old.Same(i) || !i.Same(old) || old.Text(message.English) != i.Text(message.English) {
			t.Errorf("%s: %q is not the same as %q", i.ID, old.Text(message.English), i.Text(message.English))
		}
	}
}

func TestWhatAsksForSomethingElseIsNotTheSame(t *testing.T) {
	base := Instruction{ID: "a", Operation: "lasting", Work: LastOpening, Foot: Left, Key: "k", Args: message.Args{"by": 4}, Target: &Target{4, "mm"}, Special: true}
	for name, change := range map[string]func(*Instruction){
		"operation": func(i *Instruction) { i.Operation = "qc" },
		"work":      func(i *Instruction) { i.Work = LastVolume },
		"foot":      func(i *Instruction) { i.Foot = Right },
		"sentence":  func(i *Instruction) { i.Key = "other" },
		"values":    func(i *Instruction) { i.Args = message.Args{"by": 5} },
		"target":    func(i *Instruction) { i.Target = &Target{5, "mm"} },
		"no target": func(i *Instruction) { i.Target = nil },
		"special":   func(i *Instruction) { i.Special = false },
	} {
		other := base
		change(&other)
		if base.Same(other) || other.Same(base) {
			t.Errorf("another %s counts as the same instruction", name)
		}
	}
	if other := base; !base.Same(other) {
		t.Error("an instruction is not the same as itself")
	}
	check := Check{ID: "a", Operation: "qc", Foot: Left, Quantity: BootHeight, Key: "k", Nominal: 240, Lower: 238, Upper: 242, Unit: "mm", Rule: Value, Readings: []string{"value"}, Gauge: HeightGauge}
	for name, change := range map[string]func(*Check){
		"operation": func(c *Check) { c.Operation = "lasting" },
		"foot":      func(c *Check) { c.Foot = Right },
		"quantity":  func(c *Check) { c.Quantity = Girth },
		"sentence":  func(c *Check) { c.Key = "other" },
		"values":    func(c *Check) { c.Args = message.Args{"by": 5} },
		"nominal":   func(c *Check) { c.Nominal = 241 },
		"lower":     func(c *Check) { c.Lower = 237 },
		"upper":     func(c *Check) { c.Upper = 243 },
		"unit":      func(c *Check) { c.Unit = "°" },
		"rule":      func(c *Check) { c.Rule = Gain },
		"readings":  func(c *Check) { c.Readings = []string{"before", "after"} },
		"repeats":   func(c *Check) { c.Repeats = 3 },
		"group":     func(c *Check) { c.Group = "g" },
		"sides":     func(c *Check) { c.From = []string{"x", "y"} },
		"span":      func(c *Check) { c.Span = 180 },
		"gauge":     func(c *Check) { c.Gauge = Calliper },
	} {
		other := check
		change(&other)
		if check.Same(other) || other.Same(check) {
			t.Errorf("another %s counts as the same check", name)
		}
	}
	once := check
	once.Repeats = 1
	if !check.Same(once) {
		t.Error("once is not once")
	}
}

func TestPairsOfOneProgrammeAreMadeAlike(t *testing.T) {
	does := instructions(t, sample(t, "special.json")[0].Spec, workshop())
	one := Programme("floe", does)
	if one != Programme("floe", instructions(t, sample(t, "special.json")[0].Spec, workshop())) {
		t.Error("two pairs that are made alike have two programmes")
	}
	if one == Programme("longlead", does) {
		t.Error("two patterns have one programme")
	}
	softer := sample(t, "special.json")[0].Spec
	softer.Shell.Stiffness = Pair[int]{-1, -1}
	if one == Programme("floe", instructions(t, softer, workshop())) {
		t.Error("a softer shell has the programme of a stiffer one")
	}
}
