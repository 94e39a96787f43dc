package ledger

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"time"
)

// The examples of FIPS 180-4 for SHA-256 as NIST publishes them ("abc", the message of two blocks, a
// million times "a"), and the empty message; the digests are from memory and agree with GNU sha256sum.
func TestTheHashIsSHA256(t *testing.T) {
	for _, row := range []struct{ name, message, want string }{
		{"nothing", "", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
		{"one block", "abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
		{"two blocks", "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
		{"a million letters", strings.Repeat("a", 1e6), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := sum([]byte(row.message)).String(); got != row.want {
				t.Errorf("got %s, want %s", got, row.want)
			}
		})
	}
}

// The lines were typed by hand from FORMAT, their hashes computed with GNU sha256sum.
func TestSealWritesTheCanonicalBytes(t *testing.T) {
	first, line, err := seal(1, Hash{}, time.Date(2026, 3, 1, 9, 30, 0, 0, time.UTC), "p7", "k-1",
		Draft{"job.opened", json.RawMessage(`{ "job": 1001, "remark": "±4 mm <inner>" }`)})
	if err != nil {
		t.Fatal(err)
	}
	want := `{"v":1,"n":1,"before":"0000000000000000000000000000000000000000000000000000000000000000","at":"2026-03-01T09:30:00.000Z","kind":"job.opened","by":"p7","key":"k-1","body":{"job":1001,"remark":"±4 mm <inner>"}}`
	if string(line) != want {
		t.Errorf("got  %s\nwant %s", line, want)
	}
	const hash1 = "c2cfc122464b305f05840cb7073e2a0d8f07c2cec59afba84134df7c70cb9fce"
	if first.Hash.String() != hash1 {
		t.Errorf("entry 1: got %s, want %s", first.Hash, hash1)
	}
	second, line, err := seal(2, first.Hash, first.At, "p7", "k-2", Draft{"job.held", nil})
	if err != nil {
		t.Fatal(err)
	}
	want = `{"v":1,"n":2,"before":"` + hash1 + `","at":"2026-03-01T09:30:00.000Z","kind":"job.held","by":"p7","key":"k-2","body":null}`
	if string(line) != want {
		t.Errorf("got  %s\nwant %s", line, want)
	}
	if hash2 := "9783168248fd91b01c500ae2be92dad5cd416013293fbddad5823397591e0bb1"; second.Hash.String() != hash2 {
		t.Errorf("entry 2: got %s, want %s", second.Hash, hash2)
	}
}

// RFC 3339 section 5.8 gives these instants, and says of the second that it is 1996-12-20T00:39:57Z.
func TestInstantsAreRFC3339InUTC(t *testing.T) {
	for _, row := range []struct{ given, want string }{
		{"1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50.520Z"},
		{"1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57.000Z"},
		{"1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27.870Z"},
	} {
		t.Run(row.given, func(t *testing.T) {
			at, err := time.Parse(time.RFC3339, row.given)
			if err != nil {
				t.Fatal(err)
			}
			_, line, err := seal(1, Hash{}, at, "p", "k", Draft{"a", nil})
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Contains(line, []byte(`"at":"`+row.want+`"`)) {
				t.Errorf("want %s in %s", row.want, line)
			}
			e, err := parse(line)
			if err != nil || !e.At.Equal(at) {
				t.Errorf("read back as %v, %v", e.At, err)
			}
		})
	}
}

// RFC 8785 section 3.2.2 shows numbers that its canonical form rewrites (333333333.33333329 becomes
// 333333333.3333333, 4.50 becomes 4.5), and 3.2.3 sorts members. Ours keeps both as they were given: see
// FORMAT. White space goes in both.
func TestABodyKeepsItsNumbersAndItsOrder(t *testing.T) {
	body, err := compact(json.RawMessage("{\n \"numbers\": [333333333.33333329, 1E30, 4.50, 2e-3],\n \"literals\": [null, true, false] }"))
	if err != nil {
		t.Fatal(err)
	}
	if want := `{"numbers":[333333333.33333329,1E30,4.50,2e-3],"literals":[null,true,false]}`; string(body) != want {
		t.Errorf("got  %s\nwant %s", body, want)
	}
}

func TestSealRefuses(t *testing.T) {
	for _, row := range []struct {
		name  string
		draft Draft
		want  string
	}{
		{"an empty kind", Draft{"", nil}, "entry kind"},
		{"a kind with a space", Draft{"job opened", nil}, "entry kind"},
		{"a kind with a quote", Draft{`job"`, nil}, "entry kind"},
		{"a kind of 129 letters", Draft{strings.Repeat("k", 129), nil}, "entry kind"},
		{"a body that JSON cannot say", Draft{"a", func() {}}, "unsupported type"},
		{"a raw body that is not JSON", Draft{"a", json.RawMessage(`{"a":}`)}, "body of a a entry"},
		{"a raw body that is not UTF-8", Draft{"a", json.RawMessage("\"\xff\"")}, "not valid UTF-8"},
		{"a body over a mebibyte", Draft{"a", strings.Repeat("x", MaxBody-1)}, "at most 1048576 are taken"},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, _, err := seal(1, Hash{}, time.Time{}, "p", "k", row.draft)
			if err == nil || !strings.Contains(err.Error(), row.want) {
				t.Errorf("got %v, want %q in it", err, row.want)
			}
		})
	}
	if _, _, err := seal(1, Hash{}, time.Time{}, "p", "k", Draft{strings.Repeat("k", 128), strings.Repeat("x", MaxBody-2)}); err != nil {
		t.Errorf("the longest kind and the largest body: %v", err)
	}
}

