package workshop

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"lastroom/jobs/disk"
	"lastroom/jobs/shop"
)

// FeedFile is the secret from which the addresses of the calendar feed are made. Without it every address
// that was given out opens nothing any more.
const FeedFile = "calendar.key"

const feedBytes = 32

// FeedToken is what a person's own address of the calendar feed carries: an HMAC (RFC 2104) of the person
// and the badge, so that a new badge ends it. The secret is drawn when the first one is asked for.
func (w *Workshop) FeedToken(p shop.Person) (string, error) {
	secret, err := w.feedSecret(true)
	if err != nil {
		return "", err
	}
	return feedToken(secret, p), nil
}

// FeedPerson finds whose token it is; ok is false for a stranger.
func (w *Workshop) FeedPerson(token string) (p shop.Person, ok bool) {
	secret, err := w.feedSecret(false)
	if err != nil {
		if !errors.Is(err, fs.ErrNotExist) {
			w.options.Log.Error("calendar", "error", err)
		}
		return shop.Person{}, false
	}
	for _, one := range w.shop.People {
		if hmac.Equal([]byte(token), []byte(feedToken(secret, one))) {
			p, ok = one, true
		}
	}
	return p, ok
}

// FeedName sets the events of this workshop apart from those of any other, and tells nothing.
func (w *Workshop) FeedName() (string, error) {
	secret, err := w.feedSecret(false)
	if err != nil {
		return "", err
	}
	return feedSum(secret, "name")[:12], nil
}

func feedToken(secret []byte, p shop.Person) string {
	return feedSum(secret, "person", p.Key, string(p.Badge))
}

func feedSum(secret []byte, parts ...string) string {
	sum := hmac.New(sha256.New, secret)
	for _, part := range parts {
		fmt.Fprintf(sum, "%d %s", len(part), part)
	}
	return base64.RawURLEncoding.EncodeToString(sum.Sum(nil))
}

// feedSecret reads the secret; where there is none yet it is drawn, if it may be.
func (w *Workshop) feedSecret(draw bool) ([]byte, error) {
	w.feeding.Lock()
	defer w.feeding.Unlock()
	if w.feed != nil {
		return w.feed, nil
	}
	path := filepath.Join(w.dir, FeedFile)
	secret, err := os.ReadFile(path)
	switch {
	case errors.Is(err, fs.ErrNotExist) && draw:
		secret = make([]byte, feedBytes)
		if _, err := io.ReadFull(w.options.Random, secret); err != nil {
			return nil, err
		}
		if err := disk.WriteBytesAside(path, secret); err != nil {
			return nil, err
		}
	case err != nil:
		return nil, err
	case len(secret) != feedBytes:
		return nil, fmt.Errorf("%s: %d bytes, not %d", path, len(secret), feedBytes)
	}
	w.feed = secret
	return secret, nil
}
