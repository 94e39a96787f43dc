package jobs

import (
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// SayDifference is one field that a change touched, in words: "height +6 instead of +3".
func SayDifference(d spec.Difference) string {
	args := message.Args{"field": d.Path, "from": d.From, "to": d.To}
	switch {
	case d.From == "":
		return message.Say("change.new", args)
	case d.To == "":
		return message.Say("change.gone", args)
	}
	return message.Say("change.instead", args)
}
