package print

import "time"

// Origin says whose paper it is and when it was printed. The same paper with the same origin is the same
// file, byte by byte.
type Origin struct {
	Workshop string
	Zone     *time.Location // UTC where nil
	Printed  time.Time
}

func (o Origin) about(title string) about {
	return about{title: title, author: o.Workshop, made: o.Printed}
}
