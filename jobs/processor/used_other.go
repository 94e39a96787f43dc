//go:build !unix

// Package processor tells what a benchmark cost, so that other work on the machine does not count.
package processor

import "time"

var begun = time.Now()

// Used is the processor time that this process has used; where the system does not tell it, the time
// that has passed.
func Used() time.Duration { return time.Since(begun) }
