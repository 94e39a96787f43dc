package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"lastroom/jobs/disk"
	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
)

// output is where a command writes: a file, or "-" for the standard output.
type output struct {
	path    string
	inputs  []string // files that it must not be, however its path is written
	replace bool     // whether a file that is there may be replaced
}

// write makes the file whole or not at all: aside, synced, renamed. What is there stays as it was when
// anything fails. A device or pipe is written as it is.
func (o output) write(out io.Writer, content func(io.Writer) error) (err error) {
	if o.path == "-" {
		return content(out)
	}
	path := o.path
	switch info, err := os.Stat(path); {
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ENOTDIR):
		if info, err := os.Stat(filepath.Dir(path)); err != nil || !info.IsDir() {
			return o.fault("command.output.folder", message.Args{"folder": filepath.Dir(path)})
		}
	case err != nil:
		return fileFault(path, err)
	case info.IsDir():
		return o.fault("command.file.folder", nil)
	case o.isInput(info):
		return o.fault("command.output.input", nil)
	case !info.Mode().IsRegular():
		return writeThrough(path, content)
	case !o.replace:
		return o.fault("command.file.exists", nil)
	default:
		if path, err = filepath.EvalSymlinks(path); err != nil {
			return err
		}
	}
	begun := false
	err = disk.WriteAside(path, func(w io.Writer) error {
		begun = true
		return content(w)
	})
	if err != nil && !begun {
		return fileFault(path, err)
	}
	return err
}

func (o output) fault(key string, args message.Args) error {
	return &message.Fault{Kind: message.Invalid, Key: key, Where: o.path, Args: args}
}

func (o output) isInput(info fs.FileInfo) bool {
	for _, name := range o.inputs {
		if in, err := os.Stat(name); err == nil && os.SameFile(in, info) {
			return true
		}
	}
	return false
}

func writeThrough(path string, content func(io.Writer) error) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return fileFault(path, err)
	}
	return errors.Join(content(f), f.Close())
}

// workshopFiles are the files of a folder that nothing may be written over.
func workshopFiles(dir string) []string {
	return []string{filepath.Join(dir, workshop.LedgerFile), filepath.Join(dir, workshop.ShopFile), filepath.Join(dir, workshop.SocketFile), filepath.Join(dir, workshop.FeedFile)}
}

// holdsWorkshop refuses a folder without a workshop.
func holdsWorkshop(dir string) error {
	for _, name := range []string{workshop.LedgerFile, workshop.ShopFile} {
		_, err := os.Stat(filepath.Join(dir, name))
		if err == nil {
			return nil
		}
		if !errors.Is(err, fs.ErrNotExist) && !errors.Is(err, syscall.ENOTDIR) {
			return fileFault(dir, err)
		}
	}
	return &message.Fault{Kind: message.Unknown, Key: "workshop.none", Where: dir}
}
