package workshop

import (
	"time"

	"lastroom/jobs"
)

// Forgotten is the job's question as things stand.
func (w *Workshop) Forgotten(j *jobs.Job) (usual time.Time, forgotten bool) {
	return j.Forgotten(w.Now(), w.shop, w.Paces())
}
