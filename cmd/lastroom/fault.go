package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"lastroom/jobs/message"
)

// misuse is a command called wrongly: exit code 2.
type misuse struct{ error }

func (m misuse) Unwrap() error { return m.error }

// hint is an error with a line that says what was probably meant.
type hint struct {
	error
	line string
}

func (h hint) Unwrap() error { return h.error }

func hinted(err error, line string) error { return hint{err, line} }

func invalid(key string, args message.Args) error {
	return &message.Fault{Kind: message.Invalid, Key: key, Args: args}
}

// placed puts the name of a file before the place of each fault in it.
func placed(file string, err error) error {
	faults := message.Faults(err)
	if file == "" || len(faults) == 0 {
		return err
	}
	errs := make([]error, len(faults))
	for i, f := range faults {
		told := *f
		if told.Where = file; f.Where != "" {
			told.Where = file + ": " + f.Where
		}
		errs[i] = &told
	}
	return errors.Join(errs...)
}

// tell writes an error for a person: one line a fault, then a hint where there is one.
func tell(to io.Writer, err error) {
	faults := message.Faults(err)
	for _, f := range faults {
		fmt.Fprintln(to, oneLine(f.Error()))
	}
	if len(faults) == 0 {
		if errors.Is(err, context.Canceled) {
			err = errors.New(say("command.stopped"))
		}
		fmt.Fprintln(to, "lastroom: "+oneLine(err.Error()))
	}
	var h hint
	if errors.As(err, &h) {
		fmt.Fprintln(to, message.Say(message.Default, "command.hint", message.Args{"hint": oneLine(h.line)}))
	}
}

// oneLine keeps what it is given from breaking or forging a line: a file's name may hold anything.
func oneLine(text string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, strings.TrimSpace(text))
}
