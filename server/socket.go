package server

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
)

// Act is what a command does to a workshop, written once: it runs in the command's own process when
// nobody serves the workshop's folder, and in the server's when somebody does.
type Act func(ctx context.Context, w *workshop.Workshop, args json.RawMessage, s Streams) error

// Streams are the command's own, wherever the act runs.
type Streams struct {
	In       io.Reader
	Out      io.Writer
	Progress func(done, total int) // told how far the act is; nil where nobody watches
}

// ErrNobody says that no server answers for a folder.
var ErrNobody = errors.New("no server answers for this folder")

// longestSocket is the longest path of a socket in bytes, which the system sets; longestArgs is how many
// bytes the arguments of an act may have.
const (
	longestSocket = len(syscall.RawSockaddrUnix{}.Path) - 1
	longestArgs   = 1 << 20
)

// Socket lets the commands of other processes act on a workshop that is open here. It is HTTP over a
// Unix socket in the workshop's folder, which only the folder's owner may open. The path names the act;
// the body is one line of JSON, the arguments, then the command's input. The answer is lines of JSON:
// pieces of the command's output, how far the act is, then the end with what went wrong. Whoever goes away ends their act.
type Socket struct {
	path   string
	web    *http.Server
	end    context.CancelFunc
	served chan error
}

// answer is one line of an answer.
type answer struct {
	Out    []byte           `json:"out,omitempty"`
	Done   int              `json:"done,omitempty"`
	Total  int              `json:"total,omitempty"` // 0 tells nothing of how far it is
	End    bool             `json:"end,omitempty"`
	Faults []*message.Fault `json:"faults,omitempty"`
	Error  string           `json:"error,omitempty"` // that is not for people; the server's log has it too
}

// NewSocket answers for the acts in the folder of an open workshop. A socket that a killed server left
// behind is removed: whoever has the ledger open is the only one.
func NewSocket(w *workshop.Workshop, acts map[string]Act, log *slog.Logger) (*Socket, error) {
	path, err := socketPath(w.Dir())
	if err != nil {
		return nil, err
	}
	info, err := os.Lstat(path)
	switch {
	case err == nil && info.Mode().Type() != fs.ModeSocket:
		return nil, &message.Fault{Kind: message.Refused, Key: "socket.foreign", Where: path}
	case err == nil:
		err = os.Remove(path)
	case errors.Is(err, fs.ErrNotExist):
		err = nil
	}
	if err != nil {
		return nil, err
	}
	listener, err := net.Listen("unix", path)
	if err != nil {
		return nil, err
	}
	if err := os.Chmod(path, 0o600); err != nil {
		return nil, errors.Join(err, listener.Close())
	}
	s := &Socket{path: path, served: make(chan error, 1)}
	ctx, end := context.WithCancel(context.Background())
	s.end = end
	s.web = &http.Server{
		Handler: actHandler(w, acts, log), ReadHeaderTimeout: 10 * time.Second,
		BaseContext: func(net.Listener) context.Context { return ctx },
	}
	go func() { s.served <- s.web.Serve(listener) }()
	return s, nil
}

// Close ends what runs, waits for it until ctx ends, and removes the socket.
func (s *Socket) Close(ctx context.Context) error {
	s.end()
	err := s.web.Shutdown(ctx)
	if err != nil {
		err = errors.Join(err, s.web.Close())
	}
	if served := <-s.served; !errors.Is(served, http.ErrServerClosed) {
		err = errors.Join(err, served)
	}
	return err
}

// socketPath is the socket of a folder, by the shorter of its names: from here, or from the root.
func socketPath(dir string) (string, error) {
	path := filepath.Join(dir, workshop.SocketFile)
	if whole, err := filepath.Abs(path); err == nil {
		if here, err := os.Getwd(); err == nil {
			if short, err := filepath.Rel(here, whole); err == nil && len(short) < len(whole) {
				whole = short
			}
		}
		path = whole
	}
	if len(path) > longestSocket {
		return "", &message.Fault{
			Kind: message.Refused, Key: "socket.long", Where: path,
			Args: message.Args{"found": len(path), "allowed": longestSocket},
		}
	}
	return path, nil
}

func actHandler(w *workshop.Workshop, acts map[string]Act, log *slog.Logger) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("POST /act/{name}", func(rw http.ResponseWriter, r *http.Request) {
		name := r.PathValue("name")
		control := http.NewResponseController(rw)
		answers := json.NewEncoder(rw)
		send := func(a answer) error {
			if err := answers.Encode(a); err != nil {
				return err
			}
			return control.Flush()
		}
		// One act a connection: in full duplex the server may still be watching the old request's body
		// when it begins to read the next request, and panics.
		rw.Header().Set("Connection", "close")
		err := control.EnableFullDuplex() // output may begin before the input ends
		if err == nil {
			err = runAct(r.Context(), w, acts, name, Streams{In: r.Body, Out: writerOf(send), Progress: progressOf(send)})
		}
		if errors.Is(err, context.Canceled) {
			err = &message.Fault{Kind: message.Refused, Key: "socket.broken"}
		}
		last := answer{End: true, Faults: spelt(message.Faults(err))}
		if err != nil && len(last.Faults) == 0 {
			last.Error = err.Error()
			log.Error("act failed", "act", name, "error", err)
		}
		log.Info("act", "act", name, "failed", err != nil)
		_ = send(last) // the command has gone: there is nobody to tell
	})
	return mux
}

