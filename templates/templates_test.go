package templates

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
)

// catalogue reads the sentences of the pages from where they live; this package imports none of ours.
func catalogue(t testing.TB) map[string]string {
	t.Helper()
	raw, err := os.ReadFile("../jobs/message/en/page.json")
	if err != nil {
		t.Fatal(err)
	}
	var all map[string]any
	if err := json.Unmarshal(raw, &all); err != nil {
		t.Fatal(err)
	}
	if len(all) == 0 {
		t.Fatal("no sentence was read")
	}
	c := map[string]string{}
	for key, sentence := range all {
		if forms, plural := sentence.(map[string]any); plural {
			sentence = forms["other"]
		}
		c[key] = fmt.Sprint(sentence)
	}
	return c
}

// say finds sentences in c and fails the test for one that is missing, or whose values do not fit.
func say(t testing.TB, c map[string]string) Text {
	return func(key string, args ...any) string {
		sentence, ok := c[key]
		if !ok {
			t.Errorf("the catalogue has no %q", key)
			return key
		}
		for i := 0; i+1 < len(args); i += 2 {
			name := fmt.Sprintf("{%v}", args[i])
			if !strings.Contains(sentence, name) {
				t.Errorf("%q has no place for %s", key, name)
			}
			sentence = strings.ReplaceAll(sentence, name, fmt.Sprint(args[i+1]))
		}
		return sentence
	}
}

