package workshop

import (
	"context"
	"encoding/json"
	"slices"
	"strings"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/spec"
)

const (
	draftPrefix  = "draft-"
	photosPrefix = "photos-"
	largestDraft = 256 << 10 // bytes of JSON
)

// Drafts are all that are kept, the newest first.
func (w *Workshop) Drafts(ctx context.Context) ([]jobs.OrderDraft, error) {
	var all []jobs.OrderDraft
	err := w.ledger.Privates(ctx, draftPrefix, func(key string, raw json.RawMessage) error {
		d := jobs.OrderDraft{Key: key}
		if err := json.Unmarshal(raw, &d); err != nil {
			return err
		}
		all = append(all, d)
		return nil
	})
	slices.SortStableFunc(all, func(a, b jobs.OrderDraft) int { return b.Saved.Compare(a.Saved) })
	return all, err
}

// Draft is one of them.
func (w *Workshop) Draft(key string) (jobs.OrderDraft, error) {
	none := unknown("draft.unknown", nil)
	if !strings.HasPrefix(key, draftPrefix) {
		return jobs.OrderDraft{}, none
	}
	raw, err := w.ledger.Private(key)
	if err != nil {
		return jobs.OrderDraft{}, err
	}
	if raw == nil {
		return jobs.OrderDraft{}, none
	}
	d := jobs.OrderDraft{Key: key}
	return d, json.Unmarshal(raw, &d)
}

// SaveDraft keeps a draft, anew or in place of what was kept of it. A photo that it no longer names is
// erased.
func (w *Workshop) SaveDraft(ctx context.Context, r Request, d jobs.OrderDraft) (jobs.OrderDraft, error) {
	if err := checkPhotos(d.Photos); err != nil {
		return jobs.OrderDraft{}, err
	}
	gone, err := w.photosOfDraft(d.Key)
	if err != nil {
		return jobs.OrderDraft{}, err
	}
	if d.Key == "" {
		if d.Key, err = w.newRecordKey(strings.TrimSuffix(draftPrefix, "-")); err != nil {
			return jobs.OrderDraft{}, err
		}
	}
	before := d.Key
	entries, err := w.write(ctx, r, shop.TakeOrders, func(at time.Time) (ruling, error) {
		d.By, d.Saved = r.By.Key, at
		raw, err := json.Marshal(d)
		if err != nil {
			return ruling{}, err
		}
		if len(raw) > largestDraft {
			return ruling{}, &message.Fault{Kind: message.Invalid, Key: "draft.large", Args: message.Args{"found": len(raw) >> 10, "allowed": largestDraft >> 10}}
		}
		return ruling{bodies: []jobs.Body{jobs.DraftSaved{Record: d.Key}}, private: map[string]json.RawMessage{d.Key: raw}}, nil
	})
	if err != nil {
		return jobs.OrderDraft{}, err
	}
	// A request that was sent before kept its draft under the key of then.
	if body, err := jobs.DecodeBody(RecordOf(entries[0])); err == nil {
		if saved, ok := body.(jobs.DraftSaved); ok && saved.Record != before {
			return w.Draft(saved.Record)
		}
	}
	return d, w.erasePhotos(ctx, gone)
}

// photosOfDraft are those that are kept of a draft so far.
func (w *Workshop) photosOfDraft(key string) ([]jobs.Photo, error) {
	if key == "" {
		return nil, nil
	}
	d, err := w.Draft(key)
	return d.Photos, err
}

// checkPhotos refuses more than an order takes, and points that lie outside.
func checkPhotos(photos []jobs.Photo) error {
	if len(photos) > mostPhotos {
		return &message.Fault{Kind: message.Invalid, Key: "photo.many", Where: "photo", Args: message.Args{"allowed": mostPhotos}}
	}
	for _, p := range photos {
		if !photoName.MatchString(p.Hash) {
			return unknown("photo.unknown", nil)
		}
		if len(p.Points) > mostPoints {
			return &message.Fault{Kind: message.Invalid, Key: "photo.points", Where: "photo", Args: message.Args{"allowed": mostPoints}}
		}
		for _, one := range p.Points {
			if !(one.X >= 0 && one.X <= 100 && one.Y >= 0 && one.Y <= 100) {
				return &message.Fault{Kind: message.Invalid, Key: "photo.point", Where: "photo"}
			}
		}
	}
	return nil
}

// DropDraft gives a draft up: what it said of the customer is erased, its photos with it.
func (w *Workshop) DropDraft(ctx context.Context, r Request, key string) error {
	d, err := w.Draft(key)
	if err != nil {
		return err
	}
	_, err = w.write(ctx, r, shop.TakeOrders, func(time.Time) (ruling, error) {
		return ruling{bodies: []jobs.Body{jobs.DraftDropped{Record: key}}, private: map[string]json.RawMessage{key: nil}}, nil
	})
	if err != nil {
		return err
	}
	return w.erasePhotos(ctx, d.Photos)
}

// OpenDraft opens a job for the order of a draft, as AddOrders does, and the draft is no more: its photos
// are the job's.
func (w *Workshop) OpenDraft(ctx context.Context, r Request, d jobs.OrderDraft, answers map[string]string) (*jobs.Job, error) {
	if err := checkPhotos(d.Photos); err != nil {
		return nil, err
	}
	var gone []jobs.Photo
	if kept, err := w.Draft(d.Key); err == nil { // sent before, it is no draft any more
		gone = kept.Photos
	}
	opened, err := w.addOrders(ctx, r, []spec.Order{d.Order}, Answers{answers}, func(all *ruling, o jobs.Opened) error {
		if len(d.Photos) > 0 {
			raw, err := json.Marshal(d.Photos)
			if err != nil {
				return err
			}
			all.private[photosKey(o.Customer)] = raw
		}
		if d.Key != "" {
			all.private[d.Key] = nil
			all.bodies = append(all.bodies, jobs.DraftDropped{Record: d.Key})
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return opened[0], w.erasePhotos(ctx, gone)
}
