package server

import (
	"io"
	"sync"
	"time"

	"lastroom/jobs/spec"
	"lastroom/jobs/workshop"
)

// shelf keeps what a first step of a form found until its second step, in memory and not for long.
type shelf[V any] struct {
	mu     sync.Mutex
	random io.Reader
	things map[string]shelved[V]
}

type shelved[V any] struct {
	value V
	by    string
	until time.Time
}

// upload is an order file between its review, as it was shown, and its opening.
type upload struct {
	name    string
	orders  []spec.Order
	reviews []workshop.Review
}

// proposed is a changed spec between what it would mean and its confirmation.
type proposed struct {
	job    int
	spec   spec.Spec
	reason string
}

// What a shelf holds at most, and for how long.
const (
	shelfRoom = 64
	shelfLife = 2 * time.Hour
)

func newShelf[V any](random io.Reader) *shelf[V] {
	return &shelf[V]{random: random, things: map[string]shelved[V]{}}
}

// put keeps a value for one person and returns its name.
func (s *shelf[V]) put(v V, by string, now time.Time) (string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	name, err := token(s.random)
	if err != nil {
		return "", err
	}
	oldest := ""
	for key, one := range s.things {
		if now.After(one.until) {
			delete(s.things, key)
		} else if oldest == "" || one.until.Before(s.things[oldest].until) {
			oldest = key
		}
	}
	if len(s.things) >= shelfRoom {
		delete(s.things, oldest)
	}
	s.things[name] = shelved[V]{v, by, now.Add(shelfLife)}
	return name, nil
}

// get returns what a person put there, as long as it is kept.
func (s *shelf[V]) get(name, by string, now time.Time) (V, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	one, ok := s.things[name]
	if !ok || one.by != by || now.After(one.until) {
		var none V
		return none, false
	}
	return one.value, true
}
