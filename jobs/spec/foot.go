package spec

import (
	"bytes"
	"encoding/json"
	"fmt"
)

// Foot says which boot of the pair is meant.
type Foot string

// The feet.
const (
	Left  Foot = "left"
	Right Foot = "right"
	Both  Foot = "both"
)

// Feet are the two feet, left first.
var Feet = [2]Foot{Left, Right}

// Has tells whether f takes in one, which is Left or Right.
func (f Foot) Has(one Foot) bool { return f == one || f == Both || f == "" }

// Other is the foot on the other side; Both stays Both.
func (f Foot) Other() Foot {
	switch f {
	case Left:
		return Right
	case Right:
		return Left
	}
	return f
}

// Side of a boot, seen from its wearer.
type Side string

// The sides.
const (
	Inner Side = "inner" // towards the other foot
	Outer Side = "outer"
)

// Place is an anatomical place of a foot.
type Place string

// The places at which a last can be changed or a pad laid.
const (
	InnerAnkle      Place = "inner-ankle"      // medial malleolus
	OuterAnkle      Place = "outer-ankle"      // lateral malleolus
	Navicular       Place = "navicular"        // the bone below and before the inner ankle bone
	FirstMetatarsal Place = "first-metatarsal" // head, at the inner ball
	FifthMetatarsal Place = "fifth-metatarsal" // head, at the outer ball
	FifthBase       Place = "fifth-base"       // base of the fifth metatarsal, mid outer side
	HeelBone        Place = "heel-bone"        // back of the calcaneus
	Instep          Place = "instep"
	Toes            Place = "toes"
	Arch            Place = "arch"
	Achilles        Place = "achilles" // the tendon above the heel bone
)

// Places are all of them, from the ankle forwards, as they are listed for people.
var Places = [11]Place{
	InnerAnkle, OuterAnkle, Achilles, HeelBone, Navicular, Arch, Instep, FifthBase, FirstMetatarsal, FifthMetatarsal, Toes,
}

// Pair holds one value a foot. In JSON it is {"both": v} or {"left": v, "right": v}; a foot that is not
// named has the zero value, which means "as the pattern has it".
type Pair[T comparable] struct{ Left, Right T }

// Of is the value of one foot, Left or Right.
func (p Pair[T]) Of(f Foot) T {
	if f == Right {
		return p.Right
	}
	return p.Left
}

// Set changes the value of Left, Right or Both.
func (p *Pair[T]) Set(f Foot, v T) {
	if f.Has(Left) {
		p.Left = v
	}
	if f.Has(Right) {
		p.Right = v
	}
}

// Same tells whether both feet have one value.
func (p Pair[T]) Same() bool { return p.Left == p.Right }

// EachFoot gives the values that are not zero: once with Both where they are the same, else a foot each.
func (p Pair[T]) EachFoot(do func(Foot, T)) {
	var zero T
	if p.Same() {
		if p.Left != zero {
			do(Both, p.Left)
		}
		return
	}
	for _, f := range Feet {
		if v := p.Of(f); v != zero {
			do(f, v)
		}
	}
}

// MarshalJSON writes "both" where the feet have one value.
func (p Pair[T]) MarshalJSON() ([]byte, error) {
	var zero T
	var out struct {
		Both  *T `json:"both,omitempty"`
		Left  *T `json:"left,omitempty"`
		Right *T `json:"right,omitempty"`
	}
	if p.Same() {
		out.Both = &p.Left
		return json.Marshal(out)
	}
	if p.Left != zero {
		out.Left = &p.Left
	}
	if p.Right != zero {
		out.Right = &p.Right
	}
	return json.Marshal(out)
}

// UnmarshalJSON takes {"both": v} or {"left": v, "right": v}, not a mixture.
func (p *Pair[T]) UnmarshalJSON(raw []byte) error {
	var in struct {
		Both  *T `json:"both"`
		Left  *T `json:"left"`
		Right *T `json:"right"`
	}
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(&in); err != nil {
		return err
	}
	*p = Pair[T]{}
	switch {
	case in.Both != nil && (in.Left != nil || in.Right != nil):
		return fmt.Errorf("%q together with %q or %q", Both, Left, Right)
	case in.Both != nil:
		p.Left, p.Right = *in.Both, *in.Both
	default:
		if in.Left != nil {
			p.Left = *in.Left
		}
		if in.Right != nil {
			p.Right = *in.Right
		}
	}
	return nil
}
