package spec

import (
	"fmt"
	"slices"
	"strconv"

	"lastroom/jobs/message"
	"lastroom/jobs/unit"
)

// Checks derives everything that is measured on the pair, in the order of the benches, with nominal and
// limits. A quantity that the catalogue gives no operation isn't checked. Nothing is asked of a gauge
// that can't tell: a hollow is checked by its radius and levelness, never by its depth, of which 0.01 mm
// is a tenth of the radius. Faults name what the catalogue lacks.
func Checks(s Spec, c *Catalogue) ([]Check, error) {
	m, faults := resolve(s, c)
	if len(faults) > 0 {
		return nil, together(faults)
	}
	k := &checker{made: m, ids: map[string]int{}}
	k.last()
	k.boot()
	k.blade()
	return k.all, nil
}

// checker collects checks.
type checker struct {
	*made
	all []Check
	ids map[string]int
}

// add fills in operation, limits and sentence of a check, if its quantity is checked at all.
func (k *checker) add(c Check, within float64) bool {
	op, ok := k.catalogue.Checked[c.Quantity]
	if !ok {
		return false
	}
	if n := k.ids[c.ID]; n > 0 {
		k.ids[c.ID]++
		c.ID += "." + strconv.Itoa(n+1)
		if c.Group != "" {
			c.Group = c.ID
		}
	} else {
		k.ids[c.ID] = 1
	}
	c.Operation = op
	c.Lower, c.Upper = roundTo(c.Nominal-within, 6), roundTo(c.Nominal+within, 6)
	if c.Rule == Value {
		c.Readings = []string{"value"}
	}
	if n := k.catalogue.Repeats[c.Quantity]; n > 1 && len(c.Readings) > 0 {
		c.Repeats = n
	}
	k.all = append(k.all, c)
	return true
}

// crosses are the sections whose girth an opening at a place lies on: a tape over it reads a little more, by
// Bulge, so the girth is read before the opening is made.
var crosses = map[Place]Section{
	FirstMetatarsal: BallSection, FifthMetatarsal: BallSection,
	FifthBase: InstepSection, Navicular: InstepSection, Instep: InstepSection, Arch: InstepSection,
	HeelBone: HeelSection,
}

// opensAcross says whether an opening of one last lies on a section.
func (k *checker) opensAcross(s Section, f Foot) bool {
	return slices.ContainsFunc(k.spec.Last.Openings, func(o Opening) bool { return o.Foot.Has(f) && crosses[o.Place] == s })
}

func (k *checker) last() {
	tol := k.catalogue.Tolerances
	for _, f := range Feet {
		for _, b := range k.builds(f) {
			if b.Measured == 0 && rounded(b.Target) == rounded(b.Start) {
				continue
			}
			key := "spec.check.girth"
			if k.opensAcross(b.Section, f) {
				key = "spec.check.girth.before"
			}
			k.add(Check{
				ID: fmt.Sprintf("girth.%s.%s", b.Section, f), Foot: f, Quantity: Girth, Unit: "mm", Rule: Value, Gauge: Tape,
				Key: key, Args: message.Args{"section": word("section", b.Section)}, Nominal: float64(rounded(b.Target)),
			}, float64(tol.Girth))
		}
	}
	for _, o := range k.spec.Last.Openings {
		gain := o.By
		if o.Direction == Inwards {
			gain = -gain
		}
		for _, f := range Feet {
			if o.Foot.Has(f) {
				k.add(Check{
					ID: fmt.Sprintf("opening.%s.%s", o.Place, f), Foot: f, Quantity: OpeningDepth, Unit: "mm", Rule: Gain, Gauge: DepthGauge,
					Readings: []string{"before", "after"},
					Key:      "spec.check.opening", Args: message.Args{"place": word("place", o.Place)}, Nominal: float64(rounded(gain)),
				}, float64(tol.Opening))
			}
		}
	}
}

func (k *checker) boot() {
	tol := k.catalogue.Tolerances
	type height struct {
		side    string
		nominal Pair[unit.Length]
	}
	var heights [3]height
	for i, side := range []string{"back", "inner", "outer"} {
		heights[i].side = side
	}
	for _, f := range Feet {
		back, inner, outer := k.heights(f)
		for i, h := range []unit.Length{back, inner, outer} {
			heights[i].nominal.Set(f, rounded(h))
		}
	}
	sides := heights[:]
	if !k.pattern.SidesApart {
		sides = heights[:1]
	}
	for _, h := range sides {
		if h.nominal.Left == 0 {
			continue
		}
		args := message.Args{"side": word("height", h.side)}
		ok := false
		for _, f := range Feet {
			ok = k.add(Check{
				ID: fmt.Sprintf("height.%s.%s", h.side, f), Foot: f, Quantity: BootHeight, Unit: "mm", Rule: Value, Gauge: HeightGauge,
				Key: "spec.check.height", Args: args, Nominal: float64(h.nominal.Of(f)),
			}, float64(tol.Height))
		}
		if ok && tol.HeightMatch > 0 {
			k.match("height."+h.side, BootHeight, "spec.check.height.match", args, h.nominal.Left-h.nominal.Right, tol.HeightMatch)
		}
	}
	for _, cut := range k.spec.Shell.Facing {
		for _, f := range Feet {
			if cut.Foot.Has(f) {
				k.add(Check{
					ID: fmt.Sprintf("facing.%s.%d-%d.%s", cut.Side, cut.From, cut.To, f), Foot: f, Quantity: FacingEdge, Unit: "mm", Rule: Value, Gauge: Calliper,
					Key: "spec.check.facing", Nominal: float64(rounded(cut.By)),
					Args: message.Args{"side": word("side", cut.Side), "eyelets": span(cut.From, cut.To)},
				}, float64(tol.Facing))
			}
		}
	}
	if k.pattern.Stiffness.Moment > 0 {
		for _, f := range Feet {
			moment := float64(k.moment(f))
			k.add(Check{
				ID: "stiffness." + string(f), Foot: f, Quantity: BendMoment, Unit: "N·m", Rule: Value, Gauge: BendRig,
				Key: "spec.check.stiffness", Args: message.Args{"angle": angle(k.pattern.Stiffness.Angle)}, Nominal: moment,
			}, moment*tol.Stiffness)
		}
	}
}

