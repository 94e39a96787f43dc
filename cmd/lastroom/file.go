package main

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"

	"lastroom/jobs/message"
)

// largestInput is the largest file that a command reads whole, in bytes.
const largestInput = 10 << 20

// readFile reads a file whole, "-" being the standard input. A person may stop it while it waits.
func readFile(ctx context.Context, name string, in io.Reader) ([]byte, error) {
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, fileFault(name, err)
		}
		defer f.Close()
		if info, err := f.Stat(); err == nil && info.IsDir() {
			return nil, &message.Fault{Kind: message.Invalid, Key: "command.file.folder", Where: name}
		}
		in = f
	}
	type read struct {
		raw []byte
		err error
	}
	got := make(chan read, 1)
	go func() {
		raw, err := io.ReadAll(io.LimitReader(in, largestInput+1))
		got <- read{raw, err}
	}()
	select {
	case <-ctx.Done():
		return nil, ctx.Err()
	case r := <-got:
		switch {
		case r.err != nil:
			return nil, fileFault(name, r.err)
		case len(r.raw) > largestInput:
			return nil, &message.Fault{
				Kind: message.Invalid, Key: "command.file.large", Where: fileName(name, ""),
				Args: message.Args{"allowed": largestInput >> 20},
			}
		}
		return r.raw, nil
	}
}

// fileName is what a file is called in a fault; without is its name where none was given.
func fileName(name, without string) string {
	switch name {
	case "":
		return without
	case "-":
		return say("command.file.stdin")
	}
	return name
}

// fileFault says what is wrong with a file as a whole.
func fileFault(name string, err error) error {
	key := ""
	switch {
	case errors.Is(err, fs.ErrNotExist):
		key = "command.file.missing"
	case errors.Is(err, fs.ErrPermission):
		key = "command.file.permission"
	case errors.Is(err, fs.ErrExist):
		key = "command.file.exists"
	default:
		return err
	}
	return &message.Fault{Kind: message.Invalid, Key: key, Where: fileName(name, "")}
}
