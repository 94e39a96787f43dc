package templates

import (
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"
)

func TestAssetsAreServed(t *testing.T) {
	assets, err := NewAssets()
	if err != nil {
		t.Fatal(err)
	}
	ask := func(method, address, tag string) *httptest.ResponseRecorder {
		r := httptest.NewRequest(method, address, nil)
		if tag != "" {
			r.Header.Set("If-None-Match", tag)
		}
		w := httptest.NewRecorder()
		assets.ServeHTTP(w, r)
		return w
	}
	for _, row := range []struct {
		name, method, address string
		status                int
		kind                  string
	}{
		{"the style sheet", "GET", "/static/style.css", 200, "text/css; charset=utf-8"},
		{"a script", "GET", "/static/main.js", 200, "text/javascript; charset=utf-8"},
		{"a font", "GET", "/static/go-regular.ttf", 200, "font/ttf"},
		{"the head of the icon", "HEAD", "/static/icon.svg", 200, "image/svg+xml"},
		{"a name that is not there", "GET", "/static/none.css", 404, "text/plain; charset=utf-8"},
		{"the folder", "GET", "/static/", 404, "text/plain; charset=utf-8"},
		{"another folder", "GET", "/other/style.css", 404, "text/plain; charset=utf-8"},
		{"a form", "POST", "/static/style.css", 405, "text/plain; charset=utf-8"},
	} {
		t.Run(row.name, func(t *testing.T) {
			w := ask(row.method, row.address, "")
			if w.Code != row.status || w.Header().Get("Content-Type") != row.kind {
				t.Errorf("got %d %s, want %d %s", w.Code, w.Header().Get("Content-Type"), row.status, row.kind)
			}
		})
	}
	first := ask("GET", "/static/style.css", "")
	if again := ask("GET", "/static/style.css", first.Header().Get("ETag")); again.Code != http.StatusNotModified {
		t.Errorf("the same bytes again: got %d, want 304", again.Code)
	}
}

func TestEveryAddressInStylesAndScriptsIsServed(t *testing.T) {
	assets, err := NewAssets()
	if err != nil {
		t.Fatal(err)
	}
	names := assets.Names()
	used := regexp.MustCompile(`(?:/static/|from "\./)([a-z.-]+)`)
	found := 0
	for _, name := range names {
		if strings.HasSuffix(name, ".ttf") {
			continue
		}
		for _, m := range used.FindAllSubmatch(assets.files[name].bytes, -1) {
			found++
			if !slices.Contains(names, string(m[1])) {
				t.Errorf("%s asks for %s, which is not served", name, m[1])
			}
		}
	}
	if found == 0 {
		t.Fatal("no address was found")
	}
}
