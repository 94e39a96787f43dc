package print

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// printable makes a text safe to print: accents are joined to their letters (Unicode normalisation
// form C), a tab becomes a space, control and formatting characters are dropped, and a character that
// the font lacks is replaced by its code point and told to missing. Bytes that are not UTF-8 become the
// code point of the replacement character. Line feeds stay: wrap breaks there.
func printable(text string, missing func(rune)) string {
	if ascii(text) {
		return text
	}
	text = strings.ReplaceAll(strings.ToValidUTF8(text, string(utf8.RuneError)), "\r\n", "\n")
	text = norm.NFC.String(strings.Map(visible, text)) // in this order: what is dropped may part an accent from its letter
	var b strings.Builder
	b.Grow(len(text))
	for _, r := range text {
		if r == '\n' || r != utf8.RuneError && regular.glyph(r).has && bold.glyph(r).has {
			b.WriteRune(r)
			continue
		}
		if missing != nil {
			missing(r)
		}
		fmt.Fprintf(&b, "[U+%04X]", r)
	}
	return b.String()
}

// visible maps a character to what is to be shown of it: -1 for nothing.
func visible(r rune) rune {
	switch {
	case r == '\n' || r == '\r' || r == '\u2028' || r == '\u2029':
		return '\n'
	case r == '\t':
		return ' '
	case unicode.In(r, unicode.Cc, unicode.Cf):
		return -1
	}
	return r
}

// ascii says that a text is visible ASCII and line feeds, so that nothing need be done to it.
func ascii(text string) bool {
	for i := range len(text) {
		if c := text[i]; (c < ' ' || c > '~') && c != '\n' {
			return false
		}
	}
	return true
}

// wrap breaks a text that printable has passed into lines of at most width mm: at line feeds, else at
// spaces, else after a hyphen (no minus) or slash, else between any two letters. Nothing is ever left out. An
// empty text has no line.
func (s style) wrap(text string, width float64) []string {
	text = strings.TrimRight(text, " \n")
	if text == "" {
		return nil
	}
	if !strings.Contains(text, "\n") && s.width(text) <= width {
		return []string{text}
	}
	var lines []string
	for paragraph := range strings.SplitSeq(text, "\n") {
		lines = append(lines, s.wrapParagraph(strings.TrimRight(paragraph, " "), width)...)
	}
	return lines
}

func (s style) wrapParagraph(text string, width float64) []string {
	var (
		lines       []string
		limit       = width * 1000 / (s.size * point) // in thousandths of the type size
		start, stop int                               // the line begins at start; it may be broken before stop
		used, since float64                           // width since start, and since stop
		before      = ' '                             // the letter before
	)
	for i, r := range text {
		w := float64(s.face.glyph(r).advance)
		for used+w > limit && i > start && r != ' ' {
			if stop > start {
				lines = append(lines, strings.TrimRight(text[start:stop], " "))
				start, used = stop, since
			} else {
				lines = append(lines, strings.TrimRight(text[start:i], " "))
				start, used = i, 0
			}
			stop, since = start, used
		}
		used += w
		since += w
		if r == ' ' || r == '-' && before != ' ' || r == '/' {
			stop, since = i+utf8.RuneLen(r), 0
		}
		before = r
	}
	return append(lines, text[start:])
}