// runAct reads the arguments of an act and runs it. A panic is the act's alone.
func runAct(ctx context.Context, w *workshop.Workshop, acts map[string]Act, name string, s Streams) (err error) {
	act, ok := acts[name]
	if !ok {
		return &message.Fault{Kind: message.Unknown, Key: "socket.unknown", Args: message.Args{"found": name}}
	}
	in := bufio.NewReader(s.In)
	args, err := readLine(in, longestArgs)
	if err != nil {
		return fmt.Errorf("arguments of %s: %w", name, err)
	}
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("%s panicked: %v", name, p)
		}
	}()
	_, _ = in.Peek(1) // once the body has ended, net/http watches for the command to go away
	s.In = in
	return act(ctx, w, args, s)
}

func readLine(r *bufio.Reader, most int) ([]byte, error) {
	var line []byte
	for {
		part, err := r.ReadSlice('\n')
		if line = append(line, part...); len(line) > most {
			return nil, errors.New("line too long")
		}
		if err == nil {
			return bytes.TrimSuffix(line, []byte("\n")), nil
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			return nil, err
		}
	}
}

// spelt are faults whose values are text: what prints "6 mm" here must not print "6" over there.
func spelt(faults []*message.Fault) []*message.Fault {
	told := make([]*message.Fault, len(faults))
	for i, f := range faults {
		one := *f
		one.Args = message.Args{}
		for name, value := range f.Args {
			one.Args[name] = fmt.Sprint(value)
		}
		told[i] = &one
	}
	return told
}

// writerOf sends what is written as pieces of output.
type writerOf func(answer) error

func (send writerOf) Write(p []byte) (int, error) {
	if err := send(answer{Out: p}); err != nil {
		return 0, err
	}
	return len(p), nil
}

// progressOf sends how far an act is, each hundredth once.
func progressOf(send writerOf) func(done, total int) {
	told := -1
	return func(done, total int) {
		if now := done * 100 / max(1, total); now != told {
			told = now
			_ = send(answer{Done: done, Total: total}) // output that finds nobody ends the act
		}
	}
}

// Ask has the server of a folder run an act on the streams of this process, and returns what the act
// returned: its faults whole. ErrNobody says that no server is there.
func Ask(ctx context.Context, dir, act string, args any, s Streams) error {
	path, err := socketPath(dir)
	if err != nil {
		return ErrNobody // none could listen there
	}
	line, err := json.Marshal(args)
	if err != nil {
		return err
	}
	transport := &http.Transport{
		DialContext: func(ctx context.Context, _, _ string) (net.Conn, error) {
			return new(net.Dialer).DialContext(ctx, "unix", path)
		},
	}
	defer transport.CloseIdleConnections()
	body := io.MultiReader(bytes.NewReader(append(line, '\n')), s.In)
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, "http://lastroom/act/"+url.PathEscape(act), body)
	if err != nil {
		return err
	}
	response, err := transport.RoundTrip(r)
	switch {
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ENOTDIR), errors.Is(err, syscall.ECONNREFUSED), errors.Is(err, syscall.ENOTSOCK):
		return ErrNobody
	case errors.Is(err, fs.ErrPermission):
		return &message.Fault{Kind: message.Forbidden, Key: "socket.permission", Where: path}
	case err != nil:
		return err
	}
	defer response.Body.Close()
	if response.StatusCode != http.StatusOK {
		return fmt.Errorf("the server of %s answered %s", dir, response.Status)
	}
	return readAnswers(ctx, json.NewDecoder(response.Body), s)
}

func readAnswers(ctx context.Context, answers *json.Decoder, s Streams) error {
	for {
		var a answer
		if err := answers.Decode(&a); err != nil {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			return &message.Fault{Kind: message.Refused, Key: "socket.broken"}
		}
		if len(a.Out) > 0 {
			if _, err := s.Out.Write(a.Out); err != nil {
				return err
			}
		}
		if a.Total > 0 && s.Progress != nil {
			s.Progress(a.Done, a.Total)
		}
		if !a.End {
			continue
		}
		if a.Error != "" {
			return errors.New(a.Error)
		}
		errs := make([]error, len(a.Faults))
		for i, f := range a.Faults {
			errs[i] = f
		}
		return errors.Join(errs...)
	}
}
