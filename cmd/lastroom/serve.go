package main

import (
	"context"
	"crypto/rand"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"sync"
	"time"

	"github.com/spf13/cobra"

	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
	"lastroom/server"
)

const defaultAddr = "127.0.0.1:8080"

// patience is how long a server that stops waits for requests that have begun.
const patience = 10 * time.Second

type serveOptions struct {
	dir, addr string
	cert, key string // files, PEM
	inbox     string // folder that is watched for order files; empty for none
	inboxBy   string // key of who takes them
}

func serveCommand() *cobra.Command {
	var o serveOptions
	c := newCommand("serve --data DIR [--addr HOST:PORT] [--tls-cert FILE --tls-key FILE] [--inbox DIR --inbox-by PERSON]", "serve",
		"lastroom serve --data shop --addr 192.168.1.20:8080", 0, 0, func(c *cobra.Command, _ []string) error {
			if (o.cert == "") != (o.key == "") {
				return misuse{hinted(invalid("command.serve.tls", nil), seeHelp(c))}
			}
			if (o.inbox == "") != (o.inboxBy == "") {
				return misuse{hinted(invalid("command.serve.inbox", nil), seeHelp(c))}
			}
			if _, _, err := net.SplitHostPort(o.addr); err != nil {
				return misuse{hinted(invalid("command.serve.addr", message.Args{"found": o.addr}), seeHelp(c))}
			}
			return runServe(c.Context(), o, c.OutOrStdout(), c.ErrOrStderr())
		})
	dataFlag(c, &o.dir)
	c.Flags().StringVar(&o.addr, "addr", defaultAddr, say("command.flag.addr"))
	c.Flags().StringVar(&o.cert, "tls-cert", "", say("command.flag.tls-cert"))
	c.Flags().StringVar(&o.key, "tls-key", "", say("command.flag.tls-key"))
	c.Flags().StringVar(&o.inbox, "inbox", "", say("command.flag.inbox"))
	c.Flags().StringVar(&o.inboxBy, "inbox-by", "", say("command.flag.inbox-by"))
	return c
}

func runServe(ctx context.Context, o serveOptions, out, errs io.Writer) (err error) {
	log := slog.New(slog.NewTextHandler(errs, nil))
	var keys *tls.Config
	if o.cert != "" {
		pair, err := tls.LoadX509KeyPair(o.cert, o.key)
		if err != nil {
			return &message.Fault{Kind: message.Invalid, Key: "command.serve.key", Where: o.cert, Args: message.Args{"key": o.key, "found": err}}
		}
		keys = &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12}
	}
	if err := holdsWorkshop(o.dir); err != nil {
		return err
	}
	w, err := workshop.Open(ctx, o.dir, workshopOptions(log))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, w.Close()) }()
	if o.inbox != "" {
		box, err := workshop.NewInbox(w, o.inbox, o.inboxBy)
		if err != nil {
			return err
		}
		watched, end := context.WithCancel(ctx)
		var watching sync.WaitGroup
		watching.Go(func() { box.Run(watched) })
		defer watching.Wait()
		defer end()
	}
	return serve(ctx, w, o.addr, keys, log, func(url string) {
		fmt.Fprintln(out, message.Say(message.Default, "command.serve.ready", message.Args{"shop": w.Shop().Name, "url": url}))
	})
}

// serveWorkshop serves an open workshop until ctx ends, for whoever opened it and closes it afterwards.
// Warnings go to errs; ready is told the address once it answers.
func serveWorkshop(ctx context.Context, w *workshop.Workshop, addr string, errs io.Writer, ready func(url string)) error {
	log := slog.New(slog.NewTextHandler(errs, &slog.HandlerOptions{Level: slog.LevelWarn}))
	return serve(ctx, w, addr, nil, log, ready)
}

// serve answers browsers at addr and commands at the folder's socket until ctx ends; over TLS where keys
// are given.
func serve(ctx context.Context, w *workshop.Workshop, addr string, keys *tls.Config, log *slog.Logger, ready func(url string)) (err error) {
	pages, err := server.New(w, server.Options{Log: log, Random: rand.Reader, Secure: keys != nil, Wall: time.Now})
	if err != nil {
		return err
	}
	defer pages.Close()
	if err := sweep(w.Dir()); err != nil {
		return err
	}
	socket, err := server.NewSocket(w, acts(), log)
	if err != nil {
		return err
	}
	defer func() {
		within, cancel := context.WithTimeout(context.WithoutCancel(ctx), patience)
		defer cancel()
		err = errors.Join(err, socket.Close(within))
	}()
	listener, err := net.Listen("tcp", addr)
	if err != nil {
		return &message.Fault{Kind: message.Refused, Key: "command.serve.listen", Where: addr, Args: message.Args{"found": reason(err)}}
	}
	url := "http://" + listener.Addr().String()
	if keys != nil {
		listener, url = tls.NewListener(listener, keys), "https://"+listener.Addr().String()
	}
	web := pages.HTTP()
	ended := make(chan error, 1)
	go func() { ended <- web.Serve(listener) }()
	if ready != nil {
		ready(url)
	}
	select {
	case err = <-ended:
	case <-ctx.Done():
	}
	log.Info("stopping")
	within, cancel := context.WithTimeout(context.WithoutCancel(ctx), patience)
	defer cancel()
	if stopped := web.Shutdown(within); stopped != nil { // which ends event streams first
		err = errors.Join(err, web.Close())
	}
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

// reason is the innermost part of an error, which says why.
func reason(err error) error {
	for inner := errors.Unwrap(err); inner != nil; inner = errors.Unwrap(err) {
		err = inner
	}
	return err
}

// workshopOptions are what a real workshop gets from this computer.
func workshopOptions(log *slog.Logger) workshop.Options {
	return workshop.Options{Clock: time.Now, Random: rand.Reader, Log: log, Seed: 1}
}
