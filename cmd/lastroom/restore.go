package main

import (
	"archive/zip"
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"time"

	"github.com/spf13/cobra"

	"lastroom/jobs/disk"
	"lastroom/jobs/ledger"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
)

type restoreOptions struct{ dir, file, shop string }

func restoreCommand() *cobra.Command {
	var o restoreOptions
	c := newCommand("restore FILE --data DIR [--shop FILE]", "restore",
		"lastroom restore monday.lastroom --data shop2\nlastroom restore export.jsonl --shop shop.toml --data shop2", 1, 1, func(c *cobra.Command, args []string) error {
			o.file = args[0]
			if o.dir == "" {
				return misuse{hinted(invalid("command.flag.needed", message.Args{"flag": "--data"}), seeHelp(c))}
			}
			return runRestore(c.Context(), o, c.OutOrStdout())
		})
	c.Flags().StringVar(&o.dir, "data", "", say("command.flag.restore-data"))
	c.Flags().StringVar(&o.shop, "shop", "", say("command.flag.restore-shop"))
	return c
}

// runRestore makes a workshop's folder from a backup or an export: aside, proved, and then in its place
// as a whole.
func runRestore(ctx context.Context, o restoreOptions, out io.Writer) (err error) {
	dir, err := filepath.Abs(o.dir)
	if err != nil {
		return err
	}
	if err := vacant(dir, o.dir); err != nil {
		return err
	}
	aside, err := os.MkdirTemp(filepath.Dir(dir), "."+filepath.Base(dir)+".aside-*")
	if err != nil {
		return fileFault(o.dir, err)
	}
	defer func() { err = errors.Join(err, os.RemoveAll(aside)) }()
	whole := filepath.Join(aside, "whole")
	if err := os.Mkdir(whole, 0o700); err != nil {
		return err
	}
	report, err := unpack(ctx, o.file, aside, whole)
	if err != nil {
		return err
	}
	shopFile := filepath.Join(whole, workshop.ShopFile)
	if o.shop != "" {
		text, err := readFile(ctx, o.shop, nil)
		if err != nil {
			return err
		}
		if _, err := shop.Parse(text, o.shop); err != nil {
			return err
		}
		if err := os.WriteFile(shopFile, text, 0o600); err != nil {
			return err
		}
	}
	if _, err := os.Stat(shopFile); errors.Is(err, fs.ErrNotExist) {
		return &message.Fault{Kind: message.Invalid, Key: "command.restore.shop", Where: o.file}
	}
	count, err := folds(ctx, filepath.Join(whole, workshop.LedgerFile))
	if err != nil {
		return placed(o.file, err)
	}
	if err := place(whole, dir); err != nil {
		return err
	}
	fmt.Fprintln(out, message.Say(message.Default, "command.restore.done", message.Args{"dir": o.dir, "jobs": count, "entries": report.Entries, "hash": report.Head}))
	if _, err := shop.Load(filepath.Join(dir, workshop.ShopFile)); err != nil {
		fmt.Fprintln(out, message.Say(message.Default, "command.restore.slip", message.Args{"file": filepath.Join(o.dir, workshop.ShopFile)}))
	}
	return nil
}

// vacant refuses a folder that holds anything: nothing is restored over something.
func vacant(dir, told string) error {
	held, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		if info, err := os.Stat(filepath.Dir(dir)); err != nil || !info.IsDir() {
			return &message.Fault{Kind: message.Invalid, Key: "command.output.folder", Where: told, Args: message.Args{"folder": filepath.Dir(told)}}
		}
		return nil
	case err != nil:
		return &message.Fault{Kind: message.Invalid, Key: "command.restore.file", Where: told}
	case len(held) > 0:
		return &message.Fault{Kind: message.Refused, Key: "command.restore.full", Where: told}
	}
	return nil
}

