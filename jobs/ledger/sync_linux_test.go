package ledger_test

import (
	"os"
	"syscall"
)

func syncData(f *os.File) error { return syscall.Fdatasync(int(f.Fd())) }
