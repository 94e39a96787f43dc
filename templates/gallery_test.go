package templates_test

import (
	"bytes"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lastroom/templates"
	"lastroom/templates/browsertest"
)

// galleryServer serves the gallery's pages at /gallery/0, /gallery/1 and so on, under the content
// policy of the real server.
func galleryServer(t *testing.T) (*httptest.Server, []templates.Sample) {
	t.Helper()
	pages := pagesFor(t)
	assets, err := templates.NewAssets()
	if err != nil {
		t.Fatal(err)
	}
	samples := templates.Gallery()
	mux := http.NewServeMux()
	mux.Handle("GET /static/", assets)
	for i, sample := range samples {
		html, err := pages.Render(sample.View)
		if err != nil {
			t.Fatal(err)
		}
		// A page of the gallery has no event stream behind it.
		html = bytes.Replace(html, []byte(" data-live="), []byte(" data-was-live="), 1)
		mux.HandleFunc(fmt.Sprintf("/gallery/%d", i), func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			w.Header().Set("Content-Security-Policy", "default-src 'self'")
			_, _ = w.Write(html)
		})
	}
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	return server, samples
}

// TestGalleryInABrowser walks every page in every state: by axe, by keyboard alone, on a phone and on a
// wall screen. With LASTROOM_PICTURES set to a folder it leaves a picture of each there.
func TestGalleryInABrowser(t *testing.T) {
	browser := browsertest.Start(t)
	server, samples := galleryServer(t)
	for i, sample := range samples {
		for _, width := range browsertest.Widths {
			t.Run(fmt.Sprintf("%s/%d px", sample.Name, width), func(t *testing.T) {
				tab := browser.Open(t, fmt.Sprintf("%s/gallery/%d", server.URL, i), width)
				tab.WaitFor(`document.fonts.status === "loaded"`)
				if folder := os.Getenv("LASTROOM_PICTURES"); folder != "" {
					name := fmt.Sprintf("%s-%d.png", strings.NewReplacer(", ", "-", " ", "-").Replace(sample.Name), width)
					if err := os.WriteFile(filepath.Join(folder, name), tab.Picture(), 0o600); err != nil {
						t.Fatal(err)
					}
				}
				tab.NoSidewaysScroll()
				tab.NoViolations()
				tab.KeyboardReachesAll()
				least := 24.0 * 25.4 / 96 // WCAG 2.2, 2.5.8
				if browsertest.Eval[bool](tab, `document.body.classList.contains("floor")`) {
					least = 14 // gloves
				}
				for _, small := range tab.SmallTargets(least) {
					t.Errorf("less than %.1f mm: %s", least, small)
				}
			})
		}
	}
}
