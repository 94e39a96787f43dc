package server

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"sync"

	"lastroom/jobs/spec"
)

//go:embed openapi.json
var openAPIText []byte

// openAPI is the description of the programs' interface (OpenAPI 3.1), with the one schema of order files
// put where it refers to it.
var openAPI = sync.OnceValue(func() []byte {
	var doc map[string]any
	var orders struct {
		Defs map[string]any `json:"$defs"`
	}
	// A schema's reference leads to where its definitions go.
	schema := bytes.ReplaceAll(spec.Schema(), []byte(`"#/$defs/`), []byte(`"#/components/schemas/`))
	if err := json.Unmarshal(openAPIText, &doc); err != nil {
		panic(err) // both are part of the program: a test reads them
	}
	if err := json.Unmarshal(schema, &orders); err != nil {
		panic(err)
	}
	schemas := doc["components"].(map[string]any)["schemas"].(map[string]any)
	for name, one := range orders.Defs {
		schemas[name] = one
	}
	whole, err := json.MarshalIndent(doc, "", " ")
	if err != nil {
		panic(err)
	}
	return whole
})