// place gives a finished folder its name.
func place(from, to string) error {
	for _, name := range []string{workshop.LedgerFile, workshop.ShopFile} {
		if err := syncFile(filepath.Join(from, name)); err != nil {
			return err
		}
	}
	if err := disk.SyncFolder(from); err != nil {
		return err
	}
	if err := os.Remove(to); err != nil && !errors.Is(err, fs.ErrNotExist) { // it is empty
		return err
	}
	if err := os.Rename(from, to); err != nil {
		return err
	}
	return disk.SyncFolder(filepath.Dir(to))
}

func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// verifyFile proves a backup or an export without a trace.
func verifyFile(ctx context.Context, file string, out io.Writer) (err error) {
	aside, err := os.MkdirTemp("", "lastroom-verify-*")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(aside)) }()
	whole := filepath.Join(aside, "whole")
	if err := os.Mkdir(whole, 0o700); err != nil {
		return err
	}
	report, err := unpack(ctx, file, aside, whole)
	if err != nil {
		return err
	}
	count, err := folds(ctx, filepath.Join(whole, workshop.LedgerFile))
	if err != nil {
		return placed(file, err)
	}
	return showReport(out, report, count)
}

// unpack makes a ledger in the folder whole from a backup or an export, proved, and the shop file where
// there is one. aside is for what is needed meanwhile.
func unpack(ctx context.Context, file, aside, whole string) (ledger.Report, error) {
	f, err := os.Open(file)
	if err != nil {
		return ledger.Report{}, fileFault(file, err)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return ledger.Report{}, err
	}
	if info.IsDir() {
		return ledger.Report{}, &message.Fault{Kind: message.Invalid, Key: "command.file.folder", Where: file}
	}
	into := filepath.Join(whole, workshop.LedgerFile)
	begins := bufio.NewReader(f)
	first, _ := begins.Peek(2) // fewer bytes are no known beginning
	switch {
	case len(first) > 0 && first[0] == '{':
		err = ledger.Import(ctx, begins, into, ledger.Options{Clock: time.Now})
	case string(first) == "PK":
		err = unzip(ctx, f, info.Size(), aside, whole)
	default:
		err = &message.Fault{Kind: message.Invalid, Key: "command.restore.foreign"}
	}
	if err != nil {
		return ledger.Report{}, placed(file, err)
	}
	report, err := ledger.Verify(ctx, into)
	return report, placed(file, errors.Join(err, report.Err()))
}

// unzip takes the parts of a backup out. The ledger is proved, then copied into a fresh store.
func unzip(ctx context.Context, f io.ReaderAt, size int64, aside, whole string) error {
	packed, err := zip.NewReader(f, size)
	if err != nil {
		return invalid("command.restore.damaged", message.Args{"found": err})
	}
	found := map[string]bool{}
	for _, part := range packed.File {
		to := map[string]string{workshop.ShopFile: whole, workshop.FeedFile: whole, workshop.LedgerFile: aside}[part.Name]
		if photoPart.MatchString(part.Name) {
			to = whole
			if err := os.MkdirAll(filepath.Join(whole, workshop.PhotoFolder), 0o700); err != nil {
				return err
			}
		}
		if to == "" || found[part.Name] {
			return invalid("command.restore.part", message.Args{"found": part.Name})
		}
		found[part.Name] = true
		if err := unzipPart(part, filepath.Join(to, part.Name)); err != nil {
			return invalid("command.restore.damaged", message.Args{"found": fmt.Sprintf("%s: %v", part.Name, err)})
		}
	}
	if !found[workshop.ShopFile] || !found[workshop.LedgerFile] {
		return invalid("command.restore.foreign", nil)
	}
	return ledger.Restore(ctx, filepath.Join(aside, workshop.LedgerFile), filepath.Join(whole, workshop.LedgerFile), ledger.Options{Clock: time.Now})
}

// photoPart is a photo's name in a backup.
var photoPart = regexp.MustCompile("^" + workshop.PhotoFolder + `/[0-9a-f]{64}\.jpg$`)

func unzipPart(part *zip.File, path string) error {
	from, err := part.Open()
	if err != nil {
		return err
	}
	defer from.Close()
	to, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(to, from) // which proves the part's CRC
	return errors.Join(err, to.Close())
}
