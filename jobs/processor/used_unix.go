//go:build unix

// Package processor tells what a benchmark cost, so that other work on the machine does not count.
package processor

import (
	"syscall"
	"time"
)

// Used is the processor time that this process has used; where the system does not tell it, the time
// that has passed.
func Used() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
