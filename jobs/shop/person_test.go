package shop_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"lastroom/jobs/code"
	"lastroom/jobs/shop"
)

// Whose badge or PIN stands in the example is told, until both are one's own.
func TestPeopleOfTheExampleAreTold(t *testing.T) {
	example, err := shop.Parse(shop.Example(), "shop.toml")
	if err != nil {
		t.Fatal(err)
	}
	if got := len(example.FromExample()); got != len(example.People) || got == 0 {
		t.Fatalf("%d of the example's %d people are the example's", got, len(example.People))
	}
	random := rand.NewChaCha8([32]byte{3})
	fresh := func() string {
		c, err := code.Random(code.Badge, random)
		if err != nil {
			t.Fatal(err)
		}
		return string(c)
	}
	text := string(shop.Example())
	for i, p := range example.People {
		text = strings.Replace(text, string(p.Badge), fresh(), 1)
		if i > 0 {
			text = strings.Replace(text, p.PIN, "$argon2id$v=19$m=19456,t=2,p=1$AvjzxX5E/IbbpG0MAoRMug$AAAA7vllYzUQ45VcOfTNum4cwMxU8++vY1fMQZOrEd8", 1)
		}
	}
	own, err := shop.Parse([]byte(text), "shop.toml")
	if err != nil {
		t.Fatal(err)
	}
	left := own.FromExample()
	if len(left) != 1 || left[0].Key != example.People[0].Key {
		t.Errorf("told %v, want the one whose PIN is still the example's", left)
	}
}
