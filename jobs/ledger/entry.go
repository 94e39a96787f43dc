package ledger

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"time"
	"unicode/utf8"

	"lastroom/jobs/message"
)

// FormatVersion is the version of the canonical bytes that this package writes; see FORMAT in the
// package comment.
const FormatVersion = 1

// The largest body of an entry and the longest names in one, in bytes.
const (
	MaxBody = 1 << 20
	MaxName = 128
)

// Hash is a SHA-256 (FIPS 180-4).
type Hash [sha256.Size]byte

// sum is the hash of canonical bytes.
func sum(line []byte) Hash { return sha256.Sum256(line) }

// String is the hash as 64 small hexadecimal digits.
func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// Entry is one thing that happened, written once and never changed.
type Entry struct {
	Number uint64          // from 1, without a gap
	At     time.Time       // the instant of its transaction: UTC, whole milliseconds
	Kind   string          // what happened; its meaning is the caller's
	By     string          // the key of a person, never a name
	Key    string          // the key that the client gave to the request it came with
	Body   json.RawMessage // compact JSON, without personal data
	Before Hash            // of the entry before; zero for entry 1
	Hash   Hash            // of this entry's canonical bytes
}

// Draft is an entry before it is sealed with number, instant and hash.
type Draft struct {
	Kind string
	Body any // whatever encoding/json takes; a json.RawMessage as it is
}

const instant = "2006-01-02T15:04:05.000Z" // RFC 3339, UTC, three digits of a second

// seal gives a draft its place after (number, before) and its hash, and returns the entry with its
// canonical bytes. Both share memory.
func seal(number uint64, before Hash, at time.Time, by, key string, d Draft) (Entry, []byte, error) {
	if !isName(d.Kind) {
		return Entry{}, nil, fmt.Errorf("entry kind %q: want 1 to %d of the characters ! to ~ without \" and \\", d.Kind, MaxName)
	}
	body, err := compact(d.Body)
	if err != nil {
		return Entry{}, nil, fmt.Errorf("body of a %s entry: %w", d.Kind, err)
	}
	e := Entry{Number: number, At: at, Kind: d.Kind, By: by, Key: key, Body: body, Before: before}
	line := e.canonical()
	e.Hash = sum(line)
	return e, line, nil
}

// canonical is the entry as the bytes that are hashed, kept and exported.
func (e Entry) canonical() []byte {
	b := make([]byte, 0, 230+len(e.Kind)+len(e.By)+len(e.Key)+len(e.Body))
	b = append(b, `{"v":1,"n":`...)
	b = strconv.AppendUint(b, e.Number, 10)
	b = append(b, `,"before":"`...)
	b = hex.AppendEncode(b, e.Before[:])
	b = append(b, `","at":"`...)
	b = e.At.UTC().AppendFormat(b, instant)
	b = append(b, `","kind":"`...)
	b = append(b, e.Kind...)
	b = append(b, `","by":"`...)
	b = append(b, e.By...)
	b = append(b, `","key":"`...)
	b = append(b, e.Key...)
	b = append(b, `","body":`...)
	b = append(b, e.Body...)
	return append(b, '}')
}

// parse reads canonical bytes back, exactly as canonical writes them: other bytes for the same entry
// do not exist. It fills everything, Hash by computing it. The entry's body shares memory with line.
func parse(line []byte) (Entry, error) {
	c := cutter{rest: line}
	version := c.between(`{"v":`, `,"n":`)
	if c.ok && version != strconv.Itoa(FormatVersion) {
		if err := ofLater(version); err != nil {
			return Entry{}, err
		}
		return Entry{}, fmt.Errorf("format version %.20q, want %d", version, FormatVersion)
	}
	number := c.until(`,"before":"`)
	before := c.until(`","at":"`)
	at := c.until(`","kind":"`)
	e := Entry{Kind: c.until(`","by":"`), By: c.until(`","key":"`), Key: c.until(`","body":`)}
	if !c.ok || !bytes.HasSuffix(c.rest, []byte("}")) {
		return Entry{}, errors.New("not an entry: members v, n, before, at, kind, by, key, body in this order, without spaces")
	}
	e.Body = json.RawMessage(c.rest[:len(c.rest)-1])
	var err error
	if e.Number, err = strconv.ParseUint(number, 10, 64); err != nil || strconv.FormatUint(e.Number, 10) != number || e.Number == 0 {
		return Entry{}, fmt.Errorf("n is %.30q, want a whole number from 1", number)
	}
	if n, err := hex.Decode(e.Before[:], []byte(before[:min(len(before), 2*len(e.Before))])); err != nil || n != len(e.Before) || e.Before.String() != before {
		return Entry{}, fmt.Errorf("before is %.80q, want 64 small hexadecimal digits", before)
	}
	if e.At, err = time.Parse(instant, at); err != nil || e.At.Format(instant) != at {
		return Entry{}, fmt.Errorf("at is %.40q, want an instant such as 2026-03-01T09:30:00.000Z", at)
	}
	for _, name := range [...]string{e.Kind, e.By, e.Key} {
		if !isName(name) {
			return Entry{}, fmt.Errorf("kind, by or key is %.40q, want 1 to %d of the characters ! to ~ without \" and \\", name, MaxName)
		}
	}
	if err := checkBody(e.Body); err != nil {
		return Entry{}, err
	}
	e.Hash = sum(line)
	return e, nil
}

// ofLater is the fault ledger.newer.format where a format's version is one that only a later program can have
// written, nil otherwise.
func ofLater(version string) error {
	if n, err := strconv.ParseUint(version, 10, 32); err != nil || n <= FormatVersion {
		return nil
	}
	return refuse("ledger.newer.format", message.Args{"found": version, "known": FormatVersion})
}

// cutter takes known bytes off the front.
type cutter struct {
	rest []byte
	ok   bool
}

func (c *cutter) between(start, end string) string {
	var found bool
	c.rest, found = bytes.CutPrefix(c.rest, []byte(start))
	c.ok = found
	return c.until(end)
}

func (c *cutter) until(end string) string {
	head, tail, found := bytes.Cut(c.rest, []byte(end))
	if !found || !c.ok {
		c.ok = false
		return ""
	}
	c.rest = tail
	return string(head)
}

// isName tells whether s can stand in an entry as it is, in quotes, with nothing to escape.
func isName(s string) bool {
	if s == "" || len(s) > MaxName {
		return false
	}
	for i := range len(s) {
		if s[i] <= ' ' || s[i] > '~' || s[i] == '"' || s[i] == '\\' {
			return false
		}
	}
	return true
}

// compact is v as JSON without needless space, members in the order in which v gives them.
func compact(v any) (json.RawMessage, error) {
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(v); err != nil {
		return nil, err
	}
	body := bytes.TrimSuffix(b.Bytes(), []byte("\n"))
	return body, checkBody(body)
}

func checkBody(body []byte) error {
	switch {
	case len(body) > MaxBody:
		return fmt.Errorf("%d bytes of JSON, at most %d are taken", len(body), MaxBody)
	case !utf8.Valid(body):
		return errors.New("the JSON is not valid UTF-8")
	case !json.Valid(body):
		return errors.New("not valid JSON")
	}
	b := bytes.NewBuffer(make([]byte, 0, len(body)))
	if err := json.Compact(b, body); err != nil || !bytes.Equal(b.Bytes(), body) {
		return errors.New("the JSON has needless space")
	}
	return nil
}
