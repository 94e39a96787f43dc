package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/alexedwards/argon2id"

	"lastroom/jobs/shop"
	"lastroom/jobs/workshop"
)

// The line is one that the shop file takes, and its hash lets in who types the PIN and nobody else.
func TestThePINLineFitsTheShopFile(t *testing.T) {
	var out bytes.Buffer
	if err := runPIN(t.Context(), strings.NewReader("271828\n"), &out); err != nil {
		t.Fatal(err)
	}
	line := strings.TrimSuffix(out.String(), "\n")
	hash := strings.TrimSuffix(strings.TrimPrefix(line, `pin = "`), `"`)
	for pin, want := range map[string]bool{"271828": true, "271829": false, "": false} {
		if got, err := argon2id.ComparePasswordAndHash(pin, hash); err != nil || got != want {
			t.Errorf("PIN %q: %v, %v", pin, got, err)
		}
	}
	lines := strings.Split(string(shop.Example()), "\n")
	changed := 0
	for i := range lines {
		if strings.HasPrefix(lines[i], "pin = ") && changed == 0 {
			lines[i] = line
			changed++
		}
	}
	s, err := shop.Parse([]byte(strings.Join(lines, "\n")), workshop.ShopFile)
	if err != nil || changed != 1 || s.People[0].PIN != hash {
		t.Errorf("%d lines changed: %v", changed, err)
	}
}
