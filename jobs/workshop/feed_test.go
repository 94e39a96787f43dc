package workshop_test

import (
	"os"
	"path/filepath"
	"testing"

	"lastroom/jobs/workshop"
)

func TestTheCalendarsTokenOpensForItsPersonAlone(t *testing.T) {
	f := newFloor(t)
	signe, _ := f.Shop().Person("signe")
	birk, _ := f.Shop().Person("birk")
	if _, ok := f.FeedPerson(""); ok {
		t.Error("no token opens it")
	}
	if _, err := os.Stat(filepath.Join(f.dir, workshop.FeedFile)); err == nil {
		t.Error("who only asked made a secret")
	}
	token := func() string {
		got, err := f.FeedToken(signe)
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	first := token()
	if other, _ := f.FeedToken(birk); other == first || len(first) < 40 {
		t.Fatalf("tokens %q and %q", first, other)
	}
	if p, ok := f.FeedPerson(first); !ok || p.Key != "signe" {
		t.Errorf("signe's token opens for %q, %v", p.Key, ok)
	}
	if _, ok := f.FeedPerson(first[:len(first)-1] + "_"); ok {
		t.Error("another last sign opens it")
	}
	if info, err := os.Stat(filepath.Join(f.dir, workshop.FeedFile)); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the secret can be read by others: %v, %v", info, err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	f.open()
	if token() != first {
		t.Error("a restart changes the token")
	}
	signe.Badge = birk.Badge // as if it were a new one
	if again := token(); again == first {
		t.Error("a new badge leaves the token as it was")
	}
}
