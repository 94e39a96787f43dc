package workshop

import "lastroom/jobs"

// pacesAt are the paces up to an entry.
type pacesAt struct {
	head  uint64
	paces map[string]jobs.Pace
}

// Paces are those of the workshop as things stand; nobody changes them.
func (w *Workshop) Paces() map[string]jobs.Pace {
	head := w.Head()
	if last := w.paces.Load(); last != nil && last.head == head {
		return last.paces
	}
	now := &pacesAt{head: head, paces: jobs.Paces(w.Jobs(), w.shop)}
	w.paces.Store(now)
	return now.paces
}
