package workshop_test

import (
	"strings"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"lastroom/jobs"
)

// diffJobs says how two jobs differ; a nil map or slice is the same as an empty one.
func diffJobs(a, b *jobs.Job) string { return cmp.Diff(a, b, cmpopts.EquateEmpty()) }

func contains(text string, all ...string) bool {
	for _, one := range all {
		if !strings.Contains(text, one) {
			return false
		}
	}
	return true
}
