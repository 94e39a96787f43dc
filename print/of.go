package print

import (
	"lastroom/jobs"
	"lastroom/jobs/spec"
)

// Of is the ticket of a job's sheet in force, with the drawing and the pattern's name that the
// workshop's catalogue knows.
func Of(w *jobs.Workshop, number int) (Ticket, error) {
	t, err := w.Ticket(number)
	if err != nil {
		return Ticket{}, err
	}
	catalogue := &w.Shop().Catalogue
	ticket := Ticket{Ticket: t, Pattern: catalogue.Patterns[t.Sheet.Spec.Pattern].Name}
	ticket.Figure, err = spec.Draw(t.Sheet.Spec, catalogue)
	return ticket, err
}
