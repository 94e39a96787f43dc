package message

import (
	"errors"
	"fmt"
	"testing"
	"testing/fstest"
)

func TestSay(t *testing.T) {
	c := catalogue(t, "en", `{"plain": "as it is", "two": "{a} before {b}", "open": "a { stays"}`)
	for _, row := range []struct {
		name, key string
		args      Args
		want      string
	}{
		{"a sentence without values", "plain", nil, "as it is"},
		{"values by name", "two", Args{"b": 2, "a": "one"}, "one before 2"},
		{"a value that is missing shows", "two", Args{"a": 1}, "1 before [b]"},
		{"a key that is missing shows", "none", nil, "[none]"},
		{"a lone brace is text", "open", nil, "a { stays"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := c.Say(row.key, row.args); got != row.want {
				t.Errorf("got %q, want %q", got, row.want)
			}
		})
	}
}

func TestLoadRefusesAKeyInTwoFiles(t *testing.T) {
	_, err := Load(fstest.MapFS{
		"en/a.json": {Data: []byte(`{"k": "one"}`)},
		"en/b.json": {Data: []byte(`{"k": "two"}`)},
	}, "en")
	if err == nil || err.Error() != `message catalogue en/b.json: key "k" stands in another file too` {
		t.Fatalf("got %v", err)
	}
}

func TestEnglishIsNotEmpty(t *testing.T) {
	if len(Of(English).Sentences) == 0 {
		t.Fatal("no sentence was loaded")
	}
}

// catalogue is one of a single file.
func catalogue(t *testing.T, lang Language, sentences string) *Catalogue {
	t.Helper()
	c, err := Load(fstest.MapFS{string(lang) + "/a.json": {Data: []byte(sentences)}}, lang)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestFaultsFindsAllThatIsJoinedAndWrapped(t *testing.T) {
	a, b := &Fault{Key: "a"}, &Fault{Key: "b"}
	err := fmt.Errorf("file: %w", errors.Join(fmt.Errorf("row: %w", a), errors.New("internal"), b))
	got := Faults(err)
	if len(got) != 2 || got[0] != a || got[1] != b {
		t.Fatalf("got %v", got)
	}
}
