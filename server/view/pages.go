package view

import (
	"sync"

	"lastroom/jobs/message"
	"lastroom/templates"
)

// Pages are the pages with their sentences. They are parsed and compared with their views once.
var Pages = sync.OnceValues(func() (*templates.Pages, error) { return templates.New(say) })

// say is the sentence of a key for a page: args alternate name and value.
func say(key string, args ...any) string {
	named := message.Args{}
	for i := 0; i+1 < len(args); i += 2 {
		if name, ok := args[i].(string); ok {
			named[name] = args[i+1]
		}
	}
	return message.Say(message.Default, key, named)
}