func pages(t testing.TB) *Pages {
	t.Helper()
	p, err := New(say(t, catalogue(t)))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func render(t testing.TB, p *Pages, v View) string {
	t.Helper()
	html, err := p.Render(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(html)
}

func TestEveryPageOfTheGalleryIsWholeAndNamed(t *testing.T) {
	p := pages(t)
	seen := map[string]bool{}
	unfilled := regexp.MustCompile(`\{[a-z]+\}`)
	for _, sample := range Gallery() {
		t.Run(sample.Name, func(t *testing.T) {
			if seen[sample.Name] {
				t.Errorf("two samples have this name")
			}
			seen[sample.Name] = true
			html := render(t, p, sample.View)
			for _, want := range []string{"<!doctype html>", `<html lang="en">`, "<h1", "</html>"} {
				if strings.Count(html, want) != 1 {
					t.Errorf("%s stands there %d times", want, strings.Count(html, want))
				}
			}
			for _, slip := range []string{"<no value>", "ZgotmplZ", "%!", " style=", "onclick", "<style", "http://", "https://"} {
				if strings.Contains(strings.ReplaceAll(html, "http://www.w3.org/", ""), slip) {
					t.Errorf("%q must not stand in a page", slip)
				}
			}
			for _, left := range unfilled.FindAllString(html, -1) {
				if left != "{count}" { // the script fills this one
					t.Errorf("%s was not filled in", left)
				}
			}
		})
	}
}

func TestIdsOnAPageAreUnique(t *testing.T) {
	p := pages(t)
	ids := regexp.MustCompile(` id="([^"]*)"`)
	for _, sample := range Gallery() {
		seen := map[string]bool{}
		for _, id := range ids.FindAllStringSubmatch(render(t, p, sample.View), -1) {
			if seen[id[1]] {
				t.Errorf("%s: two elements have the id %q", sample.Name, id[1])
			}
			seen[id[1]] = true
		}
	}
}

func TestEveryFormThatPostsCarriesItsOwnKey(t *testing.T) {
	p := pages(t)
	form := regexp.MustCompile(`(?s)<form[^>]*method="post".*?</form>`)
	key := regexp.MustCompile(`name="key" value="8d1f0c6b52aa4e17-[^"]+"`)
	forms := 0
	for _, sample := range Gallery() {
		seen := map[string]bool{}
		for _, f := range form.FindAllString(render(t, p, sample.View), -1) {
			forms++
			found := key.FindAllString(f, -1)
			if len(found) != 1 {
				t.Errorf("%s: a form has %d keys: %.120s", sample.Name, len(found), f)
				continue
			}
			if seen[found[0]] {
				t.Errorf("%s: two forms have the key %s", sample.Name, found[0])
			}
			seen[found[0]] = true
		}
	}
	if forms == 0 {
		t.Fatal("no form was found")
	}
}

func TestARefusedFormComesBackWithWhatWasTypedAndTheSentenceBesideTheField(t *testing.T) {
	p := pages(t)
	view := frame("bench worker", "").refused("finish", Field{"lot-cement", "C-26 11", "there is no lot C-26 11"})
	var pair Pair
	for _, sample := range Gallery() {
		if sample.Name == "pair, may be finished" {
			pair = sample.View.(Pair)
		}
	}
	pair.Frame = view
	html := render(t, p, pair)
	for _, want := range []string{
		`value="C-26 11" autocomplete="off" aria-invalid="true" aria-describedby="finish-lot-cement-fault" autofocus`,
		`<p class="fault" id="finish-lot-cement-fault">there is no lot C-26 11</p>`,
		`<a href="#finish-lot-cement">there is no lot C-26 11</a>`,
	} {
		if !strings.Contains(html, want) {
			t.Errorf("missing: %s", want)
		}
	}
	if n := strings.Count(html, " autofocus"); n != 1 {
		t.Errorf("%d elements ask for the focus, want the field at fault alone", n)
	}
}

func TestAtMostOneElementAsksForTheFocusAndOneIsTheNextThing(t *testing.T) {
	p := pages(t)
	act := regexp.MustCompile(`class="[^"]*\bact\b`)
	for _, sample := range Gallery() {
		html := render(t, p, sample.View)
		if n := strings.Count(html, " autofocus"); n > 1 {
			t.Errorf("%s: %d elements ask for the focus", sample.Name, n)
		}
		if n := len(act.FindAllString(html, -1)); n > 1 {
			t.Errorf("%s: %d buttons are the next thing to do", sample.Name, n)
		}
	}
}

func TestWhatPeopleTypeIsShownAsText(t *testing.T) {
	const nasty = `<script>alert(1)</script>"'`
	html := render(t, pages(t), Desk{Frame: frame("front desk", "Pairs"), Query: nasty, Pairs: []DeskPair{{Number: nasty, Customer: nasty, Strip: Strip{Text: nasty}}}})
	if strings.Contains(html, "<script>alert") {
		t.Error("a customer's name was taken for a script")
	}
}

func TestEverySentenceOfThePagesIsUsed(t *testing.T) {
	used := map[string]bool{}
	key := regexp.MustCompile(`"(page\.[a-z.]+)"`)
	err := fs.WalkDir(sources, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := fs.ReadFile(sources, name)
		for _, m := range key.FindAllSubmatch(raw, -1) {
			used[string(m[1])] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(used) == 0 {
		t.Fatal("no sentence is used")
	}
	c := catalogue(t)
	for k := range c {
		if !used[k] {
			t.Errorf("%s is used by no page", k)
		}
	}
	for k := range used {
		if _, ok := c[k]; !ok {
			t.Errorf("the catalogue has no %s", k)
		}
	}
}

func TestPagesAndViewsAreComparedAtStart(t *testing.T) {
	part := &fstest.MapFile{Data: []byte(`{{define "document"}}{{template "main" .}}{{end}}`)}
	text := func(key string, _ ...any) string { return key }
	one := []Sample{{"sign-in, first", SignIn{}}}
	for _, row := range []struct {
		name    string
		files   fstest.MapFS
		gallery []Sample
		want    string
	}{
		{"a page without a view", fstest.MapFS{"parts/p.html": part, "pages/sign-in.html": page(`x`), "pages/lost.html": page(`x`)}, one, "page lost has no view in the gallery"},
		{"a view without a page", fstest.MapFS{"parts/p.html": part, "pages/lost.html": page(`x`)}, one, `gallery, sign-in, first: there is no page "sign-in"`},
		{"a page that shows what its view lacks", fstest.MapFS{"parts/p.html": part, "pages/sign-in.html": page(`{{.Badgr}}`)}, one, "can't evaluate field Badgr in type templates.SignIn"},
	} {
		t.Run(row.name, func(t *testing.T) {
			p, err := parse(row.files, text)
			if err == nil {
				err = p.compare(row.gallery)
			}
			if err == nil || !strings.Contains(err.Error(), row.want) {
				t.Errorf("got %v, want %s", err, row.want)
			}
		})
	}
}

func page(main string) *fstest.MapFile {
	return &fstest.MapFile{Data: []byte(`{{define "main"}}` + main + `{{end}}`)}
}

func BenchmarkDeskOfFortyPairs(b *testing.B) {
	p := pages(b)
	desk := Desk{Frame: frame("front desk", "Pairs")}
	for range 40 {
		desk.Pairs = append(desk.Pairs, DeskPair{Number: "1042", Customer: "Ida Lindroos-Wahlström", Forecast: thursday(), Strip: sampleStrip()})
	}
	for b.Loop() {
		if _, err := p.Render(desk); err != nil {
			b.Fatal(err)
		}
	}
}
