package spec

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"strconv"

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
	if okL && okR && left.Same(right) {
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

// Programme identifies what an operation does to a pair, so that two pairs of one programme can go into an
// oven together: the pattern, and the keys and values of the instructions, whatever their words.
func Programme(pattern string, does []Instruction) string {
	parts := []any{pattern}
	for _, i := range does {
		parts = append(parts, i.Phrase())
	}
	raw, err := json.Marshal(parts)
	if err != nil {
		return "" // texts and finite numbers always can be written
	}
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:8])
}

func sameTarget(a, b *Target) bool {
	return a == b || a != nil && b != nil && a.Unit == b.Unit && sameNumber(a.Value, b.Value)
}

// sameNumber compares to a billionth of the unit: no gauge tells as little.
func sameNumber(a, b float64) bool { return math.Abs(a-b) <= 1e-9 }

func mm(l unit.Length) *Target { return &Target{Value: float64(rounded(l)), Unit: "mm"} }

func (w *writer) lastBench() {
	for _, o := range w.spec.Last.Openings {
		extent := o.Extent
		if extent == 0 {
			extent = w.pattern.Openings[o.Place].Extent
		}
		args := message.Args{
			"place": word("place", o.Place), "direction": word("direction", o.Direction),
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
		"section": word("section", b.Section), "start": w.length(b.Start), "target": w.length(b.Target),
		"even": w.signed(b.Even()), "surface": word("surface", w.pattern.Surface),
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
		by := w.spec.Shell.Stiffness.Of(f)
		key := "spec.do.stiffness"
		if by != 0 {
			key = "spec.do.stiffness.grade"
		}
		moment := w.moment(f)
		return Instruction{
			Work: ShellStiffness, Special: by != 0, Key: key, Target: &Target{Value: float64(moment), Unit: "N·m"},
			Args: message.Args{"grade": grade(by), "moment": moment.Value(), "angle": angle(w.pattern.Stiffness.Angle)},
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
		name := w.catalogue.ToeBoxes[or(key, w.pattern.ToeBox)].Name
		return Instruction{Work: ShellToeBox, Special: key != "" && key != w.pattern.ToeBox, Key: "spec.do.toebox", Args: message.Args{"name": called(ShellToeBox, name)}}, name != ""
	})
	for _, cut := range w.spec.Shell.Facing {
		key := "spec.do.facing.up"
		if cut.By < 0 {
			key = "spec.do.facing.down"
		}
		args := message.Args{
			"side": word("side", cut.Side), "from": cut.From, "to": cut.To, "by": w.length(abs(cut.By)),
			"transition": fixed(float64(w.transition(cut.By)), 1, "°"), "rest": w.untouched(cut), "difference": w.differences(cut.Foot),
		}
		if cut.Remark != "" {
			key, args["remark"] = key+".remark", cut.Remark
		}
		w.add(fmt.Sprintf("shell.facing.%s.%d-%d", cut.Side, cut.From, cut.To), Instruction{
			Work: ShellFacing, Foot: cut.Foot, Special: true, Key: key, Args: args, Target: mm(cut.By),
		})
	}
}

// untouched are the eyelets that a cut leaves as standard: "7–9", "1–2 and 8–9", "none".
func (m *made) untouched(cut FacingCut) any {
	var parts []any
	if cut.From > 1 {
		parts = append(parts, eyeletRange(1, cut.From-1))
	}
	if cut.To < m.size.Eyelets {
		parts = append(parts, eyeletRange(cut.To+1, m.size.Eyelets))
	}
	if len(parts) == 0 {
		return none
	}
	return message.List{Items: parts, As: message.And}
}

// differences are inner less outer for each run of eyelets that has one value: "1–6 +6.35 mm, 7–9 0 mm".
func (m *made) differences(f Foot) message.List {
	if f != Right {
		f = Left
	}
	all := m.eyelets(f)
	runs := message.List{As: message.Comma}
	for i := 0; i < len(all); {
		j := i
		for j+1 < len(all) && all[j+1].Difference == all[i].Difference {
			j++
		}
		runs.Items = append(runs.Items, message.Phrase{Key: "spec.do.facing.run", Args: message.Args{
			"eyelets": eyeletRange(all[i].Number, all[j].Number), "by": m.signed(all[i].Difference),
		}})
		i = j + 1
	}
	return runs
}

func abs(l unit.Length) unit.Length { return max(l, -l) }
