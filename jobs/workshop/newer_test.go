package workshop_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lastroom/jobs"
	"lastroom/jobs/ledger"
	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
)

// A later program wrote into the ledger what this one does not know: it doesn't open, says so in a sentence, and
// says which entry it is.
func TestWhatALaterProgramWroteIsSaidSo(t *testing.T) {
	f := newFloor(t)
	f.add("special.json")
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	closed := t.TempDir()
	if err := os.CopyFS(closed, os.DirFS(f.dir)); err != nil {
		t.Fatal(err)
	}
	f.open()
	raw, err := json.Marshal(f.job(jobs.FirstJob).Sheet)
	if err != nil {
		t.Fatal(err)
	}
	sheet := string(raw)
	in := func(old, new string) string {
		if !strings.Contains(sheet, old) {
			t.Fatalf("%s is not in the sheet", old)
		}
		return `{"sheet":` + strings.Replace(sheet, old, new, 1) + `,"reason":"later"}`
	}
	for _, row := range []struct{ name, kind, body, key, said string }{
		{"a kind", "pair.photographed", `{"job":1001}`, "ledger.newer.kind", "pair.photographed"},
		{"a member of a body", jobs.KindHeld, `{"job":1001,"reason":"later","until":"2026-06-01"}`, "ledger.newer.member", "until"},
		{"a member of a sheet", jobs.KindChanged, in(`"sealed":`, `"drawn":"later","sealed":`), "ledger.newer.member", "drawn"},
		{"a member of one foot", jobs.KindChanged, in(`"ball_girth":`, `"toe_girth":210,"ball_girth":`), "ledger.newer.member", "toe_girth"},
		{"a third foot", jobs.KindChanged, in(`"feet":{"left":`, `"feet":{"middle":{},"left":`), "ledger.newer.member", "middle"},
		{"a disposition", jobs.KindNonconformity, `{"job":1001,"step":0,"foot":"left","found":"later","disposition":"regrade"}`, "ledger.newer.member", "regrade"},
	} {
		t.Run(row.name, func(t *testing.T) {
			dir := t.TempDir()
			if err := os.CopyFS(dir, os.DirFS(closed)); err != nil {
				t.Fatal(err)
			}
			l, err := ledger.Open(t.Context(), filepath.Join(dir, workshop.LedgerFile), ledger.Options{Clock: f.clock.Now})
			if err != nil {
				t.Fatal(err)
			}
			entries, err := l.Write(t.Context(), "birk", "later", func(time.Time) (ledger.Group, error) {
				return ledger.Group{Drafts: []ledger.Draft{{Kind: row.kind, Body: json.RawMessage(row.body)}}}, nil
			})
			if err != nil {
				t.Fatal(err)
			}
			if err := l.Close(); err != nil {
				t.Fatal(err)
			}
			w, err := workshop.Open(t.Context(), dir, f.options())
			if err == nil {
				t.Fatal("opened", w.Close())
			}
			faults := message.Faults(err)
			if len(faults) != 1 || faults[0].Key != row.key || faults[0].Kind != message.Refused {
				t.Fatalf("got %v", err)
			}
			text := faults[0].Text(message.Default)
			if !contains(text, "written by a later lastroom", row.said) || faults[0].Args["number"] != entries[0].Number {
				t.Errorf("said %q of entry %d", text, entries[0].Number)
			}
		})
	}
}

// A bad body that no later program is to blame for is an error of another kind.
func TestADamagedBodyIsNotCalledLater(t *testing.T) {
	for kind, body := range map[string]string{
		jobs.KindHeld:    `{"job":"1001"}`,
		jobs.KindResumed: `[]`,
		jobs.KindOpened:  `{"sheet":{"spec":{"feet":{"both":{},"left":{}}}}}`,
	} {
		_, err := jobs.DecodeBody(jobs.Record{Number: 7, Kind: kind, Body: json.RawMessage(body)})
		if err == nil || len(message.Faults(err)) > 0 {
			t.Errorf("%s: %v", body, err)
		}
	}
}
