package spec

import (
	"math"
	"slices"

	"lastroom/jobs/unit"
)

// Section is where a tape goes round a foot and its last.
type Section string

// The sections.
const (
	BallSection   Section = "ball"   // over both metatarsal heads
	InstepSection Section = "instep" // over the bony point of the instep and under the hollow
	HeelSection   Section = "heel"   // round the heel and the crease in front of the ankle
	AnkleSection  Section = "ankle"  // the least girth above the ankle bones
)

// Sections are all of them, from the toes up.
var Sections = [4]Section{BallSection, InstepSection, HeelSection, AnkleSection}

// Of is the girth of one section.
func (g Girths) Of(s Section) unit.Length {
	switch s {
	case BallSection:
		return g.Ball
	case InstepSection:
		return g.Instep
	case HeelSection:
		return g.Heel
	default:
		return g.Ankle
	}
}

// Of is the share covered of one section.
func (s Shares) Of(at Section) float64 {
	switch at {
	case BallSection:
		return s.Ball
	case InstepSection:
		return s.Instep
	case HeelSection:
		return s.Heel
	default:
		return s.Ankle
	}
}

// Girths are the girths measured on a foot.
func (m Measures) Girths() Girths {
	return Girths{Ball: m.BallGirth, Instep: m.InstepGirth, Heel: m.HeelGirth, Ankle: m.AnkleGirth}
}

// AllRound is what an even layer of thickness t adds to the girth of any convex section: 2πt, whatever
// the shape (Steiner's formula). A tape bridges hollows, so its girth is that of a convex section.
func AllRound(t unit.Length) unit.Length { return 2 * math.Pi * t }

// PartRound is what a pad of thickness t on one stretch of a section adds to a tape's girth. The section
// is taken as the disc of the same girth, share is the part of its circumference that the pad covers.
// The tape follows the pad, leaves its ends on tangents and comes back to the disc; or bridges the rest
// where that is too short (perimeter of the convex hull, elementary).
func PartRound(girth, t unit.Length, share float64) unit.Length {
	switch {
	case t <= 0 || share <= 0 || girth <= 0:
		return 0
	case share >= 1:
		return AllRound(t)
	}
	r := float64(girth) / (2 * math.Pi)
	outer := r + float64(t)
	padded := 2 * math.Pi * share
	tangent := math.Acos(r / outer) // the angle that a tangent spans on the disc
	bare := 2*math.Pi - padded - 2*tangent
	hull := outer * padded
	if bare >= 0 {
		hull += 2*math.Sqrt(outer*outer-r*r) + r*bare
	} else {
		hull += 2 * outer * math.Sin(math.Pi-padded/2)
	}
	return unit.Length(hull) - girth
}

// Stretch is one layer or pad of a stack, as it counts at a section.
type Stretch struct {
	Name  string
	Thick unit.Length // compressed
	Share float64     // of the section, 1 is all round
	Place Place       // of a pad; pads at one place lie on one another
}

// StackGain is what a stack adds to a girth: even layers by Steiner's formula, then each pad on the
// section that they leave. Pads apart from one another add up, but never to more than a ring as thick
// as the thickest would.
func StackGain(girth unit.Length, stack []Stretch) unit.Length {
	var even unit.Length
	var parts []Stretch
	for _, s := range stack {
		if s.Share >= 1 {
			even += s.Thick
			continue
		}
		at := slices.IndexFunc(parts, func(p Stretch) bool { return s.Place != "" && p.Place == s.Place })
		if at < 0 {
			parts = append(parts, s)
			continue
		}
		parts[at].Thick += s.Thick
		parts[at].Share = max(parts[at].Share, s.Share)
	}
	gain := AllRound(even)
	var pads, thickest unit.Length
	for _, p := range parts {
		pads += PartRound(girth+gain, p.Thick, p.Share)
		thickest = max(thickest, p.Thick)
	}
	return gain + min(pads, AllRound(thickest))
}

// Build is what the last bench does to one section of one last.
type Build struct {
	Foot     Foot
	Section  Section
	Measured unit.Length // of the foot; zero where it wasn't measured, and the pattern's last is the base
	Layers   unit.Length // added for what lies between the skin and the surface the last stands for
	Foam     unit.Length // the part of Layers that comfort foam makes: the fit stays as it was
	Ease     unit.Length // taken off so that the boot holds
	Volume   unit.Length // asked for by the order
	Start    unit.Length // of the pattern's last
	Target   unit.Length
}

// Even is how thick an even layer brings the last from start to target; below zero it is taken off.
func (b Build) Even() unit.Length { return (b.Target - b.Start) / (2 * math.Pi) }

// builds derives every section of one foot.
func (m *made) builds(f Foot) []Build {
	var all []Build
	measured := m.spec.Feet.Of(f).Girths()
	own := m.spec
	own.Inside = Inside{}
	for _, section := range Sections {
		b := Build{
			Foot: f, Section: section, Measured: measured.Of(section), Ease: m.pattern.Ease.Of(section),
			Volume: m.spec.Last.Volume.Of(f), Start: m.size.Girths.Of(section),
		}
		base := b.Measured
		if base == 0 {
			base = b.Start
		}
		stack, foam := m.stack(m.spec.Inside, f, section)
		b.Layers = StackGain(base, stack)
		b.Foam = StackGain(base, foam)
		if b.Measured > 0 {
			b.Target = b.Measured + b.Layers - b.Ease + b.Volume
		} else {
			usual, _ := m.stack(Inside{}, f, section)
			b.Target = b.Start + b.Layers - StackGain(base, usual) + b.Volume
		}
		all = append(all, b)
	}
	return all
}

// stack lists what lies between the skin and the surface that the pattern's last stands for, at one
// section; foam is the comfort foam in it alone.
func (m *made) stack(in Inside, f Foot, at Section) (stack, foam []Stretch) {
	layer := func(l Layer) {
		share := 1.0
		if l.Share != (Shares{}) {
			share = l.Share.Of(at)
		}
		if rank[l.Within] > rank[m.pattern.Surface] || share == 0 || l.Compressed == 0 {
			return
		}
		stack = append(stack, Stretch{Name: l.Name, Thick: l.Compressed, Share: share})
	}
	if key := in.Foam.Of(f); key != "" {
		layer(m.catalogue.Foams[key])
		foam = slices.Clone(stack)
	}
	layer(m.catalogue.Liners[or(in.Liner.Of(f), m.pattern.Liner)])
	layer(m.catalogue.Tongues[or(in.Tongue.Of(f), m.pattern.Tongue)])
	pad := func(place Place, kind string) {
		p := m.catalogue.Paddings[kind]
		if share := p.Share.Of(at); share > 0 && rank[InShell] <= rank[m.pattern.Surface] {
			stack = append(stack, Stretch{Name: p.Name, Thick: p.Compressed, Share: share, Place: place})
		}
	}
	for _, p := range m.padding(in, f) {
		pad(p.Place, p.Kind)
	}
	return stack, foam
}

// rank orders the surfaces from the foot outwards.
var rank = map[Surface]int{Skin: 0, Lining: 1, InShell: 2}

func or(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
