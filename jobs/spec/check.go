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

// add fills in operation, limits, readings and gauge of a check, if its quantity is checked at all.
func (k *checker) add(c Check) bool {
	op, checked := k.catalogue.Checked[c.Quantity]
	kind, ok := kindOf(c.Quantity, c.Rule)
	if !checked || !ok {
		return false
	}
	half := kind.Half(k.catalogue.Tolerances, c.Nominal)
	if kind.Optional && half <= 0 {
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
	c.Operation, c.Unit, c.Readings = op, kind.Unit, kind.Readings
	if len(kind.Readings) > 0 {
		c.Gauge = kind.Gauge
	}
	c.Lower, c.Upper = roundTo(c.Nominal-half, 6), roundTo(c.Nominal+half, 6)
	if n := k.catalogue.Repeats[c.Quantity]; n > 1 && len(c.Readings) > 0 {
		c.Repeats = n
	}
	k.all = append(k.all, c)
	return true
}

// crosses are the sections whose girth an opening at a place lies on: a tape over it reads a little more
// than the section's own girth, so that is read before the opening is made.
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
				ID: fmt.Sprintf("girth.%s.%s", b.Section, f), Foot: f, Quantity: Girth, Rule: Value,
				Key: key, Args: message.Args{"section": word("section", b.Section)}, Nominal: float64(rounded(b.Target)),
			})
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
					ID: fmt.Sprintf("opening.%s.%s", o.Place, f), Foot: f, Quantity: OpeningDepth, Rule: Gain,
					Key: "spec.check.opening", Args: message.Args{"place": word("place", o.Place)}, Nominal: float64(rounded(gain)),
				})
			}
		}
	}
}

func (k *checker) boot() {
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
				ID: fmt.Sprintf("height.%s.%s", h.side, f), Foot: f, Quantity: BootHeight, Rule: Value,
				Key: "spec.check.height", Args: args, Nominal: float64(h.nominal.Of(f)),
			})
		}
		if ok {
			k.match("height."+h.side, BootHeight, "spec.check.height.match", args, h.nominal.Left-h.nominal.Right)
		}
	}
	for _, cut := range k.spec.Shell.Facing {
		for _, f := range Feet {
			if cut.Foot.Has(f) {
				k.add(Check{
					ID: fmt.Sprintf("facing.%s.%d-%d.%s", cut.Side, cut.From, cut.To, f), Foot: f, Quantity: FacingEdge, Rule: Value,
					Key: "spec.check.facing", Nominal: float64(rounded(cut.By)),
					Args: message.Args{"side": word("side", cut.Side), "eyelets": eyeletRange(cut.From, cut.To)},
				})
			}
		}
	}
	if k.pattern.Stiffness.Moment > 0 {
		for _, f := range Feet {
			moment := float64(k.moment(f))
			k.add(Check{
				ID: "stiffness." + string(f), Foot: f, Quantity: BendMoment, Rule: Value,
				Key: "spec.check.stiffness", Args: message.Args{"angle": angle(k.pattern.Stiffness.Angle)}, Nominal: moment,
			})
		}
	}
}

// match checks the left against the right: the difference of two values that were read already.
func (k *checker) match(stem string, q Quantity, key string, args message.Args, nominal unit.Length) {
	k.add(Check{
		ID: stem + ".pair", Foot: Both, Quantity: q, Rule: Match, From: []string{stem + ".left", stem + ".right"},
		Key: key, Args: args, Nominal: float64(rounded(nominal)),
	})
}

func (k *checker) blade() {
	if k.holder.Name == "" {
		return
	}
	ok := false
	for _, f := range Feet {
		a := k.spec.Blade.Alignment.Of(f)
		group := "alignment." + string(f)
		args := message.Args{"span": k.length(k.holder.Span)}
		if k.holder.Span > 0 {
			k.add(Check{
				ID: "alignment.turn." + string(f), Group: group, Span: float64(k.holder.Span), Rule: Angle,
				Foot: f, Quantity: HolderLine, Key: "spec.check.turn", Args: args, Nominal: float64(a.Angle),
			})
		}
		ok = k.add(Check{
			ID: "alignment.shift." + string(f), Group: group, Span: float64(k.holder.Span), Rule: Shift,
			Foot: f, Quantity: HolderLine, Key: "spec.check.shift", Args: args, Nominal: float64(rounded(a.Shift)),
		})
	}
	if a := k.spec.Blade.Alignment; ok {
		k.match("alignment.shift", HolderLine, "spec.check.shift.match", nil, a.Left.Shift-a.Right.Shift)
	}
	for _, f := range Feet {
		if heel, toe := k.stands(f); heel > 0 && toe > 0 {
			for _, end := range []struct {
				name string
				at   unit.Length
			}{{"heel", heel}, {"toe", toe}} {
				k.add(Check{
					ID: fmt.Sprintf("stand.%s.%s", end.name, f), Foot: f, Quantity: StandHeight, Rule: Value,
					Key: "spec.check.stand." + end.name, Nominal: float64(rounded(end.at)),
				})
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
			ID: "hollow." + string(f), Foot: f, Quantity: HollowRadius, Rule: Value,
			Key: "spec.check.hollow", Args: message.Args{"radius": k.radius(k.hollow)}, Nominal: float64(k.hollow),
		})
		k.add(Check{
			ID: "level." + string(f), Foot: f, Quantity: EdgeLevel, Rule: Value, Key: "spec.check.level",
		})
	}
	if k.rocker > 0 && tol.Chord > 0 {
		k.add(Check{
			ID: "rocker." + string(f), Foot: f, Quantity: RockerSagitta, Rule: Value,
			Key: "spec.check.rocker", Args: message.Args{"chord": k.length(tol.Chord)},
			Nominal: roundTo(float64(RockerRise(k.rocker, tol.Chord)), 3),
		})
	}
}

// ByOperation is those of one operation.
func ByOperation[T interface{ at() string }](all []T, operation string) []T {
	return slices.DeleteFunc(slices.Clone(all), func(one T) bool { return one.at() != operation })
}

func (i Instruction) at() string { return i.Operation }
func (c Check) at() string       { return c.Operation }
