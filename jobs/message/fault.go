package message

import "errors"

// Kind says what sort of refusal a fault is; the server turns it into a status, a command into an
// exit code.
type Kind string

// The kinds of refusal.
const (
	Invalid   Kind = "invalid"   // what was given cannot be: a form, a file, a reading
	Unknown   Kind = "unknown"   // there is no such job, code, person or station
	Refused   Kind = "refused"   // it can be, but not now or not here
	Forbidden Kind = "forbidden" // this person may not
	SignIn    Kind = "sign-in"   // nobody is signed in
)

// Fault is an error for a person: what was found, what is allowed, what to do. Any other error is
// internal, goes to the log whole, and is shown as an id only.
type Fault struct {
	Kind  Kind   `json:"kind"`
	Key   string `json:"code"`            // of the sentence, and the stable code that programs read
	Args  Args   `json:"args,omitempty"`  // put into the sentence
	Where string `json:"where,omitempty"` // a field such as "last[0].mm", or file:line:column
}

// What is what was found and what is allowed, in a language.
func (f *Fault) What(lang Language) string { return Say(lang, f.Key, f.Args) }

// Do is what to do about it, where the catalogue has a sentence for that: under the key with ".do".
func (f *Fault) Do(lang Language) string {
	key := f.Key + ".do"
	if !Has(lang, key) {
		return ""
	}
	return Say(lang, key, f.Args)
}

// Text is the whole sentence without its place, in a language.
func (f *Fault) Text(lang Language) string { return Show(lang, f.Phrase()) }

// Phrase is the sentence as a value of another one.
func (f *Fault) Phrase() Phrase {
	what := Phrase{Key: f.Key, Args: f.Args}
	if do := f.Key + ".do"; Has(Default, do) {
		return Phrase{Key: "fault.what-to-do", Args: Args{"what": what, "do": Phrase{Key: do, Args: f.Args}}}
	}
	return what
}

// Error is the place and the sentence in one line, in the default language.
func (f *Fault) Error() string {
	if f.Where == "" {
		return f.Text(Default)
	}
	return f.Where + ": " + f.Text(Default)
}

// Faults returns every fault that err holds, joined or wrapped, in order; nil when there is none.
func Faults(err error) []*Fault {
	if err == nil {
		return nil
	}
	if f, ok := err.(*Fault); ok {
		return []*Fault{f}
	}
	switch e := err.(type) {
	case interface{ Unwrap() []error }:
		var all []*Fault
		for _, one := range e.Unwrap() {
			all = append(all, Faults(one)...)
		}
		return all
	default:
		return Faults(errors.Unwrap(err))
	}
}
