package main

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"io/fs"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"lastroom/jobs/workshop"
)

// Ctrl-C ends a command that waits for its input, at once and with one line.
func TestACommandThatWaitsCanBeStopped(t *testing.T) {
	c := exec.Command("lastroom", "pin")
	in, err := c.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	var out, errs bytes.Buffer
	c.Stdout, c.Stderr = &out, &errs
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	if _, err := io.WriteString(in, "12"); err != nil { // taken once the command reads
		t.Fatal(err)
	}
	time.Sleep(500 * time.Millisecond)
	if err := c.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	var ended *exec.ExitError
	if err := c.Wait(); !errors.As(err, &ended) || ended.ExitCode() != failed {
		t.Errorf("got %v", err)
	}
	if want := "lastroom: stopped before it was done\n"; errs.String() != want || out.Len() > 0 {
		t.Errorf("got %q and %q, want %q", out.String(), errs.String(), want)
	}
}

// A server that is told to stop ends the streams that browsers hold open, then itself, with exit code 0;
// its socket is gone.
func TestAServerStopsCleanly(t *testing.T) {
	for _, signal := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		t.Run(signal.String(), func(t *testing.T) { stopServer(t, signal) })
	}
}

func stopServer(t *testing.T, signal os.Signal) {
	dir := t.TempDir()
	command(t, "", "init", "--data", dir)
	c := exec.Command("lastroom", "serve", "--data", dir, "--addr", "127.0.0.1:0")
	var log bytes.Buffer
	c.Stderr = &log
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	line, _ := bufio.NewReader(out).ReadString('\n')
	_, address, _ := strings.Cut(strings.TrimSpace(line), " at ")
	jar, _ := cookiejar.New(nil)
	browser := &http.Client{Jar: jar}
	defer browser.CloseIdleConnections()
	in, err := browser.PostForm(address+"/sign-in", url.Values{"badge": {"994821993518122"}, "pin": {"1404"}})
	if err != nil {
		t.Fatal(err)
	}
	in.Body.Close()
	stream, err := browser.Get(address + "/live")
	if err != nil {
		t.Fatal(err)
	}
	defer stream.Body.Close()
	if kind := stream.Header.Get("Content-Type"); kind != "text/event-stream" {
		t.Fatalf("/live is %q", kind)
	}
	begun := time.Now()
	if err := c.Process.Signal(signal); err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(io.Discard, stream.Body); err != nil {
		t.Errorf("the stream broke off: %v", err)
	}
	if err := c.Wait(); err != nil {
		t.Errorf("%v\n%s", err, log.String())
	}
	if took := time.Since(begun); took > patience/2 {
		t.Errorf("it took %s", took)
	}
	if _, err := os.Lstat(filepath.Join(dir, workshop.SocketFile)); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the socket is still there: %v", err)
	}
	if out := command(t, "", "verify", "--data", dir); !strings.HasPrefix(out, "sound: ") {
		t.Errorf("verify: %s", out)
	}
}
