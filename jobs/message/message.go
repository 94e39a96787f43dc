// Package message holds every sentence that lastroom says to a person: on a page, on paper, at the
// terminal. A sentence is found by its key, and named values are put into it, so that a workshop that
// speaks another language needs one more catalogue and no change of code.
package message

import (
	"embed"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"
)

// Args are the named values of a sentence. A value prints as fmt.Sprint prints it, so a type that
// carries a unit prints its unit.
type Args map[string]any

// Catalogue maps a key such as "scan.resting" to a sentence such as "dries until {until}".
type Catalogue map[string]string

//go:embed en/*.json
var files embed.FS

// English is the catalogue that lastroom ships. It is read once, and is never changed.
var English = sync.OnceValue(func() Catalogue {
	c, err := load(files, "en")
	if err != nil {
		panic(err) // the files are part of the program: a test loads them
	}
	return c
})

// load reads every *.json of a folder, each an object of key to sentence, into one catalogue. A key
// that stands in two files is refused.
func load(fsys fs.FS, folder string) (Catalogue, error) {
	all := Catalogue{}
	names, err := fs.Glob(fsys, path.Join(folder, "*.json"))
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		raw, err := fs.ReadFile(fsys, name)
		if err != nil {
			return nil, err
		}
		var part Catalogue
		if err := json.Unmarshal(raw, &part); err != nil {
			return nil, fmt.Errorf("message catalogue %s: %w", name, err)
		}
		for key, sentence := range part {
			if _, twice := all[key]; twice {
				return nil, fmt.Errorf("message catalogue %s: key %q stands in another file too", name, key)
			}
			all[key] = sentence
		}
	}
	return all, nil
}

// Keys returns the keys in order.
func (c Catalogue) Keys() []string { return slices.Sorted(maps.Keys(c)) }

// Say returns the sentence of key with each {name} replaced by its value. A key that the catalogue
// lacks, and a name that args lack, are shown in brackets: a visible slip is better than an empty line.
func (c Catalogue) Say(key string, args Args) string {
	sentence, ok := c[key]
	if !ok {
		return "[" + key + "]"
	}
	if !strings.Contains(sentence, "{") {
		return sentence
	}
	var b strings.Builder
	for {
		open := strings.IndexByte(sentence, '{')
		if open < 0 {
			break
		}
		length := strings.IndexByte(sentence[open:], '}')
		if length < 0 {
			break
		}
		b.WriteString(sentence[:open])
		name := sentence[open+1 : open+length]
		if v, ok := args[name]; ok {
			fmt.Fprint(&b, v)
		} else {
			b.WriteString("[" + name + "]")
		}
		sentence = sentence[open+length+1:]
	}
	b.WriteString(sentence)
	return b.String()
}

// Say is English().Say.
func Say(key string, args Args) string { return English().Say(key, args) }
