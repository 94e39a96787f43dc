package search

import (
	"context"
	"math/rand/v2"
)

// random returns the generator of one search.
func random(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15)) }

// over says that the caller's time is up; it is cheap enough to ask often.
func over(ctx context.Context) bool { return ctx.Err() != nil }
