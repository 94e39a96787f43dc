package main

import (
	"io"
	"net/url"
	"regexp"
	"strings"

	"golang.org/x/net/html"
)

// page is what a station sees of an HTML page: its links and its forms, and the code of the pair.
type page struct {
	links []string
	forms []form
	code  string
}

// form is a form with what stands in it, and what its check allows.
type form struct {
	action string
	values url.Values
	empty  []string // names of inputs that wait to be typed
	around string   // text of the list item that the form is in
	again  bool     // within details: what it asks for was answered already
}

func parsePage(r io.Reader) (page, error) {
	root, err := html.Parse(r)
	if err != nil {
		return page{}, err
	}
	var p page
	p.walk(root, nil)
	return p, nil
}

// walk goes through the nodes; within are the elements around n, outermost first.
func (p *page) walk(n *html.Node, within []*html.Node) {
	if n.Type == html.ElementNode {
		switch {
		case n.Data == "a":
			p.links = append(p.links, attribute(n, "href"))
		case n.Data == "form":
			p.forms = append(p.forms, readForm(n, within))
		case n.Data == "dd" && attribute(n, "class") == "code":
			p.code = strings.Join(strings.Fields(textOf(n)), "")
		}
		within = append(within, n)
	}
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		p.walk(c, within[:len(within):len(within)])
	}
}

func readForm(n *html.Node, within []*html.Node) form {
	f := form{action: attribute(n, "action"), values: url.Values{}}
	for _, outer := range within {
		switch outer.Data {
		case "li":
			f.around = textOf(outer)
		case "details":
			f.again = true
		}
	}
	var fields func(n *html.Node)
	fields = func(n *html.Node) {
		name, value := attribute(n, "name"), attribute(n, "value")
		switch {
		case n.Data == "input" && name != "" && attribute(n, "type") != "hidden" && value == "":
			f.empty = append(f.empty, name)
		case n.Data == "input" && name != "":
			f.values.Add(name, value)
		case n.Data == "select":
			f.values.Set(name, chosen(n))
		}
		for c := n.FirstChild; c != nil; c = c.NextSibling {
			fields(c)
		}
	}
	fields(n)
	return f
}

// chosen is the value of a select's chosen option, or of its first.
func chosen(n *html.Node) string {
	first, found := "", false
	for c := range n.Descendants() {
		if c.Data != "option" {
			continue
		}
		if has(c, "selected") {
			return attribute(c, "value")
		}
		if !found {
			first, found = attribute(c, "value"), true
		}
	}
	return first
}

func attribute(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func has(n *html.Node, key string) bool {
	for _, a := range n.Attr {
		if a.Key == key {
			return true
		}
	}
	return false
}

func textOf(n *html.Node) string {
	var b strings.Builder
	for c := range n.Descendants() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
			b.WriteByte(' ')
		}
	}
	return b.String()
}

var allowed = regexp.MustCompile(`([−-]?[0-9.]+) to ([−-]?[0-9.]+)`)
