package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"path/filepath"
	"time"

	"lastroom/jobs/ledger"
	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
	"lastroom/server"
)

// acts are what commands do to a workshop, in whichever process holds it, by name.
func acts() map[string]server.Act {
	return map[string]server.Act{
		"order.check": act(checkOrders),
		"order.add":   act(addOrders),
		"traveller":   act(printTravellers),
		"paper":       act(printPaper),
		"plan":        act(showPlan),
		"verify":      act(verifyServed),
		"backup": act(func(ctx context.Context, w *workshop.Workshop, _ struct{}, s server.Streams) error {
			return writeBackup(ctx, w.Ledger(), w.Dir(), w.Now(), s.Out)
		}),
		"export": act(func(ctx context.Context, w *workshop.Workshop, o exportRequest, s server.Streams) error {
			return w.Ledger().Export(ctx, s.Out, o.Private)
		}),
	}
}

// act is an Act whose arguments are an O.
func act[O any](do func(ctx context.Context, w *workshop.Workshop, o O, s server.Streams) error) server.Act {
	return func(ctx context.Context, w *workshop.Workshop, args json.RawMessage, s server.Streams) error {
		var o O
		strict := json.NewDecoder(bytes.NewReader(args))
		strict.DisallowUnknownFields() // a server of another version says so, and does not do half
		if err := strict.Decode(&o); err != nil {
			return invalid("command.version.other", message.Args{"found": err})
		}
		return do(ctx, w, o, s)
	}
}

// A server that starts or stops holds the ledger for a moment without answering: so often, and so long
// apart, is it asked again.
const (
	tries  = 20
	pause  = 150 * time.Millisecond
	inHand = "ledger.held"
)

// onWorkshop has an act done to the workshop of a folder: by the server that holds it, or here.
func onWorkshop(ctx context.Context, dir, name string, args any, s server.Streams) error {
	return askOr(ctx, dir, name, args, s, func() (err error) {
		if err := holdsWorkshop(dir); err != nil {
			return err
		}
		w, err := workshop.Open(ctx, dir, workshopOptions(nil))
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, w.Close()) }()
		raw, err := json.Marshal(args)
		if err != nil {
			return err
		}
		return acts()[name](ctx, w, raw, s)
	})
}

// onLedger is onWorkshop for what needs the ledger alone: a slip in the shop file must not stop a backup.
func onLedger(ctx context.Context, dir, name string, args any, out io.Writer, here func(l *ledger.Ledger) error) error {
	return askOr(ctx, dir, name, args, server.Streams{In: nothing{}, Out: out}, func() (err error) {
		if err := holdsWorkshop(dir); err != nil {
			return err
		}
		l, err := ledger.Open(ctx, filepath.Join(dir, workshop.LedgerFile), ledger.Options{Clock: time.Now})
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, l.Close()) }()
		if err := sweep(dir); err != nil {
			return err
		}
		return here(l)
	})
}

func askOr(ctx context.Context, dir, name string, args any, s server.Streams, here func() error) error {
	for try := 1; ; try++ {
		err := server.Ask(ctx, dir, name, args, s)
		if !errors.Is(err, server.ErrNobody) {
			return err
		}
		err = here()
		if !held(err) || try == tries {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(pause):
		}
	}
}

func held(err error) bool {
	faults := message.Faults(err)
	return len(faults) > 0 && faults[0].Key == inHand
}

// personOf finds who a command acts for.
func personOf(w *workshop.Workshop, key string) (shop.Person, error) {
	p, ok := w.Shop().Person(key)
	if !ok {
		allowed := ""
		for _, one := range w.Shop().People {
			if one.May(shop.TakeOrders) == nil {
				allowed = join(allowed, one.Key)
			}
		}
		return shop.Person{}, &message.Fault{
			Kind: message.Unknown, Key: "command.by.unknown", Where: "--by",
			Args: message.Args{"found": key, "allowed": allowed},
		}
	}
	return p, nil
}

func join(list, one string) string {
	if list == "" {
		return one
	}
	return list + ", " + one
}
