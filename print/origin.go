package print

import (
	"time"

	"lastroom/jobs/message"
)

// Origin says whose paper it is and when it was printed. The same paper with the same origin is the same
// file, byte by byte.
type Origin struct {
	Workshop string
	Zone     *time.Location // UTC where nil
	Printed  time.Time
	Language message.Language // the default one where empty
}

// about is what a paper with this title says of itself.
func (o Origin) about(key string, args message.Args) about {
	return about{title: message.Say(o.Language, key, args), author: o.Workshop, made: o.Printed, lang: o.Language}
}
