package main

import (
	"archive/zip"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"lastroom/jobs/ledger"
	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
)

type backupOptions struct{ dir, file string }

func backupCommand() *cobra.Command {
	var o backupOptions
	c := newCommand("backup FILE [--data DIR]", "backup", "lastroom backup monday.lastroom --data shop\nlastroom verify monday.lastroom", 1, 1, func(c *cobra.Command, args []string) error {
		o.file = args[0]
		return runBackup(c.Context(), o, c.OutOrStdout())
	})
	dataFlag(c, &o.dir)
	return c
}

func runBackup(ctx context.Context, o backupOptions, out io.Writer) error {
	err := output{path: o.file, inputs: workshopFiles(o.dir)}.write(out, func(to io.Writer) error {
		return onLedger(ctx, o.dir, "backup", struct{}{}, to, func(l *ledger.Ledger) error {
			return writeBackup(ctx, l, o.dir, time.Now(), to)
		})
	})
	if err != nil || !isFile(o.file) {
		return err
	}
	packed, err := zip.OpenReader(o.file)
	if err != nil {
		return err
	}
	defer packed.Close()
	return wrote(out, o.file, []byte(packed.Comment))
}

// written is how far a ledger went that was written to a file. A backup has it as the comment of its ZIP
// file, an export in its last line.
type written struct {
	Entries uint64 `json:"entries"`
	Hash    string `json:"hash"` // of the last entry
}

// wrote says in one line what was written. A server of another version may not have told how far it went.
func wrote(out io.Writer, file string, told []byte) error {
	var w written
	if json.Unmarshal(told, &w) != nil || w.Hash == "" {
		return nil
	}
	_, err := fmt.Fprintln(out, message.Say(message.Default, "command.wrote", message.Args{"file": file, "entries": w.Entries, "hash": w.Hash}))
	return err
}

// isFile says that a command's output is a file, not a stream.
func isFile(path string) bool {
	info, err := os.Stat(path)
	return path != "-" && err == nil && info.Mode().IsRegular()
}

// writeBackup writes what a workshop is made of, a proved copy of its ledger, its shop file, the secret of
// its calendar feed and its photos, as one ZIP file (ISO/IEC 21320-1) whose parts are stored as they are. The floor goes on meanwhile.
func writeBackup(ctx context.Context, l *ledger.Ledger, dir string, at time.Time, out io.Writer) (err error) {
	aside, err := os.MkdirTemp(dir, leftBackups)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(aside)) }()
	whole := filepath.Join(aside, workshop.LedgerFile)
	if err := l.Backup(ctx, whole); err != nil {
		return err
	}
	report, err := ledger.Verify(ctx, whole)
	if err != nil {
		return err
	}
	far, err := json.Marshal(written{report.Entries, report.Head.String()})
	if err != nil {
		return err
	}
	packed := zip.NewWriter(out)
	if err := packed.SetComment(string(far)); err != nil {
		return err
	}
	for _, path := range []string{filepath.Join(dir, workshop.ShopFile), whole} {
		if err := pack(packed, filepath.Base(path), path, at); err != nil {
			return err
		}
	}
	photos, err := filepath.Glob(filepath.Join(dir, workshop.PhotoFolder, "*.jpg"))
	if err != nil {
		return err
	}
	beside := []string{workshop.FeedFile}
	for _, path := range photos {
		beside = append(beside, workshop.PhotoFolder+"/"+filepath.Base(path))
	}
	for _, name := range beside {
		err := pack(packed, name, filepath.Join(dir, filepath.FromSlash(name)), at)
		if err != nil && !errors.Is(err, fs.ErrNotExist) { // nobody has asked for a feed yet; a photo was erased meanwhile
			return err
		}
	}
	return packed.Close()
}

// leftBackups are the folders in which a backup is made aside.
const leftBackups = ".backup-*"

// sweep removes what a backup left that was killed: a copy of the ledger must not outlive what is erased
// from it. Only who has the ledger open may call it, before others can ask for a backup.
func sweep(dir string) error {
	left, err := filepath.Glob(filepath.Join(dir, leftBackups))
	for _, one := range left {
		err = errors.Join(err, os.RemoveAll(one))
	}
	return err
}

func pack(to *zip.Writer, name, path string, at time.Time) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	defer f.Close()
	part, err := to.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store, Modified: at})
	if err != nil {
		return err
	}
	_, err = io.Copy(part, f)
	return err
}
