//go:build !linux

package ledger_test

import "os"

func syncData(f *os.File) error { return f.Sync() }
