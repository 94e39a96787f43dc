package templates

// State is one page in one state.
type State struct {
	Name string // page and state, such as "station, empty"
	View View
}

// Gallery returns every page in every state, from ready-made views.
func Gallery() []State { return nil }
