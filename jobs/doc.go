// Package jobs is the floor of a workshop that makes skate boots to measure: a received order becomes
// a job, its sheet travels with the pair, each station scans it and logs what was done and measured,
// the inspector releases it or sends it back, and the desk hears when it will be done.
//
// State is the fold of the ledger's entries and of nothing else (kind.go, entry.go, fold.go). What a person
// may do is decided by pure functions of state, request and instant (act.go, scan.go, release.go and others).
// Package workshop does it: it alone reads the clock, appends to the ledger and tells who listens.
package jobs
