package spec

import (
	"fmt"
	"maps"
	"math"
	"strconv"
	"strings"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// Instructions derives everything that a bench must do, in the order of the benches. Each is of one
// operation, and on the left, the right or both feet; what is the same on both feet is said once. Faults
// name what the catalogue lacks.
func Instructions(s Spec, c *Catalogue) ([]Instruction, error) {
	m, faults := resolve(s, c)
	if len(faults) > 0 {
		return nil, together(faults)
	}
	w := &writer{made: m, ids: map[string]int{}}
	w.lastBench()
	w.shellBench()
	w.insideBench()
	w.bladeBench()
	w.finishBench()
	for _, r := range s.Remarks {
		if r.Operation != "" {
			w.add("remark", Instruction{
				Work: RemarkWork, Operation: r.Operation, Foot: or2(r.Foot, Both), Special: true,
				Key: "spec.do.remark", Args: message.Args{"text": r.Text},
			})
		}
	}
	if len(w.faults) > 0 {
		return nil, together(w.faults)
	}
	return w.all, nil
}

// writer collects instructions.
type writer struct {
	*made
	all    []Instruction
	ids    map[string]int
	faults []*message.Fault
}

// add gives an instruction its operation and its id.
func (w *writer) add(stem string, i Instruction) {
	if i.Operation == "" {
		op, ok := w.catalogue.Operations[i.Work]
		if !ok {
			w.faults = append(w.faults, fault("operations."+string(i.Work), "spec.nooperation", message.Args{"work": i.Work}))
			return
		}
		i.Operation = op
	}
	id := stem + "." + string(i.Foot)
	w.ids[id]++
	if n := w.ids[id]; n > 1 {
		id += "." + strconv.Itoa(n)
	}
	i.ID = id
	w.all = append(w.all, i)
}

// each asks for the instruction of either foot and adds it once where both are the same.
func (w *writer) each(stem string, of func(Foot) (Instruction, bool)) {
	left, okL := of(Left)
	right, okR := of(Right)
	if okL && okR && left.Key == right.Key && left.Special == right.Special && maps.Equal(left.Args, right.Args) && sameTarget(left.Target, right.Target) {
		left.Foot = Both
		w.add(stem, left)
		return
	}
	if okL {
		left.Foot = Left
		w.add(stem, left)
	}
	if okR {
		right.Foot = Right
		w.add(stem, right)
	}
}

func sameTarget(a, b *Target) bool { return a == b || a != nil && b != nil && *a == *b }

// length writes a length in the workshop's units, to the hundredth of a millimetre: finer is no
// bench's business.
func (m *made) length(l unit.Length) string { return m.catalogue.Units.Format(rounded(l)) }

// signed is length with its sign.
func (m *made) signed(l unit.Length) string {
	if rounded(l) > 0 {
		return "+" + m.length(l)
	}
	return m.length(l)
}

// radius writes a radius as it is ordered: in feet or an inch fraction where it is one, with millimetres
// to three significant places behind it; a long one otherwise in metres, to three significant places too.
func (m *made) radius(r unit.Length) string {
	feet := float64(r / unit.FootLength)
	whole := math.Round(feet)
	fraction, off := message.Fraction(float64(r), 16)
	switch {
	case feet >= 1 && abs(r-unit.Length(whole)*unit.FootLength) < hair:
		return strconv.Itoa(int(whole)) + " ft (" + decimals(float64(r), 0) + " mm)"
	case r >= 1000:
		return strconv.FormatFloat(float64(r)/1000, 'g', 3, 64) + " m"
	case m.catalogue.Units == unit.Inch || math.Abs(off) >= hair:
		return m.catalogue.Units.Format(r)
	}
	return fraction + " in (" + unit.Length(roundTo(float64(r), 1)).String() + ")"
}

// called is the shop's name of a part or material, with what it is before it unless the name says so.
func called(work Work, name string) string {
	what := message.Say(message.Default, "work."+string(work), nil)
	if name == "" || strings.Contains(strings.ToLower(name), strings.ToLower(what)) {
		return name
	}
	return what + ": " + name
}

// sizedKey is the key of a sentence that says a size behind a name, unless the name says it already.
func sizedKey(key, name, size string) string {
	if strings.Contains(name, size) {
		return key + ".sized"
	}
	return key
}

func mm(l unit.Length) *Target { return &Target{Value: float64(rounded(l)), Unit: "mm"} }

func word(group, key string) string { return message.Say(message.Default, "spec."+group+"."+key, nil) }

func or2(f, usual Foot) Foot {
	if f == "" {
		return usual
	}
	return f
}

func (w *writer) lastBench() {
	for _, o := range w.spec.Last.Openings {
		extent := o.Extent
		if extent == 0 {
			extent = w.pattern.Openings[o.Place].Extent
		}
		args := message.Args{
			"place": word("place", string(o.Place)), "direction": word("direction", string(o.Direction)),
			"by": w.length(o.By), "extent": w.length(extent),
		}
		key := "spec.do.opening"
		if o.Remark != "" {
			key, args["remark"] = "spec.do.opening.remark", o.Remark
		}
		target := o.By
		if o.Direction == Inwards {
			target = -o.By
		}
		w.add("last.opening."+string(o.Place), Instruction{Work: LastOpening, Foot: o.Foot, Special: true, Key: key, Args: args, Target: mm(target)})
	}
	w.each("last.volume", func(f Foot) (Instruction, bool) {
		v := w.spec.Last.Volume.Of(f)
		return Instruction{Work: LastVolume, Special: true, Key: "spec.do.volume", Args: message.Args{"by": w.signed(v)}, Target: mm(v)}, v != 0
	})
	left, right := w.builds(Left), w.builds(Right)
	for i, section := range Sections {
		w.each("last.girth."+string(section), func(f Foot) (Instruction, bool) {
			b := left[i]
			if f == Right {
				b = right[i]
			}
			return w.girth(b)
		})
	}
}

// girth says what a section's girth must become; then, behind a colon, from where and why.
func (w *writer) girth(b Build) (Instruction, bool) {
	if b.Measured == 0 && rounded(b.Target) == rounded(b.Start) {
		return Instruction{}, false
	}
	args := message.Args{
		"section": word("section", string(b.Section)), "start": w.length(b.Start), "target": w.length(b.Target),
		"even": w.signed(b.Even()), "surface": word("surface", string(w.pattern.Surface)),
		"layers": w.signed(b.Layers), "ease": w.signed(-b.Ease), "volume": w.signed(b.Volume),
	}
	key := "spec.do.girth.pattern"
	if b.Measured > 0 {
		key, args["foot"] = "spec.do.girth", w.length(b.Measured)
	}
	if b.Foam > 0 {
		key += ".foam"
		args["foam"] = w.signed(b.Foam)
	}
	if b.Section == Sections[0] && b.Measured > 0 {
		key += ".surface" // said once, it is of all
	}
	return Instruction{Work: LastGirth, Key: key, Args: args, Target: mm(b.Target), Special: b.Volume != 0 || b.Foam > 0}, true
}

func (w *writer) shellBench() {
	w.each("shell.stiffness", func(f Foot) (Instruction, bool) {
		grade := w.spec.Shell.Stiffness.Of(f)
		key := "spec.do.stiffness"
		if grade != 0 {
			key = "spec.do.stiffness.grade"
		}
		moment := w.moment(f)
		return Instruction{
			Work: ShellStiffness, Special: grade != 0, Key: key, Target: &Target{Value: float64(moment), Unit: "N·m"},
			Args: message.Args{"grade": fmt.Sprintf("%+d", grade), "moment": moment.String(), "angle": w.pattern.Stiffness.Angle.String()},
		}, w.pattern.Stiffness.Moment > 0
	})
	w.each("shell.height", func(f Foot) (Instruction, bool) {
		h := w.spec.Shell.Height.Of(f)
		back, inner, outer := w.heights(f)
		args := message.Args{"back": w.length(back), "base": w.length(w.size.Back), "step": w.signed(h.Step)}
		key := "spec.do.height"
		if w.pattern.SidesApart {
			key, args["inner"], args["outer"] = "spec.do.height.sides", w.length(inner), w.length(outer)
		}
		if longer, _ := EdgeGain(h.Step, w.pattern.Facing.Edge); rounded(longer) != 0 {
			key += ".facing"
			args["longer"] = w.signed(longer)
		}
		return Instruction{Work: ShellHeight, Special: h != (Height{}), Key: key, Args: args, Target: mm(back)}, w.size.Back > 0
	})
	w.each("shell.toebox", func(f Foot) (Instruction, bool) {
		key := w.spec.Shell.ToeBox.Of(f)
		name := called(ShellToeBox, w.catalogue.ToeBoxes[or(key, w.pattern.ToeBox)].Name)
		return Instruction{Work: ShellToeBox, Special: key != "" && key != w.pattern.ToeBox, Key: "spec.do.toebox", Args: message.Args{"name": name}}, name != ""
	})
	for _, cut := range w.spec.Shell.Facing {
		key := "spec.do.facing.up"
		if cut.By < 0 {
			key = "spec.do.facing.down"
		}
		args := message.Args{
			"side": word("side", string(cut.Side)), "from": cut.From, "to": cut.To, "by": w.length(abs(cut.By)),
			"transition": decimals(float64(w.transition(cut.By)), 1) + "°", "rest": w.untouched(cut), "difference": w.differences(cut.Foot),
		}
		if cut.Remark != "" {
			key, args["remark"] = key+".remark", cut.Remark
		}
		args["from"], args["to"] = strconv.Itoa(cut.From), strconv.Itoa(cut.To)
		w.add(fmt.Sprintf("shell.facing.%s.%d-%d", cut.Side, cut.From, cut.To), Instruction{
			Work: ShellFacing, Foot: cut.Foot, Special: true, Key: key, Args: args, Target: mm(cut.By),
		})
	}
}

// untouched names the eyelets that a cut leaves as standard: "7–9", "1–2 and 8–9", "none".
func (m *made) untouched(cut FacingCut) string {
	var parts []string
	if cut.From > 1 {
		parts = append(parts, span(1, cut.From-1))
	}
	if cut.To < m.size.Eyelets {
		parts = append(parts, span(cut.To+1, m.size.Eyelets))
	}
	switch len(parts) {
	case 0:
		return message.Say(message.Default, "spec.none", nil)
	case 1:
		return parts[0]
	}
	return message.Say(message.Default, "spec.and", message.Args{"a": parts[0], "b": parts[1]})
}

func span(from, to int) string {
	if from == to {
		return strconv.Itoa(from)
	}
	return fmt.Sprintf("%d–%d", from, to)
}

// differences writes inner less outer for each run of eyelets that has one value: "1–6 +6.35 mm, 7–9 0 mm".
func (m *made) differences(f Foot) string {
	if f != Right {
		f = Left
	}
	all := m.eyelets(f)
	text := ""
	for i := 0; i < len(all); {
		j := i
		for j+1 < len(all) && all[j+1].Difference == all[i].Difference {
			j++
		}
		if text != "" {
			text += ", "
		}
		text += span(all[i].Number, all[j].Number) + " " + m.signed(all[i].Difference)
		i = j + 1
	}
	return text
}

func abs(l unit.Length) unit.Length { return max(l, -l) }
