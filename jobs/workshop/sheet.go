package workshop

import (
	"time"

	"lastroom/jobs"
	"lastroom/jobs/code"
)

// Ticket is a sheet with what only its printing needs: names, which lie apart from the ledger's chain,
// and the address that its square opens.
type Ticket struct {
	Sheet    jobs.Sheet
	Code     code.Code
	URL      string // http://HOST[:PORT]/S/<code>
	Workshop string // the shop's name
	Zone     *time.Location
	Customer string // as the shop's privacy choice says: name, initials or empty
	Promise  *jobs.Promise
	Preview  bool              // shown, not printed: the paper says so
	Printed  time.Time         // of this copy
	Copies   int               // printed before this one: more than 0 is a reprint, and says so
	People   map[string]string // names of the persons whose keys the sheet holds
	Photos   []jobs.Photo      // of the feet, where the order came with any; Workshop.PhotoFile has the pictures
}
