package print

import (
	"context"
	"errors"
	"io"
	"maps"
	"slices"
	"strings"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
)

// Asked is a paper that a page or a command asks for, besides the traveller.
type Asked struct {
	Kind  string `json:"kind"` // one of Kinds
	Jobs  []int  `json:"jobs,omitempty"`
	Used  int    `json:"used,omitempty"`  // labels: how many are gone from the first sheet
	Entry uint64 `json:"entry,omitempty"` // rework: of one decision alone; 0 is all that sent a pair back
}

// paperKind is a sort of paper: whether it is of jobs, and how it is drawn.
type paperKind struct {
	ofJobs bool
	draw   func(ctx context.Context, w *workshop.Workshop, a Asked, out io.Writer) (Made, error)
}

// paperKinds are those papers, by the name under which they are asked for.
var paperKinds = map[string]paperKind{
	"labels": {true, func(_ context.Context, w *workshop.Workshop, a Asked, out io.Writer) (Made, error) {
		both, err := each(a.Jobs, func(job int) ([]Label, error) { return LabelsOf(w, job) })
		if err != nil {
			return Made{}, err
		}
		grid := w.Shop().Labels
		grid.Used = a.Used
		return Labels(out, both, grid, OriginOf(w))
	}},
	"slips": {true, func(_ context.Context, w *workshop.Workshop, a Asked, out io.Writer) (Made, error) {
		slips, err := each(a.Jobs, func(job int) ([]CustomerSlip, error) {
			one, err := SlipOf(w, job)
			return []CustomerSlip{one}, err
		})
		if err != nil {
			return Made{}, err
		}
		return CustomerSlips(out, slips, Paper(w.Shop().Paper), OriginOf(w))
	}},
	"rework": {true, func(_ context.Context, w *workshop.Workshop, a Asked, out io.Writer) (Made, error) {
		slips, err := each(a.Jobs, func(job int) ([]ReworkSlip, error) { return ReworksOf(w, job) })
		if err != nil {
			return Made{}, err
		}
		if a.Entry != 0 {
			slips = slices.DeleteFunc(slips, func(one ReworkSlip) bool { return one.Decision.Entry != a.Entry })
			if len(slips) == 0 {
				return Made{}, &message.Fault{Kind: message.Unknown, Key: "paper.no-slip", Args: message.Args{"job": jobs.NumberText(a.Jobs[0]), "entry": a.Entry}}
			}
		}
		return ReworkSlips(out, slips, Paper(w.Shop().Paper), OriginOf(w))
	}},
	"certificate": {true, func(ctx context.Context, w *workshop.Workshop, a Asked, out io.Writer) (Made, error) {
		if len(a.Jobs) != 1 {
			return Made{}, &message.Fault{Kind: message.Invalid, Key: "command.paper.one"}
		}
		one, err := CertificateOf(ctx, w, a.Jobs[0])
		if err != nil {
			return Made{}, err
		}
		return AsBuilt(out, one, Paper(w.Shop().Paper), OriginOf(w))
	}},
	"stations": {false, func(_ context.Context, w *workshop.Workshop, _ Asked, out io.Writer) (Made, error) {
		return StationCards(out, StationCardsOf(w), Paper(w.Shop().Paper), OriginOf(w))
	}},
	"badges": {false, func(_ context.Context, w *workshop.Workshop, _ Asked, out io.Writer) (Made, error) {
		return BadgeCards(out, BadgesOf(w), Paper(w.Shop().Paper), OriginOf(w))
	}},
}

// each gathers what make makes of each job, in order.
func each[T any](numbers []int, make func(job int) ([]T, error)) ([]T, error) {
	var all []T
	for _, number := range numbers {
		some, err := make(number)
		if err != nil {
			return nil, err
		}
		all = append(all, some...)
	}
	return all, nil
}

// Kinds are the names of the papers that can be asked for.
func Kinds() []string { return slices.Sorted(maps.Keys(paperKinds)) }

// OfJobs says whether a kind of paper is of jobs, and whether there is such a kind.
func OfJobs(name string) (ofJobs, known bool) {
	k, known := paperKinds[name]
	return k.ofJobs, known
}

// Draw writes the paper that is asked for as PDF. Its faults are those of what it is made of: of Workshop.Job,
// a job that was not released for a certificate, more labels gone than a sheet has.
func Draw(ctx context.Context, w *workshop.Workshop, a Asked, out io.Writer) (Made, error) {
	k, known := paperKinds[a.Kind]
	if !known {
		return Made{}, &message.Fault{Kind: message.Invalid, Key: "command.paper.kind", Args: message.Args{"found": a.Kind, "allowed": strings.Join(Kinds(), ", ")}}
	}
	return k.draw(ctx, w, a, out)
}

// Sheets writes the travellers of jobs as PDF. look says which of them are only looked at: the paper says so.
// Every job that has none is a fault.
func Sheets(w *workshop.Workshop, numbers []int, look func(*jobs.Job) bool, o Options, out io.Writer) (Made, error) {
	if o.Paper == "" {
		o.Paper = Paper(w.Shop().Paper)
	}
	tickets := make([]Ticket, len(numbers))
	var faults []error
	for i, number := range numbers {
		j, err := w.Job(number)
		if err == nil {
			tickets[i], err = Of(w, number)
		}
		if err != nil {
			faults = append(faults, err)
			continue
		}
		tickets[i].Preview = look(j)
	}
	if err := errors.Join(faults...); err != nil {
		return Made{}, err
	}
	return Traveller(out, tickets, o)
}