const sound = `{"v":1,"n":1,"before":"0000000000000000000000000000000000000000000000000000000000000000","at":"2026-03-01T09:30:00.000Z","kind":"job.opened","by":"p7","key":"k-1","body":{"job":1001}}`

func TestParseTakesNothingButTheCanonicalBytes(t *testing.T) {
	if e, err := parse([]byte(sound)); err != nil || e.Number != 1 || e.Kind != "job.opened" || e.By != "p7" || e.Key != "k-1" || string(e.Body) != `{"job":1001}` {
		t.Fatalf("the sound line: %+v, %v", e, err)
	}
	for _, row := range []struct{ name, old, new, want string }{
		{"another version", `"v":1`, `"v":0`, "format version"},
		{"a later version", `"v":1`, `"v":2`, "written by a later lastroom"},
		{"a space", `"v":1,`, `"v":1, `, "not an entry"},
		{"a line end", `1001}}`, "1001}}\n", "not an entry"},
		{"no number", `"n":1`, `"n":`, "n is"},
		{"number zero", `"n":1`, `"n":0`, "n is"},
		{"a leading zero", `"n":1`, `"n":01`, "n is"},
		{"a number of 2 to the 64", `"n":1`, `"n":18446744073709551616`, "n is"},
		{"a short hash", `"before":"00`, `"before":"0`, "before is"},
		{"a long hash", `"before":"00`, `"before":"00000`, "before is"},
		{"a hash in capitals", `"before":"00`, `"before":"AA`, "before is"},
		{"an hour 24", `T09`, `T24`, "at is"},
		{"another zone", `00.000Z`, `00.000+00:00`, "at is"},
		{"no milliseconds", `00.000Z`, `00Z`, "at is"},
		{"a leap second", `30:00.`, `30:60.`, "at is"},
		{"an empty kind", `job.opened`, ``, "kind, by or key"},
		{"an escape in a name", `p7`, `p\u0037`, "kind, by or key"},
		{"a missing member", `"by":"p7",`, ``, "not an entry"},
		{"members in another order", `"by":"p7","key":"k-1"`, `"key":"k-1","by":"p7"`, "not an entry"},
		{"a second body", `{"job":1001}`, `1,2`, "not valid JSON"},
		{"a member after the body", `{"job":1001}`, `1,"x":2`, "not valid JSON"},
		{"space in the body", `{"job":1001}`, `{"job": 1001}`, "needless space"},
		{"no body", `{"job":1001}`, ``, "not valid JSON"},
		{"a cut end", `1001}}`, `1001`, "not an entry"},
	} {
		t.Run(row.name, func(t *testing.T) {
			line := strings.Replace(sound, row.old, row.new, 1)
			if line == sound {
				t.Fatal("the row changes nothing")
			}
			_, err := parse([]byte(line))
			if err == nil || !strings.Contains(err.Error(), row.want) {
				t.Errorf("got %v, want %q in it", err, row.want)
			}
		})
	}
}

// What is read is written again as the same bytes, so two lines are never one entry.
func FuzzParse(f *testing.F) {
	f.Add([]byte(sound))
	f.Add([]byte(strings.Replace(sound, `{"job":1001}`, `","body":}`, 1)))
	f.Add([]byte(strings.Replace(sound, `{"job":1001}`, `["","by":"",1e9]`, 1)))
	f.Add([]byte(`{"v":1,"n":`))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, line []byte) {
		e, err := parse(line)
		if err != nil {
			return
		}
		if again := e.canonical(); !bytes.Equal(again, line) {
			t.Fatalf("read  %q\nwrote %q", line, again)
		}
		if !json.Valid(line) {
			t.Fatalf("taken, but not JSON: %q", line)
		}
		if e.Hash != sum(line) {
			t.Fatal("another hash")
		}
	})
}
