package spec

import (
	"strings"

	"lastroom/jobs/message"
)

// Severity says what a finding means for an order.
type Severity string

// The severities, gravest first. CannotBuild stops an order; every other needs a name and a reason to
// pass, and travels to the sheet.
const (
	CannotBuild   Severity = "cannot-build"
	Contradiction Severity = "contradiction"
	AskAgain      Severity = "ask-again"
	Unusual       Severity = "unusual"
)

// Finding is one thing that a review has to say about an order.
type Finding struct {
	Severity Severity     `json:"severity"`
	Rule     string       `json:"rule"`   // stable name of the rule, such as "last.opening.limit"
	Fields   []string     `json:"fields"` // paths in the order, such as "spec.last.openings[0].by"
	Key      string       `json:"key"`    // of the sentence
	Args     message.Args `json:"args,omitempty"`
	Settle   *Spec        `json:"settle,omitempty"` // the whole spec with the finding settled, to accept or not
}

// Text is the finding as a person reads it: what was found, what is allowed, what to do.
func (f Finding) Text(lang message.Language) string { return message.Say(lang, f.Key, f.Args) }

// Phrase is the finding as a value of another sentence.
func (f Finding) Phrase() message.Phrase { return message.Phrase{Key: f.Key, Args: f.Args} }

// PassedText is the finding as a sheet tells it that somebody let it pass: without the proposal that was
// not taken.
func (f Finding) PassedText(lang message.Language) string {
	if key := f.Key + ".passed"; message.Has(lang, key) {
		return message.Say(lang, key, f.Args)
	}
	return f.Text(lang)
}

// ID is the same for the same finding on the same fields, so that an answer stays with it.
func (f Finding) ID() string { return f.Rule + "@" + strings.Join(f.Fields, ",") }
