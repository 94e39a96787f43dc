//go:build linux || darwin

package ledger

import "golang.org/x/sys/unix"

// freeBytes is what the program may still write to the disk of a folder.
func freeBytes(folder string) (uint64, error) {
	var s unix.Statfs_t
	if err := unix.Statfs(folder, &s); err != nil {
		return 0, err
	}
	return uint64(s.Bavail) * uint64(s.Bsize), nil
}
