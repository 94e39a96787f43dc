package jobs

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// maxText is how many characters a reason or a finding in words may have.
const maxText = 2000

// NeedText refuses words that are missing or too many.
func NeedText(field, text string) error {
	switch n := utf8.RuneCountInString(strings.TrimSpace(text)); {
	case n == 0:
		return &message.Fault{Kind: message.Invalid, Key: "text.empty", Where: field}
	case n > maxText || !utf8.ValidString(text):
		return &message.Fault{Kind: message.Invalid, Key: "text.long", Where: field, Args: message.Args{"found": n, "allowed": maxText}}
	}
	return nil
}

// MayDecide says whether a nonconformity can be decided so (ISO 9001:2015, 8.7). A rework goes back to
// an operation at or before the one in hand. A concession names who agreed, and what it lets pass: checks
// that were read and are not in, or a window that was missed.
func (j *Job) MayDecide(station string, n Nonconformity, agreed string, zone *time.Location) error {
	if err := j.MayWork(station, zone); err != nil {
		return err
	}
	step := j.Steps[j.At]
	if err := NeedText("found", n.Found); err != nil {
		return err
	}
	if !slices.Contains([]spec.Foot{spec.Left, spec.Right, spec.Both}, n.Foot) {
		return &message.Fault{Kind: message.Invalid, Key: "decide.foot", Where: "foot", Args: message.Args{"found": string(n.Foot)}}
	}
	if n.Cause != "" && !slices.Contains(Causes, n.Cause) {
		return &message.Fault{
			Kind: message.Invalid, Key: "decide.cause", Where: "cause",
			Args: message.Args{"found": n.Cause, "allowed": strings.Join(Causes, ", ")},
		}
	}
	for _, id := range n.Checks {
		i := slices.IndexFunc(j.Checks(step), func(c spec.Check) bool { return c.ID == id })
		if i < 0 {
			return &message.Fault{Kind: message.Invalid, Key: "decide.check", Where: "checks", Args: message.Args{"found": id}}
		}
		if c := j.Checks(step)[i]; !concerns(n.Foot, c.Foot) {
			return &message.Fault{
				Kind: message.Invalid, Key: "decide.other-foot", Where: "foot",
				Args: message.Args{"found": footName(n.Foot), "check": c.Phrase(), "foot": footName(c.Foot)},
			}
		}
	}
	switch n.Disposition {
	case Rework:
		var before []string
		for _, op := range j.Sheet.Route {
			before = append(before, op.Key)
			if op.Key == step.Operation {
				break
			}
		}
		if !slices.Contains(before, n.To) {
			return &message.Fault{
				Kind: message.Invalid, Key: "decide.to", Where: "to",
				Args: message.Args{"found": n.To, "allowed": strings.Join(before, ", ")},
			}
		}
	case Concession:
		if err := NeedText("agreed", agreed); err != nil {
			return err
		}
		missed := !step.BeginBy.IsZero() && step.Started == nil
		if len(n.Checks) == 0 && !missed {
			return &message.Fault{Kind: message.Invalid, Key: "decide.nothing", Where: "checks"}
		}
		for _, id := range n.Checks {
			if _, _, read := step.Latest(id); !read {
				return &message.Fault{Kind: message.Refused, Key: "decide.unread", Where: "checks", Args: message.Args{"check": id}}
			}
		}
	case Scrap:
	default:
		return &message.Fault{Kind: message.Invalid, Key: "decide.disposition", Where: "disposition", Args: message.Args{"found": string(n.Disposition)}}
	}
	return nil
}

// Mends is what a rework must mend in a step: why, and what was read last of the checks that it is about, in the
// sheet's order. Empty for a step of the first round, and for one that a change repeats without a reason.
func (j *Job) Mends(step Step) (why string, read []CheckResult) {
	if step.Round == 1 || step.Why == "" {
		return "", nil
	}
	at := -1
	for i, d := range j.Decisions {
		if d.Found == step.Why {
			at = i
		}
	}
	if at < 0 {
		return step.Why, nil
	}
	for _, c := range j.Sheet.Checks {
		if result, _, ok := j.Latest(c.ID); ok && slices.Contains(j.Decisions[at].Checks, c.ID) {
			read = append(read, CheckResult{c, result})
		}
	}
	return step.Why, read
}
