package jobs

import (
	"math"

	"lastroom/jobs/check"
	"lastroom/jobs/message"
	"lastroom/jobs/spec"
)

// VerdictReport is what came of computing every verdict of a ledger again.
type VerdictReport struct {
	Readings int              // sets of readings
	Verdicts int              // on checks
	Problems []VerdictProblem // none where all came out as they were
}

// VerdictProblem is a verdict that comes out otherwise than it was written.
type VerdictProblem struct {
	Entry  uint64
	Job    int
	Check  string // its id
	Stored check.Result
	Again  check.Result
	Why    string // what differs: "limits", "value" or "decision"
}

// Text says what differs.
func (p VerdictProblem) Text(lang message.Language) string {
	return message.Say(lang, "verdict.differs."+p.Why, nil)
}

// VerdictsAgain is CheckVerdicts of entries that each hands over in order.
func VerdictsAgain(each func(take func(Record) error) error) (VerdictReport, error) {
	var r VerdictReport
	sheets := map[int]Sheet{}
	err := each(func(e Record) error {
		body, err := DecodeBody(e)
		if err != nil {
			return err
		}
		switch b := body.(type) {
		case Opened:
			sheets[b.Sheet.Job] = b.Sheet
		case Changed:
			sheets[b.Sheet.Job] = b.Sheet
		case ReadingTaken:
			r.Readings++
			for _, o := range b.Outcomes {
				r.Verdicts++
				if p, ok := decidedAgain(sheets[b.Job], b, o); !ok {
					p.Entry = e.Number
					r.Problems = append(r.Problems, p)
				}
			}
		}
		return nil
	})
	return r, err
}

// decidedAgain makes one verdict anew.
func decidedAgain(sheet Sheet, b ReadingTaken, o Outcome) (p VerdictProblem, ok bool) {
	p = VerdictProblem{Job: b.Job, Check: o.Check, Stored: o.Result}
	for _, c := range sheet.Checks {
		if c.ID != o.Check {
			continue
		}
		if want := check.Between(c.Lower, c.Upper); want.String() != o.Result.Limits.String() {
			p.Why = "limits"
			return p, false
		}
		if c.Rule == spec.Match {
			break
		}
		e, err := estimate(c, b.Values, b.Gauge)
		if err != nil || !alike(e.Value, o.Result.Value) || !alike(e.U, o.Result.U) || !alike(e.DoF, o.Result.DoF) {
			p.Again = check.Result{Value: e.Value, U: e.U, DoF: e.DoF}
			p.Why = "value"
			return p, false
		}
	}
	result, err := o.Result.Again()
	p.Again = result
	if err != nil || result.Verdict != o.Result.Verdict || !alike(result.K, o.Result.K) || !alike(result.Conformance, o.Result.Conformance) ||
		!alikeLimits(result.Acceptance, o.Result.Acceptance) || !alikeLimits(result.Rejection, o.Result.Rejection) {
		p.Why = "decision"
		return p, false
	}
	return p, true
}

// alike compares to nine digits, so that processors may round differently.
func alike(a, b float64) bool {
	return a == b || math.Abs(a-b) <= 1e-9*max(math.Abs(a), math.Abs(b), 1)
}

func alikeLimits(a, b check.Limits) bool {
	same := func(x, y *float64) bool { return (x == nil) == (y == nil) && (x == nil || alike(*x, *y)) }
	return same(a.Lower, b.Lower) && same(a.Upper, b.Upper)
}
