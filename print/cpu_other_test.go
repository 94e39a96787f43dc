//go:build !unix

package print

import "time"

var begun = time.Now()

// cpu is the time that has passed, where the system does not tell a process's own.
func cpu() time.Duration { return time.Since(begun) }
