package jobs

import (
	"time"

	"lastroom/jobs/spec"
)

// The personal records that lie beside the chain. Like bodies they are read for ever: members are added, never renamed.

// OrderDraft is an order that is still being written. It is a private record: it says who orders.
type OrderDraft struct {
	Key    string     `json:"-"` // empty for one that was never saved
	Order  spec.Order `json:"order"`
	Photos []Photo    `json:"photos,omitempty"`
	By     string     `json:"by"`    // key of who saved it last
	Saved  time.Time  `json:"saved"` // UTC
}

// Photo is a picture of a foot with numbered points on it. It is personal data: it is named by its hash
// in a private record, never in the chain, and goes with the customer.
type Photo struct {
	Hash   string    `json:"hash"` // SHA-256 of the file, 64 small hexadecimal digits: its name
	Foot   spec.Foot `json:"foot,omitempty"`
	Width  int       `json:"width"` // pixels
	Height int       `json:"height"`
	Points []Point   `json:"points,omitempty"` // numbered from 1 in this order
}

// Point is a place on a photo, tied to what is done about it.
type Point struct {
	X   float64 `json:"x"`             // percent of the width, from the left
	Y   float64 `json:"y"`             // percent of the height, from the top
	For string  `json:"for,omitempty"` // name of the spec.Field; empty while nothing is decided
}
