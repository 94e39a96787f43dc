package spec

import (
	"errors"
	"io"

	"lastroom/jobs/unit"
)

var errNotYet = errors.New("not built yet")

func ParseJSON(r io.Reader, bare unit.System) ([]Order, error) { return nil, errNotYet }
func ParseCSV(r io.Reader, bare unit.System) ([]Order, error)  { return nil, errNotYet }
func Schema() []byte                                           { return nil }
func Review(o Order, c *Catalogue, d Dates) []Finding          { return nil }
func Instructions(s Spec, c *Catalogue) ([]Instruction, error) { return nil, errNotYet }
func Checks(s Spec, c *Catalogue) ([]Check, error)             { return nil, errNotYet }

// Difference is one field that differs between two specs.
type Difference struct {
	Path string `json:"path"`           // such as "shell.height.right.step"
	Work Work   `json:"work,omitempty"` // the kind of work it belongs to; empty for size and measurements, which touch several
	From string `json:"from"`           // as text, empty where there was nothing
	To   string `json:"to"`
}

func Diff(a, b Spec) []Difference { return nil }

// Touched gives the operations, in the order of the route, whose instructions or checks differ between two specs.
func Touched(a, b Spec, c *Catalogue) ([]string, error) { return nil, errNotYet }

func Draw(s Spec, c *Catalogue) (Figure, error) { return Figure{}, errNotYet }
