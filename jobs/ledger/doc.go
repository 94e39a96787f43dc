// Package ledger keeps what happened in the workshop: entries, in order, each written once, on disk
// before anybody is told, and each carrying the hash of the one before it. What an entry means is the
// caller's. People's names and addresses lie beside the entries, so that they can be erased while the
// chain still proves itself.
//
// # What it promises
//
//   - An acknowledged entry is on disk, once, in order, whole, and all of its group with it.
//   - A request that is sent twice with one key is written once, whenever it is sent again.
//   - What the caller's state shows is on disk: the lock is held until the commit has returned.
//   - A failed commit leaves the state as it is on disk. The caller does not know then whether the
//     entries are there: sending again with the same key settles it.
//   - A changed byte, a missing entry, a file that was cut off are found by Open and by Verify.
//
// It does not promise that nobody forged it: who can write the file can write another chain. Keep the
// number and hash that Head gives elsewhere (print them, say, on the day's last certificate) to prove
// that a copy goes back to them.
//
// # FORMAT
//
// This is format version 1. The version stands in every entry ("v") and in the file ("about", "format").
//
// An entry's canonical bytes are one line of JSON (RFC 8259) in UTF-8, without its line end, with exactly
// these members in this order and no space outside strings:
//
//	{"v":1,"n":N,"before":"H","at":"T","kind":"K","by":"P","key":"R","body":B}
//
//	N  number, decimal, from 1, each one more than the last
//	H  SHA-256 (FIPS 180-4) of the canonical bytes of entry N−1, 64 small hexadecimal digits; zeros for N = 1
//	T  instant of the transaction: RFC 3339, UTC, "Z", three digits of a second, years 0001 to 9999; never before
//	   that of entry N−1
//	K  what happened; P  key of a person; R  key that the client gave to the request. Each is 1 to 128
//	   characters of U+0021 to U+007E without " and \, so that nothing in it has to be escaped
//	B  any JSON value of at most 1 MiB, without space between its tokens, members and numbers as the program
//	   wrote them
//
// Entries of one request stand together and share R and T. No other request has the same R.
//
// RFC 8785 (JSON Canonicalization Scheme) goes further: it sorts members by UTF-16 code units, writes
// numbers as ECMAScript does and strings with the fewest escapes, so that two programs which hold the same
// value arrive at the same bytes. Nobody has to arrive at ours again: the bytes are made once, hashed,
// kept and handed on as they are, and no reader may write them anew in order to hash them. So B keeps its order
// and its numbers. The frame around it can be written in one way only.
//
// An export is a file of such lines, each ended by one line feed: the SHA-256 of a line without its
// line feed is the "before" of the next, and any SHA-256 tool can follow the chain. Then come the personal
// records, where they were asked for, and one last line, which proves that nothing was cut off:
//
//	{"private":{"key":"…","value":…}}
//	{"end":{"entries":N,"hash":"H of entry N","private":how many}}
//
// The file itself is a bbolt store (go.etcd.io/bbolt) with four buckets. Numbers are big-endian.
//
//	about    "format" → version, decimal; "head" → number (8 bytes) and hash (32) of the last entry, empty
//	         when there is none; "private" → how many personal records there are (8 bytes) and the
//	         exclusive or of their hashes (32), absent when there never was one; "erased" is there when
//	         values that were erased may lie in free pages
//	entries  number (8 bytes) → SHA-256 of the canonical bytes (32), then the canonical bytes
//	keys     R → number of the request's first entry (8 bytes), how many it has (4)
//	private  key → SHA-256 over key, one space, value (32), then the value: JSON without needless space
//
// Pages and byte order of a store are its machine's: a backup is for a machine of the same kind, an export
// is the copy that travels.
//
// # Erasing
//
// A personal record is erased by Write, with the entry that says so. It can no longer be read from then on, and
// no backup made later holds it; the bytes leave the file when it is next opened. Backups and exports
// made before still have it: that is for their keeper to mind.
package ledger
