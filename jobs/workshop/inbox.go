package workshop

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/disk"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
)

// Where the files of an inbox go, in its folder.
const (
	TakenFolder   = "taken"
	RefusedFolder = "refused"
	ReasonsEnding = ".reasons.txt"
	takingFolder  = "taking" // where a file is while it is read
)

const (
	inboxLook   = 500 * time.Millisecond // between two looks into the folder
	inboxQuiet  = 4                      // looks for which a file must stay as it is: 2 s
	inboxPause  = 20                     // looks after something failed
	largestDrop = 8 << 20                // bytes of a file, as order files have
)

// Inbox is a folder into which others drop order files: JSON and CSV by their endings, everything else is
// left alone. A file whose size and time have been the same for two seconds is taken out of the folder and
// opened, all its orders or none. What was taken goes to taken/, what was refused to refused/ with FILE.reasons.txt beside it. The
// same bytes are never taken twice: their SHA-256 is the key of the request, so a file that was taken just
// before the power failed is put away when it is seen again.
type Inbox struct {
	shop *Workshop
	dir  string
	by   shop.Person
	seen map[string]inboxFile

	pause int // looks to wait before what failed is tried again
}

// inboxFile is a file as it was at the last look.
type inboxFile struct {
	size    int64
	changed time.Time
	quiet   int // looks since it changed
}

// NewInbox makes the folders of an inbox. by is who takes the orders: the key of a person whose role
// allows it.
func NewInbox(w *Workshop, dir, by string) (*Inbox, error) {
	p, ok := w.shop.Person(by)
	if !ok {
		return nil, unknown("inbox.person", message.Args{"found": by})
	}
	if err := p.May(shop.TakeOrders); err != nil {
		return nil, err
	}
	for _, one := range []string{TakenFolder, RefusedFolder, takingFolder} {
		if err := os.MkdirAll(filepath.Join(dir, one), 0o700); err != nil {
			return nil, err
		}
	}
	return &Inbox{shop: w, dir: dir, by: p, seen: map[string]inboxFile{}}, nil
}

// Run looks into the folder until ctx ends. What fails is in the log.
func (b *Inbox) Run(ctx context.Context) {
	ticker := time.NewTicker(inboxLook)
	defer ticker.Stop()
	for {
		if err := b.Look(ctx); err != nil && ctx.Err() == nil {
			b.shop.options.Log.Error("inbox", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		}
	}
}

// Look looks into the folder once, and takes what has been quiet for long enough. An error is of the
// computer, not of a file: what it concerns is tried again ten seconds later.
func (b *Inbox) Look(ctx context.Context) error {
	all, err := os.ReadDir(b.dir)
	if err != nil {
		return err
	}
	now := map[string]inboxFile{}
	for _, one := range all {
		name := one.Name()
		ending := strings.ToLower(filepath.Ext(name))
		info, err := one.Info()
		if err != nil || !info.Mode().IsRegular() || strings.HasPrefix(name, ".") || ending != ".json" && ending != ".csv" {
			continue
		}
		f := inboxFile{size: info.Size(), changed: info.ModTime()}
		if old, ok := b.seen[name]; ok && old.size == f.size && old.changed.Equal(f.changed) {
			f.quiet = old.quiet + 1
		}
		now[name] = f
		if _, err := os.Lstat(filepath.Join(b.dir, takingFolder, name)); f.quiet < inboxQuiet || !errors.Is(err, fs.ErrNotExist) {
			continue
		}
		// From here on nobody can put another file in its place.
		if err := os.Rename(filepath.Join(b.dir, name), filepath.Join(b.dir, takingFolder, name)); err != nil {
			return err
		}
		delete(now, name)
	}
	b.seen = now
	if b.pause > 0 {
		b.pause--
		return nil
	}
	claimed, err := os.ReadDir(filepath.Join(b.dir, takingFolder))
	if err != nil {
		return err
	}
	var errs []error
	for _, one := range claimed {
		if err := b.take(ctx, one.Name()); err != nil {
			errs = append(errs, fmt.Errorf("%s: %w", one.Name(), err))
			b.pause = inboxPause
		}
	}
	return errors.Join(errs...)
}

// take opens the orders of one file and puts it away.
func (b *Inbox) take(ctx context.Context, name string) error {
	raw, err := b.read(name)
	if err != nil {
		return err
	}
	sum := sha256.Sum256(raw)
	hash := hex.EncodeToString(sum[:])
	orders, err := b.shop.ParseOrders(name, strings.NewReader(string(raw)))
	if err == nil {
		var opened []*jobs.Job
		opened, err = b.shop.AddOrders(ctx, Request{By: b.by, Key: "inbox-" + hash}, orders, nil)
		if err == nil {
			numbers := make([]int, len(opened))
			for i, j := range opened {
				numbers[i] = j.Number
			}
			b.shop.options.Log.Info("inbox", "taken", name, "jobs", numbers)
			return b.putAway(name, TakenFolder, hash, nil)
		}
	}
	faults := message.Faults(err)
	if len(faults) == 0 || slices.ContainsFunc(faults, ofLedger) {
		return err
	}
	b.shop.options.Log.Info("inbox", "refused", name, "faults", len(faults))
	return b.putAway(name, RefusedFolder, hash, faults)
}

// ofLedger tells whether a fault is of the ledger, not of the file: it is full or closed, say.
func ofLedger(f *message.Fault) bool { return strings.HasPrefix(f.Key, "ledger.") }

func (b *Inbox) read(name string) ([]byte, error) {
	root, err := os.OpenRoot(filepath.Join(b.dir, takingFolder)) // a name that leads out of the folder is refused
	if err != nil {
		return nil, err
	}
	defer root.Close()
	f, err := root.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, largestDrop+1)) // one byte more is what the parser refuses
}

// putAway moves a file into one of the folders, its reasons first: a file is never there without them. A
// name that is taken gets the first digits of its hash.
func (b *Inbox) putAway(name, folder, hash string, reasons []*message.Fault) error {
	to := name
	if _, err := os.Lstat(filepath.Join(b.dir, folder, to)); err == nil {
		ending := filepath.Ext(name)
		to = strings.TrimSuffix(name, ending) + "-" + hash[:12] + ending
	}
	path := filepath.Join(b.dir, folder, to)
	if len(reasons) > 0 {
		var text strings.Builder
		fmt.Fprintln(&text, message.Say(message.Default, "inbox.refused", message.Args{"file": name}))
		for _, one := range reasons {
			fmt.Fprintln(&text, one.Error())
		}
		if err := disk.WriteBytesAside(path+ReasonsEnding, []byte(text.String())); err != nil {
			return err
		}
	}
	if err := os.Rename(filepath.Join(b.dir, takingFolder, name), path); err != nil {
		return err
	}
	return errors.Join(disk.SyncFolder(filepath.Join(b.dir, folder)), disk.SyncFolder(filepath.Join(b.dir, takingFolder)))
}
