package workshop_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lastroom/jobs/message"
	"lastroom/jobs/workshop"
)

// box is an inbox in a folder.
type box struct {
	*floor
	*workshop.Inbox
	folder string
}

func newBox(t *testing.T) *box {
	t.Helper()
	b := &box{floor: newFloor(t), folder: filepath.Join(t.TempDir(), "in")}
	b.again()
	return b
}

func (b *box) again() {
	b.Helper()
	var err error
	if b.Inbox, err = workshop.NewInbox(b.Workshop, b.folder, "signe"); err != nil {
		b.Fatal(err)
	}
}

func (b *box) drop(name, content string) {
	b.Helper()
	if err := os.WriteFile(filepath.Join(b.folder, name), []byte(content), 0o600); err != nil {
		b.Fatal(err)
	}
}

// look looks often enough for a quiet file to be taken.
func (b *box) look(times int) {
	b.Helper()
	for range times {
		if err := b.Look(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}

// files are the names in one of the inbox's folders.
func (b *box) files(folder string) []string {
	b.Helper()
	all, err := os.ReadDir(filepath.Join(b.folder, folder))
	if err != nil {
		b.Fatal(err)
	}
	var names []string
	for _, one := range all {
		if one.Type().IsRegular() {
			names = append(names, one.Name())
		}
	}
	return names
}

func testOrder(t *testing.T, name string) string {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join("..", "..", "testdata", "orders", name))
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

const enough = 6 // looks

func TestADroppedFileIsTakenOnce(t *testing.T) {
	b := newBox(t)
	content := testOrder(t, "ordinary.json")
	b.drop("new.json", content)
	b.drop("notes.txt", "not an order")
	b.drop(".hidden.json", content)
	b.look(4)
	if len(b.Jobs()) != 0 {
		t.Fatal("it was taken before it had been quiet for two seconds")
	}
	b.look(2)
	if got := b.files(workshop.TakenFolder); len(b.Jobs()) != 1 || !slices.Equal(got, []string{"new.json"}) {
		t.Fatalf("%d jobs, taken: %v", len(b.Jobs()), got)
	}
	if got := b.files(""); !slices.Equal(got, []string{".hidden.json", "notes.txt"}) {
		t.Errorf("left in the folder: %v", got)
	}
	b.drop("new.json", content)
	b.drop("other name.json", content)
	b.look(2 * enough)
	if len(b.Jobs()) != 1 {
		t.Errorf("the same bytes made %d jobs", len(b.Jobs()))
	}
	if got := b.files(workshop.TakenFolder); len(got) != 3 || len(b.files(workshop.RefusedFolder)) != 0 {
		t.Errorf("taken: %v, refused: %v", got, b.files(workshop.RefusedFolder))
	}
}

func TestAFileThatIsStillBeingWrittenWaits(t *testing.T) {
	b := newBox(t)
	content := testOrder(t, "ordinary.json")
	for cut := 10; cut < len(content); cut += len(content) / 5 {
		b.drop("slow.json", content[:cut])
		b.look(3)
		if len(b.files(workshop.RefusedFolder)) != 0 {
			t.Fatal("half a file was taken")
		}
	}
	b.drop("slow.json", content)
	b.look(enough)
	if len(b.Jobs()) != 1 {
		t.Errorf("%d jobs", len(b.Jobs()))
	}
}

func TestWhatIsRefusedIsSetAsideWithItsReasons(t *testing.T) {
	b := newBox(t)
	several := testOrder(t, "several.csv")
	b.drop("broken.json", `{"customer": {"name": "Ada"}, "spec": {"pattern": "floe", "size": {"system": "mondopoint", "value": "abc"}}}`)
	b.drop("asks.json", testOrder(t, "remark.json"))
	b.drop("one bad line.csv", several+strings.Repeat(",", 3)+"\n")
	b.drop("empty.json", "")
	b.look(enough)
	if len(b.Jobs()) != 0 {
		t.Fatalf("%d jobs were opened", len(b.Jobs()))
	}
	for name, want := range map[string]string{
		"broken.json": "spec.size.value", "asks.json": "needs a reason to pass", "one bad line.csv": "line", "empty.json": "empty",
	} {
		raw, err := os.ReadFile(filepath.Join(b.folder, workshop.RefusedFolder, name+workshop.ReasonsEnding))
		if err != nil || !strings.Contains(string(raw), want) || !strings.Contains(string(raw), name) {
			t.Errorf("%s: %v, want %q in %s", name, err, want, raw)
		}
		if _, err := os.Stat(filepath.Join(b.folder, workshop.RefusedFolder, name)); err != nil {
			t.Error(err)
		}
	}
	if len(b.files("")) != 0 || len(b.files(workshop.TakenFolder)) != 0 {
		t.Errorf("left: %v, taken: %v", b.files(""), b.files(workshop.TakenFolder))
	}
}

// The power fails after the jobs are on disk and before the file is put away.
func TestAFileThatWasTakenButNotPutAwayIsPutAwayAtTheNextStart(t *testing.T) {
	b := newBox(t)
	b.drop("new.json", testOrder(t, "ordinary.json"))
	b.look(enough)
	if err := os.Rename(filepath.Join(b.folder, workshop.TakenFolder, "new.json"), filepath.Join(b.folder, "taking", "new.json")); err != nil {
		t.Fatal(err)
	}
	b.clock.pass(400 * 24 * 3600e9) // what the review would say now is something else
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	b.open()
	b.again()
	b.look(1)
	if len(b.Jobs()) != 1 || !slices.Equal(b.files(workshop.TakenFolder), []string{"new.json"}) {
		t.Errorf("%d jobs, taken: %v, refused: %v", len(b.Jobs()), b.files(workshop.TakenFolder), b.files(workshop.RefusedFolder))
	}
}

func TestALinkIsNotFollowed(t *testing.T) {
	b := newBox(t)
	outside := filepath.Join(t.TempDir(), "secret.json")
	if err := os.WriteFile(outside, []byte(testOrder(t, "ordinary.json")), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(b.folder, "link.json")); err != nil {
		t.Skip("no symbolic links here")
	}
	b.look(enough)
	if len(b.Jobs()) != 0 || len(b.files(workshop.RefusedFolder)) != 0 {
		t.Error("the link was followed")
	}
}

func TestAnInboxActsAsSomebodyWhoTakesOrders(t *testing.T) {
	f := newFloor(t)
	for by, key := range map[string]string{"nobody": "inbox.person", "runa": "person.may-not"} {
		_, err := workshop.NewInbox(f.Workshop, filepath.Join(t.TempDir(), "in"), by)
		if faults := message.Faults(err); len(faults) != 1 || faults[0].Key != key {
			t.Errorf("%s: %v, want %s", by, err, key)
		}
	}
}
