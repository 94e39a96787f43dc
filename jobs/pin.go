package jobs

// Pinned fixes a pair's place in every queue that it waits in, 1 for the next, whatever the plan finds.
type Pinned struct {
	Job      int    `json:"job"`
	Position int    `json:"turn"`
	Reason   string `json:"reason"`
}

// Unpinned leaves a pair's place to the plan again.
type Unpinned struct {
	Job int `json:"job"`
}

// Pin is a fixed place in the queues, and why.
type Pin struct {
	Signature
	Position int
	Reason   string
}
