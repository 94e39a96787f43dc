package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// fenced are the blocks of commands of a page.
var fenced = regexp.MustCompile("(?s)```\n(.*?)```")

// TestTheReadmesFirstDay types what the README's first day says, word by word and in its order, on
// whatever day it is.
func TestTheReadmesFirstDay(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, day, found := strings.Cut(string(readme), "\n## A first day\n")
	day, _, end := strings.Cut(day, "\n## ")
	if !found || !end {
		t.Fatal("the README has no first day")
	}
	orders, err := filepath.Abs("../../testdata")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.Symlink(orders, filepath.Join(dir, "testdata")); err != nil {
		t.Fatal(err)
	}
	typed := 0
	for _, block := range fenced.FindAllStringSubmatch(day, -1) {
		for line := range strings.Lines(block[1]) {
			line, _, _ = strings.Cut(line, " #")
			words := strings.Fields(line)
			if len(words) < 2 || words[0] != "./lastroom" || words[1] == "serve" { // which goes on until it is stopped
				continue
			}
			typed++
			command := exec.CommandContext(t.Context(), "lastroom", words[1:]...)
			command.Dir = dir
			if said, err := command.CombinedOutput(); err != nil {
				t.Fatalf("%s: %v\n%s", line, err, said)
			}
		}
	}
	if typed < 10 {
		t.Errorf("the first day has %d commands: too few to be all of it", typed)
	}
	for _, name := range []string{"shop/shop.toml", "sheet.pdf", "monday.lastroom", "spare/shop.toml", "ledger.jsonl"} {
		if info, err := os.Stat(filepath.Join(dir, name)); err != nil || info.Size() == 0 {
			t.Errorf("the first day leaves no %s: %v", name, err)
		}
	}
}
