package templates

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"maps"
	"net/http"
	"path"
	"slices"
	"time"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
)

//go:embed static
var static embed.FS

// kinds are the content types of what is served, given here because the ones that the machine would
// guess differ from machine to machine.
var kinds = map[string]string{
	".css": "text/css; charset=utf-8",
	".js":  "text/javascript; charset=utf-8",
	".svg": "image/svg+xml",
	".ttf": "font/ttf",
}

// Assets serves style sheets, scripts, fonts and the icon under /static/. Each answer carries a tag of
// its bytes, so a browser asks again and is told in one short answer that nothing has changed.
type Assets struct {
	files map[string]asset
}

type asset struct {
	bytes []byte
	tag   string
}

// NewAssets reads what is embedded.
func NewAssets() (*Assets, error) {
	a := &Assets{files: map[string]asset{}}
	entries, err := static.ReadDir("static")
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		raw, err := static.ReadFile(path.Join("static", e.Name()))
		if err != nil {
			return nil, err
		}
		a.add(e.Name(), raw)
	}
	a.add("go-regular.ttf", goregular.TTF)
	a.add("go-bold.ttf", gobold.TTF)
	a.add("go-mono.ttf", gomono.TTF)
	return a, nil
}

func (a *Assets) add(name string, raw []byte) {
	sum := sha256.Sum256(raw)
	a.files[name] = asset{raw, `"` + hex.EncodeToString(sum[:12]) + `"`}
}

// Names are the files, in order.
func (a *Assets) Names() []string { return slices.Sorted(maps.Keys(a.files)) }

// ServeHTTP answers GET and HEAD of /static/NAME.
func (a *Assets) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "only GET and HEAD", http.StatusMethodNotAllowed)
		return
	}
	dir, name := path.Split(r.URL.Path)
	file, ok := a.files[name]
	if !ok || dir != "/static/" {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", kinds[path.Ext(name)])
	w.Header().Set("Cache-Control", "no-cache")
	w.Header().Set("ETag", file.tag)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(file.bytes))
}
