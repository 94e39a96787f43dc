// Package ledger keeps what happened in the workshop: entries, in order, each written once, on disk
// before anybody is told, and each carrying the hash of the one before it. What an entry means is the
// caller's; people's names and addresses lie beside the entries, so that they can be erased.
package ledger
