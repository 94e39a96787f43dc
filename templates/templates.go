package templates

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"path"
	"slices"
	"strings"
)

//go:embed pages/*.html parts/*.html
var sources embed.FS

// Text finds the sentence of a key and puts named values into it: args alternate name and value, as in
// text("page.queue.waiting", "count", 3).
type Text func(key string, args ...any) string

// View is what one page shows; each struct of view.go that names a page is one.
type View interface {
	// Page is the name of the page without folder and ending, such as "sign-in".
	Page() string
}

// Pages is every page, parsed once and ready to be shown any number of times at once.
type Pages struct {
	byName map[string]*template.Template
}

// New parses all pages and compares them with the views: a page without a view, a view without a page,
// and a page that cannot show one of its gallery's views are errors, so such a program does not start.
func New(text Text) (*Pages, error) {
	p, err := parse(sources, text)
	if err != nil {
		return nil, err
	}
	return p, p.compare(Gallery())
}

func parse(fsys fs.FS, text Text) (*Pages, error) {
	base, err := template.New("base").
		Option("missingkey=error").
		Funcs(functions(text)).
		ParseFS(fsys, "parts/*.html")
	if err != nil {
		return nil, err
	}
	names, err := fs.Glob(fsys, "pages/*.html")
	if err != nil {
		return nil, err
	}
	p := &Pages{byName: map[string]*template.Template{}}
	for _, name := range names {
		t, err := base.Clone()
		if err != nil {
			return nil, err
		}
		if t, err = t.ParseFS(fsys, name); err != nil {
			return nil, err
		}
		p.byName[strings.TrimSuffix(path.Base(name), ".html")] = t
	}
	return p, nil
}

// compare holds pages and gallery against each other, and shows every view once.
func (p *Pages) compare(gallery []Sample) error {
	var shown []string
	for _, sample := range gallery {
		if _, err := p.Render(sample.View); err != nil {
			return fmt.Errorf("gallery, %s: %w", sample.Name, err)
		}
		shown = append(shown, sample.View.Page())
	}
	for name := range p.byName {
		if !slices.Contains(shown, name) {
			return fmt.Errorf("page %s has no view in the gallery", name)
		}
	}
	return nil
}

// Render draws the page of v into memory. Nothing has been sent when it fails, so the caller can still
// answer with an error page.
func (p *Pages) Render(v View) ([]byte, error) {
	t, ok := p.byName[v.Page()]
	if !ok {
		return nil, fmt.Errorf("there is no page %q", v.Page())
	}
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, "document", v); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
