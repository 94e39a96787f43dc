package search

import "context"

func noWait(ctx context.Context, p *Problem, seed uint64) Plan { return Plan{} }
