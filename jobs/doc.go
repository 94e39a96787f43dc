// Package jobs is the floor of a workshop that makes skate boots to measure: a received order becomes
// a job, its sheet travels with the pair, each station scans it and logs what was done and measured,
// the inspector releases it or sends it back, and the desk hears when it will be done.
//
// State is the fold of the ledger's entries and of nothing else (entry.go, fold.go). What a person may
// do is decided by pure functions of state, request and instant (scan.go, release.go and others), and
// Workshop is the one door through which it is done: it alone reads the clock, appends and tells.
package jobs
