package message

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
	"golang.org/x/text/message"
)

// Catalogue holds the sentences of one language by key, such as "scan.resting".
type Catalogue struct {
	Language  Language
	Sentences map[string]Sentence

	tag     language.Tag
	printer *message.Printer
}

// Sentence is what a key says: one text such as "dries until {until}", or where a count decides the
// words, a text for each plural form of the language.
type Sentence struct {
	Text  string            // of a sentence without plural forms
	By    string            // name of the value that decides the form
	Forms map[string]string // by CLDR's name of the form: zero, one, two, few, many, other
}

// UnmarshalJSON reads a text, or an object such as {"by": "count", "one": "…", "other": "…"}.
func (s *Sentence) UnmarshalJSON(raw []byte) error {
	if len(raw) > 0 && raw[0] == '"' {
		return json.Unmarshal(raw, &s.Text)
	}
	if err := json.Unmarshal(raw, &s.Forms); err != nil {
		return err
	}
	s.By = s.Forms["by"]
	delete(s.Forms, "by")
	if s.By == "" || s.Forms["other"] == "" {
		return fmt.Errorf("plural forms need %q, the name of the value that decides, and the form %q", "by", "other")
	}
	return nil
}

// Texts are all texts of the sentence.
func (s Sentence) Texts() []string {
	if s.By == "" {
		return []string{s.Text}
	}
	var all []string
	for _, form := range slices.Sorted(maps.Keys(s.Forms)) {
		all = append(all, s.Forms[form])
	}
	return all
}

// Load reads every *.json of a language's folder, each an object of key to sentence, into one catalogue.
// A key that stands in two files is refused, and so is a folder whose name is no BCP 47 tag.
func Load(fsys fs.FS, lang Language) (*Catalogue, error) {
	tag, err := language.Parse(string(lang))
	if err != nil {
		return nil, fmt.Errorf("message catalogue %s: %w", lang, err)
	}
	all := &Catalogue{Language: lang, Sentences: map[string]Sentence{}, tag: tag, printer: message.NewPrinter(tag)}
	names, err := fs.Glob(fsys, path.Join(string(lang), "*.json"))
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		raw, err := fs.ReadFile(fsys, name)
		if err != nil {
			return nil, err
		}
		var part map[string]Sentence
		if err := json.Unmarshal(raw, &part); err != nil {
			return nil, fmt.Errorf("message catalogue %s: %w", name, err)
		}
		for key, sentence := range part {
			if _, twice := all.Sentences[key]; twice {
				return nil, fmt.Errorf("message catalogue %s: key %q stands in another file too", name, key)
			}
			all.Sentences[key] = sentence
		}
	}
	return all, nil
}

// Say returns the sentence of key with each {name} replaced by its value, and each {name:things} by the value
// and the things in the form that it takes, by the sentence count.things: "1 pair", "12 pairs". A key that the catalogue
// lacks, and a name that args lack, are shown in brackets: a visible slip is better than an empty line.
func (c *Catalogue) Say(key string, args Args) string {
	sentence, ok := c.Sentences[key]
	if !ok {
		return "[" + key + "]"
	}
	text := sentence.Text
	if sentence.By != "" {
		if text, ok = sentence.Forms[c.form(args[sentence.By])]; !ok {
			text = sentence.Forms["other"]
		}
	}
	if !strings.Contains(text, "{") {
		return text
	}
	var b strings.Builder
	for {
		before, rest, found := strings.Cut(text, "{")
		name, after, closed := strings.Cut(rest, "}")
		if !found || !closed {
			break
		}
		b.WriteString(before)
		name, things, counted := strings.Cut(name, ":")
		switch v, ok := args[name]; {
		case !ok:
			b.WriteString("[" + name + "]")
		case counted:
			b.WriteString(c.Say("count."+things, Args{"n": v}))
		case name == sentence.By:
			b.WriteString(c.count(v))
		default:
			b.WriteString(c.Show(v))
		}
		text = after
	}
	b.WriteString(text)
	return b.String()
}

// form is CLDR's name of the plural form that a number takes in this language; "other" for what is no
// number.
func (c *Catalogue) form(v any) string {
	text, ok := digits(v)
	if !ok {
		return names[plural.Other]
	}
	return names[c.pluralOf(text)]
}

// pluralOf is the plural form of a number that is written with these digits, by the operands of Unicode
// TR 35, part 3, section 5.1.1: i the whole part, v and w the decimals with and without trailing zeros, f and t
// their values.
func (c *Catalogue) pluralOf(text string) plural.Form {
	whole, decimals, _ := strings.Cut(strings.TrimLeft(text, "-"), ".")
	trimmed := strings.TrimRight(decimals, "0")
	return plural.Cardinal.MatchPlural(c.tag, small(whole), len(decimals), len(trimmed), small(decimals), small(trimmed))
}

// small reads digits as a number below 10 000 000, which is as far as the rules look.
func small(digits string) int {
	n := 0
	for _, d := range digits[max(0, len(digits)-7):] {
		n = n*10 + int(d-'0')
	}
	return n
}

var names = map[plural.Form]string{
	plural.Other: "other", plural.Zero: "zero", plural.One: "one", plural.Two: "two", plural.Few: "few", plural.Many: "many",
}
