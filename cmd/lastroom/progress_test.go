package main

import (
	"bytes"
	"os"
	"strings"
	"testing"
)

func TestABarShowsHowFarItIsAndGoesAway(t *testing.T) {
	var screen bytes.Buffer
	told := bar(&screen)
	told(1, 3)
	if !strings.Contains(screen.String(), "(1/3)") {
		t.Errorf("after the first of three: %q", screen.String())
	}
	told(2, 3)
	told(3, 3)
	last := screen.String()[strings.LastIndex(strings.TrimRight(screen.String(), "\r"), "\r")+1:]
	if strings.TrimSpace(last) != "" {
		t.Errorf("at the end there stays %q", last)
	}
	screen.Reset()
	if bar(&screen)(1, 1); screen.Len() > 0 {
		t.Errorf("one of one is worth no bar: %q", screen.String())
	}
}

func TestNoBarWhereNobodySeesIt(t *testing.T) {
	if progress(new(bytes.Buffer)) != nil {
		t.Error("a bar in a buffer")
	}
	file, err := os.Create(t.TempDir() + "/errors")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	if progress(file) != nil {
		t.Error("a bar in a file")
	}
	screen, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skip("no terminal to open here:", err)
	}
	defer screen.Close()
	if progress(screen) == nil {
		t.Error("no bar on a terminal")
	}
}
