package ledger

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"

	bolt "go.etcd.io/bbolt"

	"lastroom/jobs/message"
)

// The parts of the file; what each holds is in FORMAT of the package comment. bbolt is named in this
// package only.
var (
	bucketAbout   = []byte("about")
	bucketEntries = []byte("entries")
	bucketKeys    = []byte("keys")
	bucketPrivate = []byte("private")
	aboutFormat   = []byte("format")
	aboutHead     = []byte("head")
	aboutErased   = []byte("erased")
	aboutPrivate  = []byte("private")
)

// record is the head as the store keeps it: number, then hash.
func (h head) record() []byte {
	if h.number == 0 {
		return nil
	}
	return append(numberKey(h.number), h.hash[:]...)
}

// endsAt tells whether last is the entry that was written last.
func endsAt(tx *bolt.Tx, last head) error {
	kept := tx.Bucket(bucketAbout).Get(aboutHead)
	if bytes.Equal(kept, last.record()) {
		return nil
	}
	written := "?"
	if len(kept) == 8+len(Hash{}) {
		written = fmt.Sprint(binary.BigEndian.Uint64(kept))
	}
	return refuse("ledger.tail", message.Args{"number": last.number, "written": written})
}

// follows tells whether e may come after last.
func follows(last head, e Entry) error {
	args := message.Args{"number": e.Number, "last": last.number}
	switch {
	case e.Number != last.number+1:
		return refuse("ledger.gap", args)
	case e.Before != last.hash:
		return refuse("ledger.chain", args)
	case e.At.Before(last.at):
		return refuse("ledger.order", args)
	}
	return nil
}

// decode reads an entry as the store keeps it. The entry shares memory with value.
func decode(key, value []byte) (Entry, error) {
	if len(key) != 8 {
		return Entry{}, refuse("ledger.entry", message.Args{"number": fmt.Sprintf("%x", key), "detail": "its number is not 8 bytes"})
	}
	number := binary.BigEndian.Uint64(key)
	if len(value) < len(Hash{}) {
		return Entry{}, refuse("ledger.entry", message.Args{"number": number, "detail": "it is not there"})
	}
	// The hash first: it tells most, and proves what is parsed.
	if sum(value[len(Hash{}):]) != Hash(value[:len(Hash{})]) {
		return Entry{}, refuse("ledger.changed", message.Args{"number": number})
	}
	e, err := parse(value[len(Hash{}):])
	if about(err, "ledger.newer.format") {
		return Entry{}, err
	}
	if err != nil {
		return Entry{}, refuse("ledger.entry", message.Args{"number": number, "detail": err.Error()})
	}
	if e.Number != number {
		return Entry{}, refuse("ledger.place", message.Args{"number": number, "found": e.Number})
	}
	return e, nil
}

func numberKey(n uint64) []byte { return binary.BigEndian.AppendUint64(nil, n) }

// putGroup writes a sealed group, which has at least one entry, into the transaction.
func putGroup(tx *bolt.Tx, entries []Entry, lines [][]byte) error {
	bucket := tx.Bucket(bucketEntries)
	bucket.FillPercent = 1 // numbers only grow
	for i, e := range entries {
		if err := bucket.Put(numberKey(e.Number), append(e.Hash[:], lines[i]...)); err != nil {
			return err
		}
	}
	return tx.Bucket(bucketKeys).Put([]byte(entries[0].Key), span(entries[0].Number, len(entries)))
}

// span is what the index keeps of a group: the number of its first entry, then how many there are.
func span(first uint64, count int) []byte {
	return binary.BigEndian.AppendUint32(numberKey(first), uint32(count))
}

func unspan(b []byte) (first, count uint64, ok bool) {
	if len(b) != 12 {
		return 0, 0, false
	}
	first, count = binary.BigEndian.Uint64(b), uint64(binary.BigEndian.Uint32(b[8:]))
	return first, count, first > 0 && count > 0
}

// group is what was written under a client's key, nil where nothing was.
func group(tx *bolt.Tx, key string) (entries []Entry, err error) {
	kept := tx.Bucket(bucketKeys).Get([]byte(key))
	if kept == nil {
		return nil, nil
	}
	first, count, ok := unspan(kept)
	if !ok {
		return nil, refuse("ledger.index", message.Args{"key": key})
	}
	bucket := tx.Bucket(bucketEntries)
	for n := first; n < first+count; n++ {
		e, err := decode(numberKey(n), append([]byte(nil), bucket.Get(numberKey(n))...))
		if err != nil {
			return nil, err
		}
		if e.Key != key {
			return nil, refuse("ledger.index", message.Args{"key": key})
		}
		entries = append(entries, e)
	}
	return entries, nil
}

// putPrivate writes personal records, which are compact JSON, into the transaction, and notes when an
// earlier value stays behind in the file's free pages.
func putPrivate(tx *bolt.Tx, records map[string]json.RawMessage) error {
	if len(records) == 0 {
		return nil
	}
	bucket, about := tx.Bucket(bucketPrivate), tx.Bucket(bucketAbout)
	total := readTally(about.Get(aboutPrivate))
	for key, value := range records {
		if old := bucket.Get([]byte(key)); old != nil {
			total.count--
			total.toggle(old)
			if err := about.Put(aboutErased, []byte("1")); err != nil {
				return err
			}
		}
		var err error
		if value == nil {
			err = bucket.Delete([]byte(key))
		} else {
			sum := privateSum(key, value)
			record := append(sum[:], value...)
			total.count++
			total.toggle(record)
			err = bucket.Put([]byte(key), record)
		}
		if err != nil {
			return err
		}
	}
	return about.Put(aboutPrivate, total.record())
}

// tally is how many personal records there are, and their hashes one over the other (exclusive or), so
// that a missing one is noticed and an erased one leaves no trace.
type tally struct {
	count uint64
	sums  Hash
}

func (t *tally) toggle(record []byte) {
	for i := range min(len(t.sums), len(record)) {
		t.sums[i] ^= record[i]
	}
}

func (t tally) record() []byte { return append(numberKey(t.count), t.sums[:]...) }

func readTally(record []byte) (t tally) {
	if len(record) == 8+len(t.sums) {
		t.count = binary.BigEndian.Uint64(record)
		copy(t.sums[:], record[8:])
	}
	return t
}

// decodePrivate reads a personal record as the store keeps it. It shares memory with value.
func decodePrivate(key string, value []byte) (json.RawMessage, error) {
	if len(value) < len(Hash{}) || privateSum(key, value[len(Hash{}):]) != Hash(value[:len(Hash{})]) {
		return nil, refuse("ledger.private", message.Args{"key": key})
	}
	return json.RawMessage(value[len(Hash{}):]), nil
}

func privateSum(key string, value []byte) Hash {
	return sum(append([]byte(key+" "), value...)) // a key has no space
}
