// Package message holds every sentence that lastroom says to a person: on a page, on paper, at the
// terminal. A sentence is found by its key, and named values are put into it. A language is one folder
// of catalogues: adding one changes no code.
package message

import (
	"embed"
	"sync"
)

// Language is a BCP 47 tag, and the name of the folder that holds the catalogue of that language.
type Language string

// The languages that the program itself names. A language is every folder beside en.
const (
	English Language = "en"
	Default          = English // said where nobody has chosen: at a terminal, in a log
)

//go:embed */*.json
var files embed.FS

// catalogues are those of all languages that lastroom ships. They are read once.
var catalogues = sync.OnceValue(func() map[Language]*Catalogue {
	all := map[Language]*Catalogue{}
	folders, err := files.ReadDir(".")
	for _, folder := range folders {
		if err == nil {
			all[Language(folder.Name())], err = Load(files, Language(folder.Name()))
		}
	}
	if err != nil {
		panic(err) // the files are part of the program: a test loads them
	}
	return all
})

// Of is the catalogue of a language; that of Default where the language has none.
func Of(lang Language) *Catalogue {
	if c, ok := catalogues()[lang]; ok {
		return c
	}
	return catalogues()[Default]
}

// Say is the sentence of key in a language, with the named values put into it.
func Say(lang Language, key string, args Args) string { return Of(lang).Say(key, args) }

// Show is one value of a sentence alone, as Say would put it in.
func Show(lang Language, value any) string { return Of(lang).Show(value) }

// Has tells whether a language has a sentence of that key.
func Has(lang Language, key string) bool {
	_, ok := Of(lang).Sentences[key]
	return ok
}
