//go:build !linux

package main

import "os"

// dataSync puts a file on the disk.
func dataSync(f *os.File) error { return f.Sync() }
