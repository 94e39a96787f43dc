package ledger

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	bolt "go.etcd.io/bbolt"

	"lastroom/jobs/message"
)

// end is the last line of an export: what must have come before it.
type end struct {
	Entries uint64 `json:"entries"`
	Hash    string `json:"hash"` // of the last entry
	Private uint64 `json:"private"`
}

// private is the line of a personal record.
type private struct {
	Key   string          `json:"key"`
	Value json.RawMessage `json:"value"`
}

// tail is a line that is not an entry.
type tail struct {
	Private *private `json:"private,omitempty"`
	End     *end     `json:"end,omitempty"`
}

// Export writes the ledger as lines of JSON: the canonical bytes of each entry, so that the SHA-256 of
// a line is the "before" of the next; then the personal records, where they are asked for; then a line
// that says how many of each there were and the hash of the last entry.
func (l *Ledger) Export(ctx context.Context, w io.Writer, withPrivate bool) error {
	b := bufio.NewWriter(w)
	var total end
	var last Hash
	err := l.Entries(ctx, 1, func(e Entry) error {
		total.Entries, last = e.Number, e.Hash
		_, err := b.Write(append(e.canonical(), '\n'))
		return err
	})
	if err != nil {
		return err
	}
	lines := json.NewEncoder(b)
	lines.SetEscapeHTML(false)
	if withPrivate {
		err := l.Privates(ctx, "", func(key string, value json.RawMessage) error {
			total.Private++
			return lines.Encode(tail{Private: &private{key, value}})
		})
		if err != nil {
			return err
		}
	}
	total.Hash = last.String()
	if err := lines.Encode(tail{End: &total}); err != nil {
		return err
	}
	return b.Flush()
}

// Import makes a ledger at path, which must not exist, from an export. Every hash, number and count is
// proved; an export that breaks off, or of which a byte was changed, leaves nothing.
func Import(ctx context.Context, r io.Reader, path string, o Options) error {
	if err := absent(path); err != nil {
		return err
	}
	return makeFile(ctx, path, "import", o, func(db *bolt.DB) error {
		in := importer{ctx: ctx, db: db, lines: bufio.NewScanner(r)}
		in.lines.Buffer(nil, MaxBody+64<<10)
		return in.run()
	})
}

// importer takes an export apart, some thousand entries a transaction.
type importer struct {
	ctx   context.Context
	db    *bolt.DB
	lines *bufio.Scanner
	line  int
	last  head
	found end
	ended bool
	group struct {
		entries []Entry
		lines   [][]byte
	}
}

func (in *importer) run() error {
	if err := in.db.Update(outline); err != nil {
		return err
	}
	for more := true; more; {
		if err := in.ctx.Err(); err != nil {
			return err
		}
		err := in.db.Update(func(tx *bolt.Tx) error {
			for range 4096 {
				if more = in.lines.Scan(); !more {
					break
				}
				in.line++
				if err := in.take(tx, bytes.Clone(in.lines.Bytes())); err != nil {
					return err
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	if err := in.lines.Err(); err != nil {
		in.line++
		return in.fault("ledger.import", message.Args{"detail": err.Error()})
	}
	if !in.ended {
		return in.fault("ledger.import-end", nil)
	}
	return nil
}

func (in *importer) take(tx *bolt.Tx, line []byte) error {
	if in.ended {
		return in.fault("ledger.import-after", nil)
	}
	if bytes.HasPrefix(line, []byte(`{"v":`)) {
		return in.takeEntry(tx, line)
	}
	if err := in.putGroup(tx); err != nil {
		return err
	}
	var t tail
	d := json.NewDecoder(bytes.NewReader(line))
	d.DisallowUnknownFields()
	if err := d.Decode(&t); err != nil || (t.Private == nil) == (t.End == nil) {
		return in.fault("ledger.import", message.Args{"detail": fmt.Sprintf("%.40q", line)})
	}
	if t.End != nil {
		in.found.Entries, in.found.Hash = in.last.number, in.last.hash.String()
		if *t.End != in.found {
			return in.fault("ledger.import-count", message.Args{"entries": t.End.Entries, "private": t.End.Private, "foundentries": in.found.Entries, "foundprivate": in.found.Private})
		}
		in.ended = true
		return tx.Bucket(bucketAbout).Put(aboutHead, in.last.record())
	}
	value, err := compact(t.Private.Value)
	if err != nil || !isName(t.Private.Key) || tx.Bucket(bucketPrivate).Get([]byte(t.Private.Key)) != nil {
		return in.fault("ledger.import", message.Args{"detail": fmt.Sprintf("%.40q", line)})
	}
	in.found.Private++
	return putPrivate(tx, map[string]json.RawMessage{t.Private.Key: value})
}

func (in *importer) takeEntry(tx *bolt.Tx, line []byte) error {
	e, err := parse(line)
	if faults := message.Faults(err); len(faults) > 0 {
		return in.fault(faults[0].Key, faults[0].Args)
	}
	if err != nil {
		return in.fault("ledger.import", message.Args{"detail": err.Error()})
	}
	if err := follows(in.last, e); err != nil {
		var f *message.Fault
		errors.As(err, &f)
		return in.fault(f.Key, f.Args)
	}
	in.last = head{e.Number, e.Hash, e.At}
	if n := len(in.group.entries); n > 0 && in.group.entries[n-1].Key != e.Key {
		if err := in.putGroup(tx); err != nil {
			return err
		}
	}
	in.group.entries, in.group.lines = append(in.group.entries, e), append(in.group.lines, line)
	return nil
}

// putGroup writes the entries of one request, now that its last one is known.
func (in *importer) putGroup(tx *bolt.Tx) error {
	g := &in.group
	if len(g.entries) == 0 {
		return nil
	}
	if key := g.entries[0].Key; tx.Bucket(bucketKeys).Get([]byte(key)) != nil {
		return in.fault("ledger.index", message.Args{"key": key})
	}
	err := putGroup(tx, g.entries, g.lines)
	g.entries, g.lines = nil, nil
	return err
}

func (in *importer) fault(key string, args message.Args) error {
	return &message.Fault{Kind: message.Invalid, Key: key, Args: args, Where: fmt.Sprintf("line %d", in.line)}
}
