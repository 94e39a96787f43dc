package plan

// judge measures a play by its weighted lateness in days. While the play goes on it knows what each job
// is sure to have: as if it never waited again and every station were open.
type judge struct {
	due    []int64   // by card, seconds after base; 0 if there is none
	tail   []int64   // by step: least seconds from its end to the finish
	weight []float64 // by card, of a second
}

// inProgress is the weight of a day until the finish beside a day late: it decides between orders that
// are equally late.
const inProgress = 1e-6

func newJudge(b *board, jobs []Job) *judge {
	j := &judge{due: make([]int64, len(b.cards)), tail: make([]int64, len(b.works)), weight: make([]float64, len(b.cards))}
	for i := range b.cards {
		c := &b.cards[i]
		j.due[i] = b.maybe(jobs[c.job].due())
		j.weight[i] = c.weight / 86400
		after := int64(0)
		for k := c.end - 1; k >= c.first; k-- {
			w := &b.works[k]
			after += w.rest
			j.tail[k] = after
			after += int64(w.expected)
		}
	}
	return j
}

// late is the weighted lateness in days of a card that is finished at an instant.
func (j *judge) late(i int32, done int64) float64 {
	if j.due[i] == 0 || done <= j.due[i] {
		return 0
	}
	return j.weight[i] * float64(done-j.due[i])
}

// value is the weighted lateness in days of a play that was played to its end, and, far behind it, the
// weighted time to the finish.
func (j *judge) value(p *play) float64 {
	sum := 0.0
	for i, done := range p.done {
		sum += j.late(int32(i), done) + inProgress*j.weight[i]*float64(done)
	}
	return sum
}

// begin sets a play that begins to zero.
func (j *judge) begin(p *play) {
	p.sure = 0
	clear(p.least)
}

// ended counts what is sure when a card ended a step.
func (j *judge) ended(p *play, i, step int32, t int64) {
	if least := j.late(i, t+j.tail[step]); least > p.least[i] {
		p.sure += least - p.least[i]
		p.least[i] = least
	}
}