// match checks the left against the right: the difference of two values that were read already.
func (k *checker) match(stem string, q Quantity, key string, args message.Args, nominal, within unit.Length) {
	k.add(Check{
		ID: stem + ".pair", Foot: Both, Quantity: q, Unit: "mm", Rule: Match, From: []string{stem + ".left", stem + ".right"},
		Key: key, Args: args, Nominal: float64(rounded(nominal)),
	}, float64(within))
}

func (k *checker) blade() {
	if k.holder.Name == "" {
		return
	}
	tol := k.catalogue.Tolerances
	ok := false
	for _, f := range Feet {
		a := k.spec.Blade.Alignment.Of(f)
		group, readings := "alignment."+string(f), []string{"front", "rear"}
		args := message.Args{"span": k.length(k.holder.Span)}
		if k.holder.Span > 0 {
			k.add(Check{
				ID: "alignment.turn." + string(f), Group: group, Readings: readings, Span: float64(k.holder.Span), Rule: Turn, Gauge: Calliper,
				Foot: f, Quantity: HolderLine, Unit: "°", Key: "spec.check.turn", Args: args, Nominal: float64(a.Turn),
			}, float64(tol.Turn))
		}
		ok = k.add(Check{
			ID: "alignment.shift." + string(f), Group: group, Readings: readings, Span: float64(k.holder.Span), Rule: Shift, Gauge: Calliper,
			Foot: f, Quantity: HolderLine, Unit: "mm", Key: "spec.check.shift", Args: args, Nominal: float64(rounded(a.Shift)),
		}, float64(tol.Shift))
	}
	if a := k.spec.Blade.Alignment; ok && tol.ShiftMatch > 0 {
		k.match("alignment.shift", HolderLine, "spec.check.shift.match", nil, a.Left.Shift-a.Right.Shift, tol.ShiftMatch)
	}
	for _, f := range Feet {
		if heel, toe := k.stands(f); heel > 0 && toe > 0 {
			for _, end := range []struct {
				name string
				at   unit.Length
			}{{"heel", heel}, {"toe", toe}} {
				k.add(Check{
					ID: fmt.Sprintf("stand.%s.%s", end.name, f), Foot: f, Quantity: StandHeight, Unit: "mm", Rule: Value, Gauge: HeightGauge,
					Key: "spec.check.stand." + end.name, Nominal: float64(rounded(end.at)),
				}, float64(tol.Stand))
			}
		}
		k.steel(f)
	}
}

// steel checks what is ground on one runner.
func (k *checker) steel(f Foot) {
	tol := k.catalogue.Tolerances
	if k.runner.Name == "" {
		return
	}
	if k.hollow > 0 {
		k.add(Check{
			ID: "hollow." + string(f), Foot: f, Quantity: HollowRadius, Unit: "mm", Rule: Value, Gauge: RadiusGauge,
			Key: "spec.check.hollow", Args: message.Args{"radius": k.radius(k.hollow)}, Nominal: float64(k.hollow),
		}, float64(tol.Hollow))
		k.add(Check{
			ID: "level." + string(f), Foot: f, Quantity: EdgeLevel, Unit: "mm", Rule: Value, Gauge: EdgeBar, Key: "spec.check.level",
		}, float64(tol.Level))
	}
	if k.rocker > 0 && tol.Chord > 0 {
		k.add(Check{
			ID: "rocker." + string(f), Foot: f, Quantity: RockerSagitta, Unit: "mm", Rule: Value, Gauge: RockerGauge,
			Key: "spec.check.rocker", Args: message.Args{"chord": k.length(tol.Chord)},
			Nominal: roundTo(float64(RockerRise(k.rocker, tol.Chord)), 3),
		}, float64(tol.Rocker))
	}
}

// ByOperation is those of one operation.
func ByOperation[T interface{ at() string }](all []T, operation string) []T {
	return slices.DeleteFunc(slices.Clone(all), func(one T) bool { return one.at() != operation })
}

func (i Instruction) at() string { return i.Operation }
func (c Check) at() string       { return c.Operation }
