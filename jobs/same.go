package jobs

import (
	"fmt"
	"math"
	"slices"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// sameInstruction says whether two instructions ask a bench for the same. Their sentences may read otherwise:
// what the program itself calls a place, a side or a direction is known by the id and the target.
func sameInstruction(a, b spec.Instruction) bool {
	return a.ID == b.ID && a.Operation == b.Operation && a.Work == b.Work && a.Foot == b.Foot && a.Key == b.Key &&
		a.Special == b.Special && sameTarget(a.Target, b.Target) && sameArgs(a.Args, b.Args)
}

// sameCheck says whether two checks measure the same in the same way, against the same limits.
func sameCheck(a, b spec.Check) bool {
	return a.ID == b.ID && a.Operation == b.Operation && a.Foot == b.Foot && a.Quantity == b.Quantity && a.Key == b.Key &&
		a.Unit == b.Unit && a.Rule == b.Rule && a.Times() == b.Times() && a.Group == b.Group && a.Gauge == b.Gauge &&
		sameNumber(a.Nominal, b.Nominal) && sameNumber(a.Lower, b.Lower) && sameNumber(a.Upper, b.Upper) && sameNumber(a.Span, b.Span) &&
		slices.Equal(a.Readings, b.Readings) && slices.Equal(a.From, b.From) && sameArgs(a.Args, b.Args)
}

func sameTarget(a, b *spec.Target) bool {
	return a == nil && b == nil || a != nil && b != nil && a.Unit == b.Unit && sameNumber(a.Value, b.Value)
}

// sameNumber compares to a nanometre or a billionth of a degree: what JSON keeps of a number.
func sameNumber(a, b float64) bool { return math.Abs(a-b) <= 1e-9 }

// ownWords are the arguments that sheets of release 1 hold in the program's own English words: what they name
// is in the id, and only their wording can differ.
var ownWords = []string{"place", "direction", "section", "surface", "side", "rest"}

func sameArgs(a, b message.Args) bool {
	covers := func(a, b message.Args) bool {
		for name, value := range a {
			if other, ok := b[name]; !slices.Contains(ownWords, name) && (!ok || fmt.Sprint(value) != fmt.Sprint(other)) {
				return false
			}
		}
		return true
	}
	return covers(a, b) && covers(b, a)
}
