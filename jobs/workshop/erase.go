package workshop

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/disk"
	"lastroom/jobs/shop"
)

// Erase takes out what is known of the customers of jobs: name, addresses, photos. What was made of the
// pairs stays in the chain, which never held any of it. All of them are erased, or none.
func (w *Workshop) Erase(ctx context.Context, r Request, numbers []int, reason string) error {
	if err := jobs.NeedText("reason", reason); err != nil {
		return err
	}
	all, err := w.jobsOf(numbers)
	if err != nil {
		return err
	}
	d := ruling{private: map[string]json.RawMessage{}}
	var photos []jobs.Photo
	for _, j := range all {
		if _, twice := d.private[j.Customer]; twice {
			continue
		}
		d.private[j.Customer] = nil
		d.bodies = append(d.bodies, jobs.Erased{Record: j.Customer, Reason: strings.TrimSpace(reason)})
		if own := w.Photos(j); len(own) > 0 {
			d.private[photosKey(j.Customer)] = nil
			photos = append(photos, own...)
		}
	}
	if _, err := w.write(ctx, r, shop.KeepShop, func(time.Time) (ruling, error) { return d, nil }); err != nil {
		return err
	}
	w.mu.Lock()
	for _, j := range all {
		delete(w.customers, j.Customer)
	}
	w.mu.Unlock()
	return w.erasePhotos(ctx, photos)
}

// SameName are the other jobs whose customer has the name of this one's, however it is typed.
func (w *Workshop) SameName(j *jobs.Job) []*jobs.Job {
	name := jobs.NameKey(w.Customer(j).Name)
	return slices.DeleteFunc(w.Jobs(), func(other *jobs.Job) bool {
		return name == "" || other.Number == j.Number || jobs.NameKey(w.Customer(other).Name) != name
	})
}

// photosInUse are the hashes that drafts and jobs name.
func (w *Workshop) photosInUse(ctx context.Context) (map[string]bool, error) {
	used := map[string]bool{}
	drafts, err := w.Drafts(ctx)
	if err != nil {
		return nil, err
	}
	for _, d := range drafts {
		for _, p := range d.Photos {
			used[p.Hash] = true
		}
	}
	err = w.ledger.Privates(ctx, photosPrefix, func(_ string, raw json.RawMessage) error {
		var all []jobs.Photo
		if err := json.Unmarshal(raw, &all); err != nil {
			return err
		}
		for _, p := range all {
			used[p.Hash] = true
		}
		return nil
	})
	return used, err
}

// erasePhotos takes the files of photos away that nothing names any more.
func (w *Workshop) erasePhotos(ctx context.Context, photos []jobs.Photo) error {
	if len(photos) == 0 {
		return nil
	}
	used, err := w.photosInUse(context.WithoutCancel(ctx))
	if err != nil {
		return err
	}
	var errs []error
	for _, p := range photos {
		if !used[p.Hash] && photoName.MatchString(p.Hash) {
			if err := os.Remove(w.photoPath(p.Hash)); !errors.Is(err, fs.ErrNotExist) {
				errs = append(errs, err)
			}
		}
	}
	return errors.Join(append(errs, disk.SyncFolder(filepath.Join(w.dir, PhotoFolder)))...)
}

// sweepPhotos takes the files away that nothing names: what was kept just before the power failed, and
// what an erasing could not take out.
func (w *Workshop) sweepPhotos(ctx context.Context) error {
	names, err := os.ReadDir(filepath.Join(w.dir, PhotoFolder))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	used, err := w.photosInUse(ctx)
	if err != nil {
		return err
	}
	for _, one := range names {
		name, jpg := strings.CutSuffix(one.Name(), ".jpg")
		if one.Type().IsRegular() && (disk.IsAside(one.Name()) || jpg && photoName.MatchString(name) && !used[name]) {
			if err := os.Remove(filepath.Join(w.dir, PhotoFolder, one.Name())); err != nil {
				return err
			}
		}
	}
	return nil
}
