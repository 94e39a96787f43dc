package spec

import (
	"slices"
	"strings"
	"unicode/utf8"

	"lastroom/jobs/message"
)

var finishRules = []rule{
	{"lettering.kind", CannotBuild, (*review).letteringKind},
	{"lettering.long", CannotBuild, (*review).letteringLong},
	{"lettering.letters", CannotBuild, (*review).letteringLetters},
	{"lettering.colour", CannotBuild, (*review).letteringColour},
	{"lettering.twice", Contradiction, (*review).letteringTwice},
}

// letterings goes through all letterings whose place the workshop has.
func (r *review) letterings(do func(path string, l Lettering, at TextPlace, embroidered bool)) {
	r.spec.Finish.each(func(path string, l Lettering, embroidered bool) {
		if at, ok := r.catalogue.Lettering[l.Place]; ok {
			do(path, l, at, embroidered)
		}
	})
}

func (r *review) letteringKind() {
	r.letterings(func(path string, _ Lettering, at TextPlace, embroidered bool) {
		if at.Embroidery != embroidered {
			is := "engraved"
			if at.Embroidery {
				is = "embroidered"
			}
			r.say([]string{path + ".place"}, message.Args{"place": at.Name, "is": message.Phrase{Key: "spec.find.lettering." + is}}, nil)
		}
	})
}

func (r *review) letteringLong() {
	r.letterings(func(path string, l Lettering, at TextPlace, _ bool) {
		if n := utf8.RuneCountInString(l.Text); at.Characters > 0 && n > at.Characters {
			r.say([]string{path + ".text"}, message.Args{"place": at.Name, "found": n, "allowed": at.Characters}, nil)
		}
	})
}

// letteringLetters: the machine lacks a letter. Capitals settle small ones where they are all that lack.
func (r *review) letteringLetters() {
	r.letterings(func(path string, l Lettering, at TextPlace, embroidered bool) {
		lacking := lacks(l.Text, at)
		if lacking == "" {
			return
		}
		var settle func(*Spec)
		if upper := strings.ToUpper(l.Text); lacks(upper, at) == "" {
			settle = func(s *Spec) {
				all := s.Finish.Engraving
				if embroidered {
					all = s.Finish.Embroidery
				}
				for i := range all {
					if all[i] == l {
						all[i].Text = upper
					}
				}
			}
		}
		r.say([]string{path + ".text"}, message.Args{"place": at.Name, "found": quote(lacking), "allowed": alphabet(at)}, settle)
	})
}

// lacks gives the letters of a text that a place can't have, each once.
func lacks(text string, at TextPlace) string {
	var b strings.Builder
	for _, c := range text {
		ok := c == ' ' || c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || at.Lower && c >= 'a' && c <= 'z' || strings.ContainsRune(at.Letters, c)
		if !ok && !strings.ContainsRune(b.String(), c) {
			b.WriteRune(c)
		}
	}
	return b.String()
}

func alphabet(at TextPlace) string {
	text := "A–Z"
	if at.Lower {
		text += " a–z"
	}
	return text + " 0–9 " + at.Letters
}

func (r *review) letteringColour() {
	r.letterings(func(path string, l Lettering, at TextPlace, _ bool) {
		if l.Colour != "" && !slices.Contains(at.Colours, l.Colour) {
			r.say([]string{path + ".colour"}, message.Args{"place": at.Name, "found": quote(l.Colour), "allowed": list(at.Colours)}, nil)
		}
	})
}

// letteringTwice: two texts at one place of one boot.
func (r *review) letteringTwice() {
	type seen struct {
		path string
		l    Lettering
	}
	var all []seen
	r.letterings(func(path string, l Lettering, at TextPlace, _ bool) {
		for _, other := range all {
			meet := l.Foot.Has(Left) && other.l.Foot.Has(Left) || l.Foot.Has(Right) && other.l.Foot.Has(Right)
			if meet && other.l.Place == l.Place {
				r.say([]string{other.path, path}, message.Args{"place": at.Name, "a": quote(other.l.Text), "b": quote(l.Text)}, nil)
			}
		}
		all = append(all, seen{path, l})
	})
}
