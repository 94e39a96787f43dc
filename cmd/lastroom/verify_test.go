package main

import (
	"bytes"
	"context"
	"io"
	"strings"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
	"lastroom/server"
)

// What a served workshop shows must be what its ledger tells: a job that was altered in memory is found.
func TestVerifyComparesWhatIsShown(t *testing.T) {
	dir := t.TempDir()
	if err := workshop.Create(t.Context(), dir, shop.Example(), workshopOptions(nil)); err != nil {
		t.Fatal(err)
	}
	w, err := workshop.Open(t.Context(), dir, workshopOptions(nil))
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := w.Close(); err != nil {
			t.Error(err)
		}
	}()
	orders := "name,pattern,size_system,size,length\nNils Åkervik,floe,mondopoint,265,264\nNils Åkervik,floe,mondopoint,265,264\n"
	request := addRequest{orderFile: orderFile{Name: "orders.csv", Told: "orders.csv"}, By: "signe", Key: "one"}
	if err := addOrders(t.Context(), w, request, server.Streams{In: strings.NewReader(orders), Out: io.Discard}); err != nil {
		t.Fatal(err)
	}
	verify := func() (string, []*message.Fault) {
		var out bytes.Buffer
		err := verifyServed(context.Background(), w, struct{}{}, server.Streams{In: nothing{}, Out: &out})
		return out.String(), message.Faults(err)
	}
	if out, faults := verify(); len(faults) > 0 || !strings.HasPrefix(out, "sound: 4 entries, 2 jobs, 2 personal records") {
		t.Fatalf("got %q, %v", out, faults)
	}
	j, err := w.Job(1002)
	if err != nil {
		t.Fatal(err)
	}
	j.At++ // as a slip in the fold would
	out, faults := verify()
	if out != "" || len(faults) != 1 || faults[0].Key != "command.verify.state" || faults[0].Args["job"] != 1002 {
		t.Errorf("got %q, %v", out, faults)
	}
}
